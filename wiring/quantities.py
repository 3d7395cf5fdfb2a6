"""Reading and printing of quantities: "2.5 mm2", "4.2 A peak", "24..48 V DC", "16 AWG". Plain SI floats inside."""

from __future__ import annotations

import re
from functools import lru_cache
from math import floor, inf, isfinite, log10, pi
from typing import NoReturn

from msgspec import Struct

from wiring.units import DIMENSIONS, OWNERS, Dimension

QUALIFIERS = ("AC", "DC", "peak", "rms")
_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?"
_QUANTITY = re.compile(rf"\s*({_NUMBER})\s*(.*?)\s*", re.DOTALL)
_DECIMAL_COMMA = re.compile(r"\s*[+-]?\d+,\d")
_SPELLINGS = str.maketrans({"µ": "u", "μ": "u", "²": "2", "³": "3", "⋅": "·", "*": "·", "Ω": "ohm", "\u2126": "ohm"})
_LARGEST_TEXT = 200
#: Units as they are spoken or shortened, and as they are written here.
_SPOKEN = {
    word: unit
    for unit, words in {
        "A": "amp amps ampere amperes", "V": "volt volts", "W": "watt watts", "Hz": "hz",
        "s": "sec secs second seconds", "m": "meter meters metre metres", "in": 'inch inches "', "ft": "foot feet \'",
        "kg": "kilo kilos kgs", "lb": "lbs pound pounds", "%": "percent pct", "in/min": "ipm", "in/s": "ips",
        "ft/min": "fpm",
    }.items()
    for word in words.split()
}  # fmt: skip


class QuantityError(ValueError):
    """A text that is no such quantity. `problem` says what is wrong with it, `expected` what was wanted."""

    def __init__(self, problem: str, expected: str) -> None:
        super().__init__(f"{problem}; {expected}")
        self.problem = problem
        self.expected = expected


class Quantity(Struct, frozen=True):
    """A value in SI units (temperature in °C), its `qualifier` "", AC, DC, peak or rms, and the text as written."""

    value: float
    dimension: str
    qualifier: str
    text: str


class WireSize(Struct, frozen=True):
    """A conductor size in the system it is sold in: "mm2", "awg" or "kcmil". `label` is its number: 1.5, 16, 1/0."""

    system: str
    label: str
    area_mm2: float
    text: str


def dimension_of(name: str) -> Dimension:
    """The dimension of that name; ValueError for one that does not exist, which is an error of the caller."""
    if name not in DIMENSIONS:
        raise ValueError(f"no dimension {name!r}; known: {', '.join(DIMENSIONS)}")
    return DIMENSIONS[name]


def _wanted(dimension: Dimension) -> str:
    return f"{dimension.noun} with its unit is expected, for example {dimension.example}"


