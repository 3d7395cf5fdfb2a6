"""One word for one thing: texts in the words and units of a rulebook, and figures without powers of ten.

The North American book says ground where the other says earth, and measures in °F, inches and feet. What stands in
`code` is the language of the plan and stays, and so do names with hyphens, such as those of rules.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache
from typing import Any

from wiring.quantities import parse_wire_size, show, three_figures
from wiring.units import OWNERS

# The patterns are texts: `re` compiles one when it is first asked for, which a plan by the IEC book never does.
_EARTH = r"(?i)(?<![\w-])(un)?earth(ed|ing|s)?(?![\w-])"
_ARTICLE = r"(?i)(?<!\w)(a)n(?= earth(?:(?:ed|ing|s)?(?![\w-])|-(?:fault|free)))"
#: Names with a hyphen that are words of the trade and no names of rules or kinds.
_EARTH_FAULT = r"(?i)(?<![\w-])earth(?=-(?:fault|free)(?![\w-]))"
_NUMBER = r"-?\d+(?:\.\d+)?"
_CELSIUS = rf"(?<![\w.])({_NUMBER}) °C(?! column)"
_BOX = rf"(?<![\w.])((?:{_NUMBER} ?[x×] ?)+{_NUMBER}) mm(?![\w²³/·])"
_MILLIMETRES = rf"(?<![\w.])({_NUMBER}) mm(?![\w²³/·])"
_METRES = rf"(?<![\w.])({_NUMBER}) m(?![\w²³/·])"
#: Two figures of one unit, of which the first stands without it.
_RANGES = rf"(?<![\w.])({_NUMBER})(\.\.| to )({_NUMBER}) (°C(?! column)|mm(?![\w²³/·])|m(?![\w²³/·]))"
_SIZES = rf"(?<![\w.])({_NUMBER})(\.\.| to )({_NUMBER}) mm2"
_CODE = r"(`[^`]*`)"
_POWER = r"(?<![\w.])(\d(?:\.\d+)?e[+-]\d+)(?: ([A-Za-zµ°%][A-Za-zµ0-9·/]*))?"
_INCH_MM, _FOOT_M = 25.4, 0.3048


@cache
def _gauges() -> Mapping[str, float]:
    """The gauges in which conductors of a machine are sold, thin to thick, with their cross-section [mm2]."""
    names = (*map(str, range(30, 3, -2)), "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
    return {name: parse_wire_size(f"{name} AWG").area_mm2 for name in names}


@lru_cache(maxsize=4096)
def in_book(text: str, book: str) -> str:
    """A sentence of ours in the words of a rulebook ("iec" or "na")."""
    plain = plain_figures(text)
    if book != "na":
        return plain
    plain = re.sub(_SIZES, _in_gauges, plain)
    return "".join(piece if piece.startswith("`") else _american(piece) for piece in re.split(_CODE, plain))


def in_words(data: Any, book: str) -> Any:
    """Plain data with every text in the words of a rulebook. What is read is written in the units that stand there, so
    that a temperature has the other scale beside it."""
    if book != "na":
        return data
    if isinstance(data, str):
        pieces = (piece if piece.startswith("`") else _words(piece) for piece in re.split(_CODE, data))
        return re.sub(_CELSIUS, lambda found: f"{found[0]} ({fahrenheit(float(found[1]))})", "".join(pieces))
    if isinstance(data, dict):
        return {key: in_words(value, book) for key, value in data.items()}
    return [in_words(value, book) for value in data] if isinstance(data, list) else data


def plain_figures(text: str) -> str:
    """The text with "14 kA" for "1.4e+04 A"; a figure without a unit of ours is written out."""
    return re.sub(_POWER, _written_out, text) if "e+" in text or "e-" in text else text


def _written_out(found: re.Match[str]) -> str:
    value, unit = float(found[1]), found[2] or ""
    owner = next(iter(OWNERS.get(unit, ())), None)
    if owner is not None:
        return show(owner.in_si(value, unit), owner.name)
    return f"{three_figures(value)} {unit}".rstrip()


def _words(text: str) -> str:
    text = re.sub(_ARTICLE, r"\1", text)
    text = re.sub(_EARTH, lambda found: _cased(f"{found[1] or ''}ground{found[2] or ''}", found[0]), text)
    return re.sub(_EARTH_FAULT, lambda found: _cased("ground", found[0]), text)


def _american(text: str) -> str:
    """Words, then units; a range or a box of lengths before a single one."""
    return _figures(re.sub(_RANGES, _both, _words(text)))


def _both(found: re.Match[str]) -> str:
    """A range with both its ends converted, the unit once where it is the same."""
    first, last = (_figures(f"{found[n]} {found[4]}") for n in (1, 3))
    return f"{first.split()[0] if first.split()[1] == last.split()[1] else first}{found[2]}{last}"


def _figures(text: str) -> str:
    text = re.sub(_CELSIUS, lambda found: fahrenheit(float(found[1])), text)
    text = re.sub(_BOX, lambda found: f"{_in_inches(found[1])} in", text)
    text = re.sub(_MILLIMETRES, lambda found: inches(float(found[1])), text)
    return re.sub(_METRES, lambda found: feet(float(found[1])), text)


def _cased(word: str, like: str) -> str:
    if like.isupper() and len(like) > 1:
        return word.upper()
    return word.capitalize() if like[:1].isupper() else word.lower()


def _in_inches(sides: str) -> str:
    return re.sub(_NUMBER, lambda found: f"{float(found[0]) / _INCH_MM:.3g}", sides)


def _in_gauges(found: re.Match[str]) -> str:
    """A range of sizes by the gauges that lie within it, which are at least one where it spans a gauge."""
    within = [label for label, area in _gauges().items() if float(found[1]) <= area <= float(found[3])]
    return f"{within[0]}{found[2]}{within[-1]} AWG" if within else found[0]


def largest_words(text: str, area_mm2: float, book: str) -> str:
    """The largest size that fits: in North America the thickest gauge of it, where the text gives it in mm2."""
    within = [label for label, area in _gauges().items() if area <= area_mm2]
    return f"{within[-1]} AWG" if book == "na" and text.endswith("mm2") and within else text


def cut_words(millimetres: float, book: str) -> str:
    """A length that is measured on the plate: to a tenth of a millimetre, or a hundredth of an inch."""
    return f"{round(millimetres / _INCH_MM, 2):g} in" if book == "na" else f"{millimetres:g} mm"


def fahrenheit(celsius: float) -> str:
    """A temperature: 104 °F for 40."""
    return f"{celsius * 9 / 5 + 32:.0f} °F"


def inches(millimetres: float) -> str:
    """A length: 1 in for 25.4, to three figures."""
    return f"{millimetres / _INCH_MM:.3g} in"


def feet(metres: float) -> str:
    """A length: 6.56 ft for 2, to three figures; below a foot in inches."""
    return inches(1000.0 * metres) if metres < _FOOT_M else f"{metres / _FOOT_M:.3g} ft"


def in_units_of(value: float, unit: str, book: str) -> str:
    """A figure with its unit as a book measures it, "" where it is measured alike in both."""
    if book != "na":
        return ""
    match unit:
        case "°C":
            return fahrenheit(value)
        case "mm":
            return inches(value)
        case "m":
            return feet(value)
        case "K":
            return f"{value * 9 / 5:.3g} °F"
        case _:
            return ""
