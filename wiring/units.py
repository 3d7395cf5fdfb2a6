"""The units a plan may use, each with its factor to SI; and the steps in which a value is printed.

Factors are exact by definition (SI; inch 25.4 mm, pound 0.45359237 kg, standard gravity 9.80665 m/s2, mechanical
horsepower 550 ft·lbf/s) or follow from these. Temperatures stay in °C and are the one scale with an offset.
"""

from __future__ import annotations

from math import pi

from msgspec import Struct, field

_INCH_M = 0.0254
_FOOT_M = 0.3048
_POUND_KG = 0.45359237
_GRAVITY = 9.80665
_POUND_FORCE_N = _POUND_KG * _GRAVITY
_OUNCE_KG = _POUND_KG / 16
_OUNCE_FORCE_N = _POUND_FORCE_N / 16


class Dimension(Struct, frozen=True):
    """One kind of quantity: its name, the words for it, its units, an example, and how it is printed.

    `steps` are (lowest absolute value, unit, factor), largest first; the last one takes what is left. `scales` are
    units that begin elsewhere: (their reading at zero, numerator and denominator of their factor).
    `bounds` of sense, in SI: the least magnitude besides zero and the largest that a machine has; for temperatures,
    which pass through zero, the lowest and the highest.
    """

    name: str
    noun: str
    units: dict[str, float]
    example: str
    steps: tuple[tuple[float, str, float], ...]
    bounds: tuple[float, float]
    scales: dict[str, tuple[float, float, float]] = field(default_factory=dict)

    def in_si(self, value: float, unit: str) -> float:
        """A value of one of its units in SI. 122 °F are 50 °C to the last digit, where a printed band may end."""
        if unit in self.scales:
            zero, times, parts = self.scales[unit]
            return (value - zero) * times / parts
        return value * self.units[unit]

    def has_sense(self, value: float) -> bool:
        """Whether a machine can have a value in SI of this dimension."""
        least, most = self.bounds
        return least <= value <= most if self.scales else value == 0.0 or least <= abs(value) <= most


def _metric(unit: str, prefixes: str) -> dict[str, float]:
    factors = {"p": 1e-12, "n": 1e-9, "u": 1e-6, "m": 1e-3, "k": 1e3, "M": 1e6, "G": 1e9}
    return {unit: 1.0} | {prefix + unit: factors[prefix] for prefix in prefixes}


_TURN = 2 * pi