def _shorten(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."


def _read_number(text: str, dimension: Dimension) -> tuple[str, float, str]:
    """The number as text and value, and whatever follows it."""
    if _DECIMAL_COMMA.match(text):
        problem = f"{_shorten(text)!r} has a comma in its number"
        raise QuantityError(problem, "numbers have a decimal point and no separator for thousands, such as 2.5 or 1000")
    found = _QUANTITY.fullmatch(text) if len(text) <= _LARGEST_TEXT else None
    if not found:
        raise QuantityError(f"{_shorten(text)!r} is not a quantity", _wanted(dimension))
    value = float(found[1])
    if not isfinite(value):
        raise QuantityError(
            f"{_shorten(text)!r} is larger than any number that can be computed with", _wanted(dimension)
        )
    return found[1], value, found[2]


def _split_qualifier(rest: str) -> tuple[str, str]:
    words = rest.split()
    if words and words[-1] in QUALIFIERS:
        return " ".join(words[:-1]), words[-1]
    return " ".join(words), ""


def _plain_unit(unit: str) -> str:
    plain = unit.translate(_SPELLINGS)
    return plain if plain in OWNERS else plain.replace(".", "·")


def _unknown_unit(text: str, number: str, unit: str, dimension: Dimension) -> QuantityError:
    problem = f"{_shorten(text)!r} has the unknown unit {_shorten(unit)!r}"
    glued = next(
        (word for word in ("AC", "DC") if unit.endswith(word) and _plain_unit(unit[:-2]) in dimension.units), ""
    )
    if glued:
        return QuantityError(problem, f"a space belongs before {glued}: {number} {unit[:-2]} {glued}")
    spoken = _SPOKEN.get(unit.lower(), "")
    if spoken in dimension.units:
        return QuantityError(problem, f"it is written {number} {spoken}")
    from difflib import get_close_matches

    near = get_close_matches(_plain_unit(unit), dimension.units, 1, 0.5) or [
        known for known in dimension.units if known.lower() == _plain_unit(unit).lower()
    ]
    hint = f"; the nearest known is {near[0]}" if near else ""
    return QuantityError(problem, f"{dimension.noun} is written with {', '.join(dimension.units)}{hint}")


def _check_unit(text: str, number: str, unit: str, dimension: Dimension) -> str:
    """The unit in the spelling of the table."""
    if not unit:
        usual = dimension.example.split()[-1]
        example = f"{100.0 * float(number):g} %" if usual == "%" and float(number) <= 1.0 else f"{number} {usual}"
        raise QuantityError(f"{_shorten(text)!r} needs a unit", f"{dimension.noun} is written for example {example}")
    plain = _plain_unit(unit)
    if plain in dimension.units:
        return plain
    owners = OWNERS.get(plain)
    if owners:
        degrees = f"°{plain}" in dimension.units or f"°{plain}" in dimension.scales
        example = f"{number} {f'°{plain}' if degrees else dimension.example.split()[-1]}"
        raise QuantityError(f"{_shorten(text)} is {owners[0].noun}", f"{dimension.noun}, for example {example}")
    raise _unknown_unit(text, number, unit, dimension)


def _check_qualifier(text: str, qualifier: str, dimension: Dimension) -> None:
    if qualifier and dimension.name not in ("voltage", "current"):
        raise QuantityError(
            f"{qualifier} has no meaning in {_shorten(text)!r}",
            f"{dimension.noun} is written for example {dimension.example}",
        )


def _without_sense(text: str, value: float, dimension: Dimension) -> QuantityError:
    """The error for a number that no machine has, with the bound that it passes."""
    least, most = dimension.bounds
    low, high = show(least, dimension.name), show(most, dimension.name)
    if dimension.scales:
        return QuantityError(
            f"{_shorten(text)!r} is no {dimension.noun.partition(' ')[2]} that a machine meets", f"from {low} to {high}"
        )
    if abs(value) > most:
        return QuantityError(f"{_shorten(text)!r} is more than any machine has", f"{dimension.noun} of {high} at most")
    return QuantityError(
        f"{_shorten(text)!r} is less than anything in a machine", f"{dimension.noun} of {low} at least, or zero"
    )


@lru_cache(maxsize=8192)
def parse(text: str, dimension: str) -> Quantity:
    """The quantity that `text` writes, in SI units.

    Raises QuantityError for anything but a number with a unit of the dimension within its bounds of sense, and
    ValueError for a dimension that does not exist.
    """
    wanted = dimension_of(dimension)
    number, value, rest = _read_number(text, wanted)
    unit, qualifier = _split_qualifier(rest)
    unit = _check_unit(text, number, unit, wanted)
    _check_qualifier(text, qualifier, wanted)
    in_si = wanted.in_si(value, unit)
    if not isfinite(in_si):
        raise QuantityError(f"{_shorten(text)!r} is larger than any number that can be computed with", _wanted(wanted))
    if not wanted.has_sense(in_si):
        raise _without_sense(text, in_si, wanted)
    return Quantity(in_si, dimension, qualifier, text)


def parse_range(text: str, dimension: str) -> tuple[Quantity, Quantity]:
    """Both ends of "24..48 V DC"; a single quantity gives it twice.

    Raises QuantityError also for an upper end below the lower one and for ends that differ in qualifier.
    """
    first, dots, second = text.partition("..")
    if not dots:
        one = parse(text, dimension)
        return one, one
    high = parse(second, dimension)
    if re.fullmatch(rf"\s*{_NUMBER}\s*", first):
        first = f"{first.strip()} {_QUANTITY.fullmatch(second.strip())[2]}"  # type: ignore[index]
    low = parse(first, dimension)
    if low.qualifier not in ("", high.qualifier):
        raise QuantityError(
            f"{_shorten(text)!r} is {low.qualifier} at one end and not at the other", "both ends are of one kind"
        )
    if low.value > high.value:
        raise QuantityError(f"{_shorten(text)!r} ends below its beginning", "the lower value is written first")
    return low, high


def parse_lengths(text: str, count: int) -> tuple[float, ...]:
    """The `count` lengths of "500 x 500 x 210 mm", in m; a value without a unit takes that of the last one.

    Raises QuantityError for another count or a value that is no such quantity.
    """
    pieces = re.split(r"\s*[x×]\s*", text.strip()) if len(text) <= _LARGEST_TEXT else []
    if len(pieces) != count:
        example = " x ".join(["500", "400", "210"][:count])
        raise QuantityError(
            f"{_shorten(text)!r} is not {count} lengths", f"lengths are written for example {example} mm"
        )
    _, _, unit = _read_number(pieces[-1], DIMENSIONS["length"])
    if not unit:
        raise QuantityError(f"{_shorten(text)!r} needs a unit", f"lengths are written for example {text.strip()} mm")
    filled = [f"{piece} {unit}" if re.fullmatch(_NUMBER, piece) else piece for piece in pieces]
    return tuple(parse(piece, "length").value for piece in filled)


_SIZE_EXPECTED = "a conductor size is written for example 1.5 mm2, 16 AWG, 1/0 AWG or 250 kcmil"
_SIZE = re.compile(r"\s*(\d+/0|\d+\.?\d*|\.\d+)\s*(mm2|mm²|AWG|awg|kcmil|MCM)\s*|\s*AWG\s*(\d+/0|\d+)\s*")
_MM2_PER_KCMIL = pi / 4 * 25.4**2 / 1000
#: Conductor sizes lie between these [mm2]; the lower one is that of 40 AWG.
_LEAST_MM2, _LARGEST_MM2 = 0.00487, 2000.0


def awg_area_mm2(gauge: int) -> float:
    """Cross-section of a solid wire of that gauge, in mm2; 1/0 is gauge 0, 2/0 is -1 (ASTM B258, by its definition)."""
    diameter_mm: float = 0.127 * 92 ** ((36 - gauge) / 39)
    return pi / 4 * diameter_mm * diameter_mm


def _awg(label: str, text: str) -> WireSize:
    zeros = re.fullmatch(r"([1-4])/0|(0)", label)
    if zeros:
        count = int(zeros[1] or 1)
        return WireSize("awg", f"{count}/0", awg_area_mm2(1 - count), text)
    if not re.fullmatch(r"[1-9]|[1-3]\d|40", label):
        raise QuantityError(
            f"{_shorten(text)!r} is no wire gauge", "gauges run from 40 AWG to 1 AWG and from 1/0 AWG to 4/0 AWG"
        )
    return WireSize("awg", label, awg_area_mm2(int(label)), text)


@lru_cache(maxsize=1024)
def parse_wire_size(text: str) -> WireSize:
    """The conductor size that `text` writes. AWG and mm2 stay what they are; `area_mm2` is the true cross-section.

    Raises QuantityError for a bare number, another unit, or a size that is not made.
    """
    found = _SIZE.fullmatch(text) if len(text) <= _LARGEST_TEXT else None
    if not found:
        _raise_size_error(text)
    label, unit = (found[1], found[2].lower()) if found[1] else (found[3], "awg")
    if unit == "awg":
        return _awg(label, text)
    if "/" in label:
        raise QuantityError(f"{_shorten(text)!r} is no conductor size", _SIZE_EXPECTED)
    value = float(label)
    area = value if unit.startswith("mm") else value * _MM2_PER_KCMIL
    if not _LEAST_MM2 <= area <= _LARGEST_MM2:
        raise QuantityError(
            f"{_shorten(text)!r} is no size of a conductor",
            f"sizes lie between {_LEAST_MM2:g} mm2 and {_LARGEST_MM2:g} mm2",
        )
    return WireSize("mm2" if unit.startswith("mm") else "kcmil", f"{value:.10g}", area, text)


def _raise_size_error(text: str) -> NoReturn:
    if re.fullmatch(rf"\s*{_NUMBER}\s*|\s*\d+/0\s*", text[:_LARGEST_TEXT]):
        raise QuantityError(f"{_shorten(text)!r} needs a unit", _SIZE_EXPECTED)
    if _DECIMAL_COMMA.match(text):
        _read_number(text, DIMENSIONS["area"])
    parse(text, "area")
    raise QuantityError(f"{_shorten(text)!r} is no conductor size", _SIZE_EXPECTED)


def parse_wire_size_range(text: str) -> tuple[WireSize, WireSize]:
    """Both ends of "0.2..2.5 mm2" or "22..12 AWG", the thinner one first.

    Raises QuantityError for a single size, ends of two systems, or ends in the wrong order.
    """
    first, dots, second = text.partition("..")
    if not dots:
        raise QuantityError(
            f"{_shorten(text)!r} is not a range of sizes", "a range is written for example 0.2..2.5 mm2 or 22..12 AWG"
        )
    high = parse_wire_size(second)
    bare = re.fullmatch(r"\s*(\d+/0|\d+\.?\d*|\.\d+)\s*", first)
    low = parse_wire_size(f"{bare[1]} {'AWG' if high.system == 'awg' else high.system}" if bare else first)
    if low.system != high.system:
        raise QuantityError(f"{_shorten(text)!r} mixes two systems of sizes", "both ends are in mm2, or both in AWG")
    if low.area_mm2 > high.area_mm2:
        raise QuantityError(
            f"{_shorten(text)!r} ends with the thinner conductor",
            "the thinner size is written first, such as 0.2..2.5 mm2 or 22..12 AWG",
        )
    return low, high


def three_figures(value: float) -> str:
    """Three significant digits, at least two of them shown; a whole number of four, as plates print speeds, stays."""
    if value == 0:
        return "0"
    if abs(value) < 1e4 and abs(value - round(value)) <= 1e-9 * abs(value) and abs(value) >= 100:
        return f"{value:.0f}"
    rounded = float(f"{value:.2e}")
    exponent = floor(log10(abs(rounded)))
    text = f"{rounded:.{max(0, 2 - exponent)}f}"
    short = text.rstrip("0").rstrip(".") if "." in text else text
    return max(short, f"{rounded:.{max(0, 1 - exponent)}f}", key=len)


def show(value: float, dimension: str) -> str:
    """A value in SI units for people: a fitting unit and three significant digits, such as "4.2 A" or "470 µF".

    Raises ValueError for a dimension that does not exist.
    """
    steps = dimension_of(dimension).steps
    if not isfinite(value):
        base = min(steps, key=lambda step: abs(step[2] - 1))
        sign = {inf: "infinite", -inf: "-infinite"}.get(value, "unknown")
        return f"{sign} {base[1]}"
    _, unit, factor = next(step for step in steps if abs(float(f"{value:.2e}")) >= step[0])
    if value == 0:
        unit, factor = next((unit, factor) for _, unit, factor in sorted(steps, key=lambda step: abs(step[2] - 1)))
    return f"{three_figures(value / factor)} {unit}"
