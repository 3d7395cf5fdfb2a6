"""Types of single values in a plan, for pydantic models of any layer: text in, SI floats or frozen records out."""

from __future__ import annotations

import re
from collections.abc import Callable
from enum import Enum
from math import inf
from typing import Annotated, Any, Literal

from msgspec import Struct
from pydantic_core import CoreSchema, core_schema

from wiring import quantities
from wiring.plan.colours import read_colour
from wiring.plan.fault import Refusal
from wiring.plan.insulation import INSULATION, read_insulation
from wiring.plan.records import (
    Box,
    CoilRating,
    CurrentRange,
    Pair,
    PhaseCurrent,
    Poles,
    Rated,
    Spot,
    TerminalRef,
    Voltage,
    VoltageRange,
    WireSizeRange,
    wanted_text,
)
from wiring.quantities import parse, parse_wire_size, show

#: The most points, cores or wires of one thing.
LARGEST_NUMBER = 1000
#: Between these lie the factors of a plan; a power factor ends at 1.
LEAST_FACTOR, LARGEST_FACTOR = 0.001, 1000.0

__all__ = [
    "AirCelsius",
    "Altitude",
    "AmpereHours",
    "AmpereSquaredSeconds",
    "Amperes",
    "AmperesOrZero",
    "Box",
    "Celsius",
    "CoilRating",
    "Colour",
    "Count",
    "CountOrZero",
    "CurrentRange",
    "Factor",
    "Farads",
    "FaradsOrZero",
    "Flag",
    "Flow",
    "FlowOrZero",
    "Fraction",
    "FractionOrZero",
    "Henries",
    "Hertz",
    "Insulation",
    "InsulationVolts",
    "Joules",
    "KilogramSquareMetres",
    "Kilograms",
    "MainsHertz",
    "Metres",
    "MetresOrZero",
    "MetresPerSecond",
    "Multiple",
    "Name",
    "NewtonMetres",
    "NewtonMetresOrZero",
    "NewtonMetresSigned",
    "Newtons",
    "Ohms",
    "OhmsOrZero",
    "Pair",
    "Pascals",
    "PerKelvin",
    "PhaseCurrent",
    "Poles",
    "PowerFactor",
    "Protection",
    "Radians",
    "RadiansPerSecond",
    "RadiansPerSecondSigned",
    "Rated",
    "Seconds",
    "SecondsOrZero",
    "Spot",
    "TerminalRef",
    "Text",
    "VoltAmperes",
    "Voltage",
    "VoltageRange",
    "Volts",
    "VoltsOrZero",
    "Watts",
    "WattsOrZero",
    "WireSize",
    "WireSizeRange",
]


class _Reader(Struct, frozen=True, eq=False):
    """How pydantic reads a value of the plan, the JSON Schema of its text, and the dimension of a quantity.

    Stands for a plain validator with a schema beside it, at a fraction of the time that pydantic takes to build these.
    """

    read: Callable[[Any], Any]
    schema: dict[str, Any]
    dimension: str = ""

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return dict(self.schema)


class _Allowed(Enum):
    """Which values a key takes besides those above zero."""

    POSITIVE = "above zero"
    ZERO = "of zero or more"
    SIGNED = ""


def _scalar(dimension: str, allowed: _Allowed, least: float, most: float) -> Callable[[Any], float]:
    known = quantities.dimension_of(dimension)
    wanted = " ".join(filter(None, (known.noun, allowed.value)))

    def read(value: Any) -> float:
        quantity = parse(wanted_text(value, known.example), dimension)
        if quantity.qualifier:
            raise Refusal(
                f"{value!r} has {quantity.qualifier} behind it", f"{known.noun} alone, for example {known.example}"
            )
        if quantity.value < 0 and allowed is not _Allowed.SIGNED:
            raise Refusal(f"{value!r} is negative", f"{wanted}, for example {known.example}")
        if quantity.value == 0 and allowed is _Allowed.POSITIVE:
            raise Refusal(f"{value!r} is zero", f"{wanted}, for example {known.example}")
        if quantity.value > most:
            raise Refusal(f"{value!r} is too much", f"{known.noun} of {show(most, dimension)} at most")
        if quantity.value < least:
            raise Refusal(f"{value!r} is too little", f"{known.noun} of {show(least, dimension)} at least")
        return quantity.value

    return read


def _text_schema(description: str, *examples: str) -> dict[str, Any]:
    return {"type": "string", "description": description, "examples": list(examples)}


