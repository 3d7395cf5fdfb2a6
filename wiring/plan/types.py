"""Types of single values in a plan, for pydantic models of any layer: text in, SI floats or frozen records out."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated, Any

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
    TerminalRef,
    Voltage,
    VoltageRange,
    WireSizeRange,
    wanted_text,
)
from wiring.quantities import parse, parse_wire_size

__all__ = [
    "AmpereHours",
    "AmpereSquaredSeconds",
    "Amperes",
    "Box",
    "Celsius",
    "CoilRating",
    "Colour",
    "Count",
    "CurrentRange",
    "Factor",
    "Farads",
    "Flag",
    "Flow",
    "Fraction",
    "Henries",
    "Hertz",
    "Insulation",
    "Joules",
    "KilogramSquareMetres",
    "Kilograms",
    "Metres",
    "MetresPerSecond",
    "Name",
    "NewtonMetres",
    "Newtons",
    "Ohms",
    "Pair",
    "Pascals",
    "PerKelvin",
    "PhaseCurrent",
    "Poles",
    "Protection",
    "Radians",
    "RadiansPerSecond",
    "Rated",
    "Seconds",
    "TerminalRef",
    "Text",
    "VoltAmperes",
    "Voltage",
    "VoltageRange",
    "Volts",
    "Watts",
    "WireSize",
    "WireSizeRange",
]

_MAY_BE_NEGATIVE = ("temperature", "torque", "rotational speed", "force", "linear speed", "angle")


@dataclass(frozen=True, slots=True, eq=False)
class _Reader:
    """How pydantic reads a value of the plan, and the JSON Schema of its text.

    Stands for a plain validator with a schema beside it, at a fraction of the time that pydantic takes to build these.
    """

    read: Callable[[Any], Any]
    schema: dict[str, Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: Any) -> dict[str, Any]:
        return dict(self.schema)


def _scalar(dimension: str) -> Callable[[Any], float]:
    may_be_negative = dimension in _MAY_BE_NEGATIVE
    known = quantities.dimension_of(dimension)

    def read(value: Any) -> float:
        quantity = parse(wanted_text(value, known.example), dimension)
        if quantity.qualifier:
            raise Refusal(
                f"{value!r} has {quantity.qualifier} behind it", f"{known.noun} alone, for example {known.example}"
            )
        if quantity.value < 0 and not may_be_negative:
            raise Refusal(f"{value!r} is negative", f"{known.noun} of zero or more, for example {known.example}")
        return quantity.value

    return read


def _text_schema(description: str, *examples: str) -> dict[str, Any]:
    return {"type": "string", "description": description, "examples": list(examples)}


def _quantity(dimension: str) -> _Reader:
    known = quantities.dimension_of(dimension)
    words = f"{known.noun} with its unit: {', '.join(known.units)}"
    schema = _text_schema(words, known.example) | {"pattern": r"^\s*[+-]?[0-9.].*[^0-9.\s][23]?\s*$"}
    return _Reader(_scalar(dimension), schema)


Volts = Annotated[float, _quantity("voltage")]
Amperes = Annotated[float, _quantity("current")]
Watts = Annotated[float, _quantity("power")]
VoltAmperes = Annotated[float, _quantity("apparent power")]
Ohms = Annotated[float, _quantity("resistance")]
Henries = Annotated[float, _quantity("inductance")]
Farads = Annotated[float, _quantity("capacitance")]
Seconds = Annotated[float, _quantity("time")]
Hertz = Annotated[float, _quantity("frequency")]
Metres = Annotated[float, _quantity("length")]
Celsius = Annotated[float, _quantity("temperature")]
NewtonMetres = Annotated[float, _quantity("torque")]
RadiansPerSecond = Annotated[float, _quantity("rotational speed")]
KilogramSquareMetres = Annotated[float, _quantity("inertia")]
Kilograms = Annotated[float, _quantity("mass")]
Newtons = Annotated[float, _quantity("force")]
MetresPerSecond = Annotated[float, _quantity("linear speed")]
Fraction = Annotated[float, _quantity("fraction")]
PerKelvin = Annotated[float, _quantity("slope per kelvin")]
AmpereHours = Annotated[float, _quantity("electric charge")]
Joules = Annotated[float, _quantity("energy")]
AmpereSquaredSeconds = Annotated[float, _quantity("let-through energy")]
Pascals = Annotated[float, _quantity("pressure")]
Flow = Annotated[float, _quantity("flow")]
Radians = Annotated[float, _quantity("angle")]


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


def _count(value: Any) -> int:
    text = wanted_text(value, "4")
    if not re.fullmatch(r"[0-9]{1,6}", text):
        raise Refusal(f"{text!r} is not a count", "a whole number without a unit, for example 4")
    return int(text)


def _factor(value: Any) -> float:
    text = wanted_text(value, "0.95")
    if not re.fullmatch(r"[0-9]{1,9}(\.[0-9]{1,12})?", text):
        raise Refusal(f"{text!r} is not a plain number", "a number with a decimal point and no unit, for example 0.95")
    return float(text)


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
Flag = Annotated[bool, _Reader(_flag, {"type": "boolean"})]
#: A bare whole number of things.
Count = Annotated[int, _Reader(_count, {"type": "integer", "minimum": 0, "examples": [4]})]
#: A bare number without a dimension, such as a power factor.
Factor = Annotated[float, _Reader(_factor, {"type": "number", "minimum": 0, "examples": [0.95]})]
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
