"""Types of single values in a plan, for pydantic models of any layer: text in, SI floats or frozen records out."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Annotated, Any

from pydantic import PlainValidator, WithJsonSchema

from wiring import quantities
from wiring.plan.colours import read_colour
from wiring.plan.fault import Refusal
from wiring.plan.insulation import INSULATION, read_insulation
from wiring.plan.records import (
    Box,
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
    "AmpereSquaredSeconds",
    "Amperes",
    "Box",
    "Celsius",
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


def _schema(description: str, *examples: str, pattern: str = "") -> WithJsonSchema:
    body: dict[str, Any] = {"type": "string", "description": description, "examples": list(examples)}
    if pattern:
        body["pattern"] = pattern
    return WithJsonSchema(body)


def _quantity_schema(dimension: str) -> WithJsonSchema:
    known = quantities.dimension_of(dimension)
    words = f"{known.noun} with its unit: {', '.join(known.units)}"
    return _schema(words, known.example, pattern=r"^\s*[+-]?[0-9.].*[^0-9.\s]\s*$")


Volts = Annotated[float, PlainValidator(_scalar("voltage")), _quantity_schema("voltage")]
Amperes = Annotated[float, PlainValidator(_scalar("current")), _quantity_schema("current")]
Watts = Annotated[float, PlainValidator(_scalar("power")), _quantity_schema("power")]
VoltAmperes = Annotated[float, PlainValidator(_scalar("apparent power")), _quantity_schema("apparent power")]
Ohms = Annotated[float, PlainValidator(_scalar("resistance")), _quantity_schema("resistance")]
Henries = Annotated[float, PlainValidator(_scalar("inductance")), _quantity_schema("inductance")]
Farads = Annotated[float, PlainValidator(_scalar("capacitance")), _quantity_schema("capacitance")]
Seconds = Annotated[float, PlainValidator(_scalar("time")), _quantity_schema("time")]
Hertz = Annotated[float, PlainValidator(_scalar("frequency")), _quantity_schema("frequency")]
Metres = Annotated[float, PlainValidator(_scalar("length")), _quantity_schema("length")]
Celsius = Annotated[float, PlainValidator(_scalar("temperature")), _quantity_schema("temperature")]
NewtonMetres = Annotated[float, PlainValidator(_scalar("torque")), _quantity_schema("torque")]
RadiansPerSecond = Annotated[float, PlainValidator(_scalar("rotational speed")), _quantity_schema("rotational speed")]
KilogramSquareMetres = Annotated[float, PlainValidator(_scalar("inertia")), _quantity_schema("inertia")]
Kilograms = Annotated[float, PlainValidator(_scalar("mass")), _quantity_schema("mass")]
Newtons = Annotated[float, PlainValidator(_scalar("force")), _quantity_schema("force")]
MetresPerSecond = Annotated[float, PlainValidator(_scalar("linear speed")), _quantity_schema("linear speed")]
Fraction = Annotated[float, PlainValidator(_scalar("fraction")), _quantity_schema("fraction")]
PerKelvin = Annotated[float, PlainValidator(_scalar("slope per kelvin")), _quantity_schema("slope per kelvin")]
Joules = Annotated[float, PlainValidator(_scalar("energy")), _quantity_schema("energy")]
AmpereSquaredSeconds = Annotated[
    float, PlainValidator(_scalar("let-through energy")), _quantity_schema("let-through energy")
]
Pascals = Annotated[float, PlainValidator(_scalar("pressure")), _quantity_schema("pressure")]
Flow = Annotated[float, PlainValidator(_scalar("flow")), _quantity_schema("flow")]
Radians = Annotated[float, PlainValidator(_scalar("angle")), _quantity_schema("angle")]


def _size(value: Any) -> quantities.WireSize:
    return parse_wire_size(wanted_text(value, "1.5 mm2"))


WireSize = Annotated[
    quantities.WireSize,
    PlainValidator(_size),
    _schema("a conductor size in mm2, AWG or kcmil", "1.5 mm2", "16 AWG", "1/0 AWG", "250 kcmil"),
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


#: true or false, and no other word.
Flag = Annotated[bool, PlainValidator(_flag), WithJsonSchema({"type": "boolean"})]
#: A bare whole number of things.
Count = Annotated[int, PlainValidator(_count), WithJsonSchema({"type": "integer", "minimum": 0, "examples": [4]})]
#: A bare number without a dimension, such as a power factor.
Factor = Annotated[float, PlainValidator(_factor), WithJsonSchema({"type": "number", "minimum": 0, "examples": [0.95]})]
#: Any text.
Text = Annotated[str, PlainValidator(_text), WithJsonSchema({"type": ["string", "number"]})]
#: The id of a part, conductor, route or terminal.
Name = Annotated[
    str,
    PlainValidator(_name),
    WithJsonSchema({"type": ["string", "integer"], "pattern": r"^[^\s:,;]+$", "examples": ["K1"]}),
]
#: IP code (IEC 60529) or enclosure type (NEMA 250).
Protection = Annotated[
    str, PlainValidator(_protection), _schema("degree of protection of the enclosure", "IP54", "type 12")
]
#: Letter codes of IEC 60757, one or two colours, in capitals.
Colour = Annotated[
    str,
    PlainValidator(lambda value: read_colour(wanted_text(value, "BK"))),
    _schema("colour of the insulation in letters of IEC 60757", "BK", "BU", "GNYE", "DBU", "WHBU"),
]
#: Insulation material with its highest conductor temperature, or a North American type word.
Insulation = Annotated[
    str,
    PlainValidator(lambda value: read_insulation(wanted_text(value, "pvc-70"))),
    WithJsonSchema({"type": "string", "enum": list(INSULATION)}),
]