_TABLE = (
    Dimension(
        "voltage",
        "a voltage",
        _metric("V", "umk"),
        "24 V",
        ((1e3, "kV", 1e3), (0.1, "V", 1), (0, "mV", 1e-3)),
        (1e-6, 2e5),
    ),
    Dimension(
        "current",
        "a current",
        _metric("A", "numk"),
        "4 A",
        ((1e3, "kA", 1e3), (0.1, "A", 1), (1e-4, "mA", 1e-3), (0, "µA", 1e-6)),
        (1e-10, 2e5),
    ),
    Dimension(
        "power",
        "a power",
        _metric("W", "mkM") | {"hp": 550 * _FOOT_M * _POUND_FORCE_N},
        "60 W",
        ((1e6, "MW", 1e6), (1e3, "kW", 1e3), (0.1, "W", 1), (0, "mW", 1e-3)),
        (1e-9, 1e7),
    ),
    Dimension(
        "apparent power",
        "an apparent power",
        _metric("VA", "mkM"),
        "63 VA",
        ((1e3, "kVA", 1e3), (0, "VA", 1)),
        (1e-9, 1e7),
    ),
    Dimension(
        "electric charge",
        "a capacity",
        {"Ah": 3600.0, "mAh": 3.6, "C": 1.0},
        "7 Ah",
        ((0, "Ah", 3600.0),),
        (1e-9, 1e8),
    ),
    Dimension(
        "resistance",
        "a resistance",
        _metric("ohm", "umkMG"),
        "1.5 ohm",
        ((1e6, "Mohm", 1e6), (1e3, "kohm", 1e3), (0.1, "ohm", 1), (0, "mohm", 1e-3)),
        (1e-7, 1e12),
    ),
    Dimension(
        "inductance",
        "an inductance",
        _metric("H", "num"),
        "3.4 mH",
        ((1, "H", 1), (1e-3, "mH", 1e-3), (0, "µH", 1e-6)),
        (1e-10, 1e3),
    ),
    Dimension(
        "capacitance",
        "a capacitance",
        _metric("F", "pnum"),
        "470 µF",
        ((1, "F", 1), (1e-2, "mF", 1e-3), (1e-6, "µF", 1e-6), (1e-9, "nF", 1e-9), (0, "pF", 1e-12)),
        (1e-14, 1e3),
    ),
    Dimension(
        "time",
        "a time",
        _metric("s", "num") | {"min": 60.0, "h": 3600.0},
        "0.4 s",
        ((0.1, "s", 1), (1e-4, "ms", 1e-3), (0, "µs", 1e-6)),
        (1e-10, 1e7),
    ),
    Dimension(
        "frequency",
        "a frequency",
        _metric("Hz", "kM"),
        "50 Hz",
        ((1e6, "MHz", 1e6), (1e3, "kHz", 1e3), (0, "Hz", 1)),
        (1e-3, 1e10),
    ),
    Dimension(
        "length",
        "a length",
        {"m": 1.0, "mm": 1e-3, "cm": 1e-2, "um": 1e-6, "in": _INCH_M, "ft": _FOOT_M},
        "0.5 m",
        ((0.1, "m", 1), (0, "mm", 1e-3)),
        (1e-7, 1e4),
    ),
    Dimension(
        "area",
        "a cross-section",
        {"mm2": 1e-6, "cm2": 1e-4, "m2": 1.0, "in2": _INCH_M**2},
        "2.5 mm2",
        ((1e-2, "m2", 1), (0, "mm2", 1e-6)),
        (1e-10, 1e4),
    ),
    Dimension(
        "temperature",
        "a temperature",
        {"°C": 1.0, "degC": 1.0, "°F": 5 / 9, "degF": 5 / 9},
        "35 °C",
        ((0, "°C", 1),),
        (-273.15, 3000.0),
        {"°F": (32.0, 5.0, 9.0), "degF": (32.0, 5.0, 9.0)},
    ),
    Dimension(
        "torque",
        "a torque",
        {
            "N·m": 1.0,
            "Nm": 1.0,
            "mN·m": 1e-3,
            "mNm": 1e-3,
            "N·cm": 1e-2,
            "Ncm": 1e-2,
            "oz·in": _OUNCE_FORCE_N * _INCH_M,
            "lb·in": _POUND_FORCE_N * _INCH_M,
            "lb·ft": _POUND_FORCE_N * _FOOT_M,
        },
        "1.2 N·m",
        ((0.01, "N·m", 1), (0, "mN·m", 1e-3)),
        (1e-9, 1e6),
    ),
    Dimension(
        "rotational speed",
        "a rotational speed",
        {"rad/s": 1.0, "rpm": _TURN / 60, "1/min": _TURN / 60, "rev/s": _TURN, "rev/min": _TURN / 60},
        "600 rpm",
        ((0, "rpm", _TURN / 60),),
        (1e-6, 1.1e5),
    ),
    Dimension(
        "inertia",
        "a moment of inertia",
        {
            "kg·m2": 1.0,
            "kg·cm2": 1e-4,
            "g·cm2": 1e-7,
            "oz·in2": _OUNCE_KG * _INCH_M**2,
            "lb·in2": _POUND_KG * _INCH_M**2,
        },
        "0.8 kg·cm2",
        ((0.1, "kg·m2", 1), (1e-6, "kg·cm2", 1e-4), (0, "g·cm2", 1e-7)),
        (1e-14, 1e6),
    ),
    Dimension(
        "mass",
        "a mass",
        {"kg": 1.0, "g": 1e-3, "t": 1e3, "lb": _POUND_KG, "oz": _OUNCE_KG},
        "4 kg",
        ((0.1, "kg", 1), (0, "g", 1e-3)),
        (1e-9, 1e6),
    ),
    Dimension(
        "force",
        "a force",
        _metric("N", "mk") | {"lbf": _POUND_FORCE_N},
        "150 N",
        ((1e3, "kN", 1e3), (0, "N", 1)),
        (1e-9, 1e8),
    ),
    Dimension(
        "linear speed",
        "a linear speed",
        {"m/s": 1.0, "mm/s": 1e-3, "m/min": 1 / 60, "mm/min": 1e-3 / 60}
        | {"in/min": _INCH_M / 60, "in/s": _INCH_M, "ft/min": 12 * _INCH_M / 60},
        "200 mm/s",
        ((1, "m/s", 1), (0, "mm/s", 1e-3)),
        (1e-9, 1e3),
    ),
    Dimension("fraction", "a share in percent", {"%": 0.01}, "80 %", ((0, "%", 0.01),), (1e-6, 10.0)),
    Dimension("slope per kelvin", "a change per kelvin", {"%/K": 0.01}, "2.5 %/K", ((0, "%/K", 0.01),), (1e-6, 1.0)),
    Dimension("power per kelvin", "a power per kelvin", {"W/K": 1.0}, "5 W/K", ((0, "W/K", 1),), (1e-6, 1e5)),
    Dimension(
        "energy",
        "an energy",
        _metric("J", "mk") | {"Wh": 3600.0, "kWh": 3.6e6},
        "12 J",
        ((1e3, "kJ", 1e3), (0.1, "J", 1), (0, "mJ", 1e-3)),
        (1e-9, 1e10),
    ),
    Dimension(
        "pressure",
        "a pressure",
        _metric("Pa", "kM") | {"bar": 1e5, "mbar": 1e2, "psi": _POUND_FORCE_N / _INCH_M**2},
        "6 bar",
        ((1e4, "bar", 1e5), (0, "Pa", 1)),
        (1e-6, 1e9),
    ),
    Dimension(
        "flow",
        "a volume flow",
        {
            "m3/s": 1.0,
            "m3/h": 1 / 3600,
            "l/min": 1e-3 / 60,
            "l/s": 1e-3,
            "l/h": 1e-3 / 3600,
            "ft3/min": _FOOT_M**3 / 60,
        },
        "60 m3/h",
        ((1e-3, "m3/h", 1 / 3600), (0, "l/min", 1e-3 / 60)),
        (1e-9, 1e3),
    ),
    Dimension(
        "let-through energy",
        "an I2t value",
        # No kA2s: data sheets mean a thousand A2s by it, the SI reads it as a million.
        {"A2s": 1.0, "A2·s": 1.0},
        "200 A2s",
        ((0, "A2s", 1),),
        (1e-6, 1e12),
    ),
    Dimension(
        "angle",
        "an angle",
        {"deg": pi / 180, "°": pi / 180, "rad": 1.0},
        "30 deg",
        ((0, "deg", pi / 180),),
        (1e-9, 1e4),
    ),
)

DIMENSIONS: dict[str, Dimension] = {dimension.name: dimension for dimension in _TABLE}

#: Which dimensions know a unit, in the order of the table.
OWNERS: dict[str, tuple[Dimension, ...]] = {}
for _dimension in _TABLE:
    for _unit in _dimension.units:
        OWNERS[_unit] = (*OWNERS.get(_unit, ()), _dimension)