def _quantity(dimension: str, allowed: _Allowed = _Allowed.POSITIVE, most: float = inf, least: float = -inf) -> _Reader:
    known = quantities.dimension_of(dimension)
    words = " ".join(filter(None, (known.noun, allowed.value, "with its unit:", ", ".join(known.units))))
    schema = _text_schema(words, known.example) | {"pattern": r"^\s*[+-]?[0-9.].*[^0-9.\s][23]?\s*$"}
    return _Reader(_scalar(dimension, allowed, least, most), schema, dimension)


_ZERO, _SIGNED = _Allowed.ZERO, _Allowed.SIGNED

# Above zero; with OrZero also zero, with Signed any sign. What lies beyond the bounds of its dimension is refused.
Volts = Annotated[float, _quantity("voltage")]
_U0_OF_PAIR = re.compile(r"^\s*\d+\s*/\s*(?=\d)")


def _between_conductors(value: Any) -> float:
    """Of U0/U as printed on a cable, "300/500 V", the second."""
    return float(_quantity("voltage").read(_U0_OF_PAIR.sub("", value) if isinstance(value, str) else value))


InsulationVolts = Annotated[float, _Reader(_between_conductors, _quantity("voltage").schema, "voltage")]
VoltsOrZero = Annotated[float, _quantity("voltage", _ZERO)]
Amperes = Annotated[float, _quantity("current")]
AmperesOrZero = Annotated[float, _quantity("current", _ZERO)]
Watts = Annotated[float, _quantity("power")]
WattsOrZero = Annotated[float, _quantity("power", _ZERO)]
VoltAmperes = Annotated[float, _quantity("apparent power")]
Ohms = Annotated[float, _quantity("resistance")]
OhmsOrZero = Annotated[float, _quantity("resistance", _ZERO)]
Henries = Annotated[float, _quantity("inductance")]
Farads = Annotated[float, _quantity("capacitance")]
FaradsOrZero = Annotated[float, _quantity("capacitance", _ZERO)]
Seconds = Annotated[float, _quantity("time")]
SecondsOrZero = Annotated[float, _quantity("time", _ZERO)]
Hertz = Annotated[float, _quantity("frequency")]
#: Frequency of a mains: railways, islands and ships lie between 16.7 Hz and 400 Hz.
MainsHertz = Annotated[float, _quantity("frequency", most=1000.0, least=10.0)]
Metres = Annotated[float, _quantity("length")]
MetresOrZero = Annotated[float, _quantity("length", _ZERO)]
Altitude = Annotated[float, _quantity("length", _SIGNED)]
Celsius = Annotated[float, _quantity("temperature", _SIGNED)]
#: Air in which conductors and cabinets stand: the coldest place on Earth, the inside of an oven.
AirCelsius = Annotated[float, _quantity("temperature", _SIGNED, 300.0, -90.0)]
NewtonMetres = Annotated[float, _quantity("torque")]
NewtonMetresOrZero = Annotated[float, _quantity("torque", _ZERO)]
NewtonMetresSigned = Annotated[float, _quantity("torque", _SIGNED)]
RadiansPerSecond = Annotated[float, _quantity("rotational speed")]
RadiansPerSecondSigned = Annotated[float, _quantity("rotational speed", _SIGNED)]
KilogramSquareMetres = Annotated[float, _quantity("inertia", _ZERO)]
Kilograms = Annotated[float, _quantity("mass", _ZERO)]
Newtons = Annotated[float, _quantity("force", _SIGNED)]
MetresPerSecond = Annotated[float, _quantity("linear speed", _SIGNED)]
#: A part of a whole, up to 100 %.
Fraction = Annotated[float, _quantity("fraction", most=1.0)]
FractionOrZero = Annotated[float, _quantity("fraction", _ZERO, 1.0)]
#: A share of a rating, which may lie above it.
Multiple = Annotated[float, _quantity("fraction")]
PerKelvin = Annotated[float, _quantity("slope per kelvin", _ZERO)]
AmpereHours = Annotated[float, _quantity("electric charge")]
Joules = Annotated[float, _quantity("energy", _ZERO)]
AmpereSquaredSeconds = Annotated[float, _quantity("let-through energy")]
Pascals = Annotated[float, _quantity("pressure", _ZERO)]
Flow = Annotated[float, _quantity("flow")]
FlowOrZero = Annotated[float, _quantity("flow", _ZERO)]
Radians = Annotated[float, _quantity("angle", _SIGNED)]


def _size(value: Any) -> quantities.WireSize:
    return parse_wire_size(wanted_text(value, "1.5 mm2"))


WireSize = Annotated[
    quantities.WireSize,
    _Reader(_size, _text_schema("a conductor size in mm2, AWG or kcmil", "1.5 mm2", "16 AWG", "1/0 AWG", "250 kcmil")),
]


