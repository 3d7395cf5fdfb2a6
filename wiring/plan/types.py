"""Quantities of a plan, for pydantic models of any layer: text in, SI floats out."""

from __future__ import annotations

import re
from collections.abc import Callable
from enum import Enum
from math import inf
from typing import Annotated, Any

from wiring import quantities
from wiring.plan.fault import Refusal
from wiring.plan.values import ValueReader, text_schema, wanted_text
from wiring.quantities import parse, parse_wire_size, show


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


def _quantity(
    dimension: str, allowed: _Allowed = _Allowed.POSITIVE, most: float = inf, least: float = -inf
) -> ValueReader:
    known = quantities.dimension_of(dimension)
    words = " ".join(filter(None, (known.noun, allowed.value, "with its unit:", ", ".join(known.units))))
    schema = text_schema(words, known.example) | {"pattern": r"^\s*[+-]?[0-9.].*[^0-9.\s][23]?\s*$"}
    return ValueReader(_scalar(dimension, allowed, least, most), schema, dimension)


_ZERO, _SIGNED = _Allowed.ZERO, _Allowed.SIGNED

# Above zero; with OrZero also zero, with Signed any sign. What lies beyond the bounds of its dimension is refused.
Volts = Annotated[float, _quantity("voltage")]
_U0_OF_PAIR = re.compile(r"^\s*\d+\s*/\s*(?=\d)")


def _between_conductors(value: Any) -> float:
    """Of U0/U as printed on a cable, "300/500 V", the second."""
    return float(_quantity("voltage").read(_U0_OF_PAIR.sub("", value) if isinstance(value, str) else value))


InsulationVolts = Annotated[float, ValueReader(_between_conductors, _quantity("voltage").schema, "voltage")]
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
    ValueReader(
        _size, text_schema("a conductor size in mm2, AWG or kcmil", "1.5 mm2", "16 AWG", "1/0 AWG", "250 kcmil")
    ),
]
