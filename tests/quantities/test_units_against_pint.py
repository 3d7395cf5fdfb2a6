"""Every unit of the table against pint, an independent library of units (its default registry)."""

from __future__ import annotations

from math import isclose

import pint
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from wiring.quantities import QuantityError, parse
from wiring.units import DIMENSIONS

REGISTRY = pint.UnitRegistry()

#: SI unit of each dimension in pint's words.
SI = {
    "voltage": "volt",
    "current": "ampere",
    "power": "watt",
    "apparent power": "volt * ampere",
    "resistance": "ohm",
    "inductance": "henry",
    "capacitance": "farad",
    "time": "second",
    "frequency": "hertz",
    "length": "metre",
    "area": "metre ** 2",
    "temperature": "degree_Celsius",
    "torque": "newton * metre",
    "rotational speed": "radian / second",
    "inertia": "kilogram * metre ** 2",
    "mass": "kilogram",
    "force": "newton",
    "linear speed": "metre / second",
    "fraction": "dimensionless",
    "slope per kelvin": "1 / delta_degree_Celsius",
    "power per kelvin": "watt / delta_degree_Celsius",
    "energy": "joule",
    "electric charge": "coulomb",
    "pressure": "pascal",
    "flow": "metre ** 3 / second",
    "let-through energy": "ampere ** 2 * second",
    "angle": "radian",
}

#: Units that pint writes otherwise than electricians do.
IN_PINT = {
    "VA": "volt * ampere",
    "mVA": "millivolt * ampere",
    "kVA": "kilovolt * ampere",
    "MVA": "megavolt * ampere",
    "hp": "horsepower",
    "mm2": "mm ** 2",
    "cm2": "cm ** 2",
    "m2": "m ** 2",
    "in2": "inch ** 2",
    "in": "inch",
    "°C": "degree_Celsius",
    "degC": "degree_Celsius",
    "°F": "degree_Fahrenheit",
    "degF": "degree_Fahrenheit",
    "N·m": "newton * metre",
    "Nm": "newton * metre",
    "mN·m": "millinewton * metre",
    "mNm": "millinewton * metre",
    "N·cm": "newton * centimetre",
    "Ncm": "newton * centimetre",
    "oz·in": "ounce_force * inch",
    "lb·in": "pound_force * inch",
    "lb·ft": "pound_force * foot",
    "1/min": "revolution / minute",
    "rev/s": "revolution / second",
    "rev/min": "revolution / minute",
    "kg·m2": "kg * m ** 2",
    "kg·cm2": "kg * cm ** 2",
    "g·cm2": "g * cm ** 2",
    "oz·in2": "ounce * inch ** 2",
    "lb·in2": "pound * inch ** 2",
    "t": "tonne",
    "lb": "pound",
    "oz": "ounce",
    "lbf": "pound_force",
    "in/min": "inch / minute",
    "in/s": "inch / second",
    "ft/min": "foot / minute",
    "%": "percent",
    "%/K": "percent / delta_degree_Celsius",
    "W/K": "watt / delta_degree_Celsius",
    "m3/s": "m ** 3 / s",
    "m3/h": "m ** 3 / hour",
    "l/min": "litre / minute",
    "l/s": "litre / second",
    "l/h": "litre / hour",
    "ft3/min": "foot ** 3 / minute",
    "A2s": "A ** 2 * s",
    "A2·s": "A ** 2 * s",
    "deg": "degree",
    "°": "degree",
}

UNITS = [(dimension.name, unit) for dimension in DIMENSIONS.values() for unit in dimension.units]


def by_pint(value: float, unit: str, dimension: str) -> float:
    return REGISTRY.Quantity(value, IN_PINT.get(unit, unit)).to(SI[dimension]).magnitude


@pytest.mark.parametrize(("dimension", "unit"), UNITS)
@given(value=st.floats(-1e6, 1e6, allow_subnormal=False))
def test_unit_agrees_with_pint(dimension: str, unit: str, value: float) -> None:
    """The value, or beyond the bounds of sense of its dimension a refusal."""
    theirs = by_pint(value, unit, dimension)
    assume(not any(isclose(abs(theirs), abs(bound), rel_tol=1e-9) for bound in DIMENSIONS[dimension].bounds))
    if not DIMENSIONS[dimension].has_sense(theirs):
        with pytest.raises(QuantityError):
            parse(f"{value!r} {unit}", dimension)
        return
    ours = parse(f"{value!r} {unit}", dimension).value
    assert isclose(ours, theirs, rel_tol=1e-9, abs_tol=1e-9 if dimension == "temperature" else 0)


def test_every_dimension_has_a_reference() -> None:
    assert SI.keys() == DIMENSIONS.keys()