def _flag(value: Any) -> bool:
    text = wanted_text(value, "true")
    if text not in ("true", "false"):
        raise Refusal(f"{text!r} is neither true nor false", "true or false")
    return text == "true"


def _count(least: int) -> Callable[[Any], int]:
    def read(value: Any) -> int:
        text = wanted_text(value, "4")
        if not re.fullmatch(r"[0-9]{1,6}", text):
            raise Refusal(f"{text!r} is not a count", "a whole number without a unit, for example 4")
        if not least <= int(text) <= LARGEST_NUMBER:
            raise Refusal(f"{text!r} is out of bounds", f"a whole number from {least} to {LARGEST_NUMBER}")
        return int(text)

    return read


def _factor(most: float) -> Callable[[Any], float]:
    def read(value: Any) -> float:
        text = wanted_text(value, "0.95")
        if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,12})?", text):
            raise Refusal(
                f"{text!r} is not a plain number", "a number with a decimal point and no unit, for example 0.95"
            )
        if not LEAST_FACTOR <= float(text) <= most:
            raise Refusal(f"{text!r} is out of bounds", f"a number from {LEAST_FACTOR:g} to {most:g}")
        return float(text)

    return read


def _name(value: Any) -> str:
    text = wanted_text(value, "K1")
    if not text or len(text) > 80 or re.search(r"[\s:,;]", text):
        raise Refusal(
            f"{text[:40]!r} is not a name", "letters, digits and signs without space, colon, comma or semicolon"
        )
    return text


def _text(value: Any) -> str:
    return wanted_text(value, "a few words")


def _protection(value: Any) -> str:
    text = wanted_text(value, "IP54").strip()
    kind = re.fullmatch(r"(?i:type)\s*((?:3RX|3SX|3R|3S|3X|4X|6P|12K|13|12|[1-6])(?:\s*,\s*[0-9A-Z]+)*)", text)
    if kind:
        return f"type {kind[1]}"
    if not re.fullmatch(r"IP[0-6X][0-9X][A-D]?[HMSW]{0,2}", text):
        raise Refusal(
            f"{text[:40]!r} is no degree of protection", "an IP code such as IP54, or an enclosure type such as type 12"
        )
    return text


def _colour(value: Any) -> str:
    return read_colour(wanted_text(value, "BK"))


def _insulation(value: Any) -> str:
    return read_insulation(wanted_text(value, "pvc-70"))


_NAME_SCHEMA = {"type": ["string", "integer"], "pattern": r"^[^\s:,;]+$", "examples": ["K1"]}
_COLOUR_WORDS = "colour of the insulation in letters of IEC 60757"

#: true or false, and no other word.
EnergyClass = Literal["1", "2", "3"]
Flag = Annotated[bool, _Reader(_flag, {"type": "boolean"})]
#: A bare whole number of things.
Count = Annotated[
    int, _Reader(_count(1), {"type": "integer", "minimum": 1, "maximum": LARGEST_NUMBER, "examples": [4]})
]
CountOrZero = Annotated[
    int, _Reader(_count(0), {"type": "integer", "minimum": 0, "maximum": LARGEST_NUMBER, "examples": [4]})
]
_FACTOR_SCHEMA = {"type": "number", "minimum": LEAST_FACTOR}
#: A bare number without a dimension.
Factor = Annotated[
    float, _Reader(_factor(LARGEST_FACTOR), _FACTOR_SCHEMA | {"maximum": LARGEST_FACTOR, "examples": [6]})
]
#: A bare number up to 1.
PowerFactor = Annotated[float, _Reader(_factor(1.0), _FACTOR_SCHEMA | {"maximum": 1, "examples": [0.95]})]
#: Any text.
Text = Annotated[str, _Reader(_text, {"type": ["string", "number"]})]
#: The id of a part, conductor, route or terminal.
Name = Annotated[str, _Reader(_name, _NAME_SCHEMA)]
#: IP code (IEC 60529) or enclosure type (NEMA 250).
Protection = Annotated[
    str, _Reader(_protection, _text_schema("degree of protection of the enclosure", "IP54", "type 12"))
]
#: Letter codes of IEC 60757, one or two colours, in capitals.
Colour = Annotated[str, _Reader(_colour, _text_schema(_COLOUR_WORDS, "BK", "BU", "GNYE", "DBU", "WHBU"))]
#: Insulation material with its highest conductor temperature, or a North American type word.
Insulation = Annotated[str, _Reader(_insulation, {"type": "string", "enum": list(INSULATION)})]
