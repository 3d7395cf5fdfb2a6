"""Standard sizes as rising steps, and the one search among them: the first that is enough, the last that fits.

Steps without a source are what the trade sells (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import ceil, floor, inf, log10
from typing import TypeVar, overload

T = TypeVar("T")
#: Figures count as equal within this share: sizes are printed with few digits.
_ROUNDING = 1e-6

#: Rated currents of supplies and converters [A].
SUPPLY_A = (1.0, 1.5, 2.5, 3.0, 4.0, 5.0, 6.0, 7.5, 10.0, 12.5, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0)
#: Rated powers of transformers [VA].
TRANSFORMER_VA = (25.0, 40.0, 63.0, 100.0, 160.0, 250.0, 400.0, 500.0, 630.0, 1000.0, 1600.0, 2500.0, 4000.0)
#: Cross-sections besides those of the tables: Japanese ones, thin ones of electronics, thick ones of IEC 60228 [mm2].
SOLD_MM2 = (0.12, 0.15, 0.2, 0.3, 0.35, 0.38, 1.25, 2.0, 3.0, 3.5, 5.5, 8.0, 14.0, 22.0, 38.0, 60.0, 100.0,
            150.0, 185.0, 240.0, 300.0, 400.0, 500.0)  # fmt: skip
#: Air that filter fans deliver [m3/h].
FAN_M3_H = (20.0, 55.0, 105.0, 160.0, 230.0, 500.0)
#: Rated currents of contactors, AC-3 [A].
CONTACTOR_A = (9.0, 12.0, 18.0, 25.0, 32.0, 40.0, 50.0, 65.0, 80.0, 95.0)
#: Setting ranges of motor protective switches [A].
PROTECTOR_A = (
    (0.1, 0.16),
    (0.16, 0.25),
    (0.25, 0.4),
    (0.4, 0.63),
    (0.63, 1.0),
    (1.0, 1.6),
    (1.6, 2.5),
    (2.5, 4.0),
    (4.0, 6.3),
    (6.3, 10.0),
    (9.0, 14.0),
    (13.0, 18.0),
    (17.0, 23.0),
    (20.0, 25.0),
    (24.0, 32.0),
)
#: Rated currents of residual current devices and main switches [A] (IEC 61008-1, 5.3.2, and IEC 60947-3, from memory).
RESIDUAL_A = (16.0, 25.0, 40.0, 63.0, 80.0, 100.0)
SWITCH_A = (16.0, 20.0, 25.0, 32.0, 40.0, 63.0, 80.0, 100.0)
#: Small fuses of UL classes, and supplementary protectors, whose steps NFPA 70, 240.6(A), does not list [A].
SMALL_UL_FUSE_A = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0)
SUPPLEMENTARY_A = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 10.0, 13.0, 15.0, 16.0, 20.0, 25.0, 30.0)
#: Rated voltages of the insulation of wires and cables [V].
INSULATION_V = (300.0, 500.0, 600.0, 750.0, 1000.0)
#: Short-circuit currents that breakers are marked to break [A] (IEC 60898-1 and IEC 60947-2, from memory).
BREAKING_A = (3e3, 4.5e3, 6e3, 10e3, 15e3, 25e3, 36e3, 50e3, 100e3)
#: Direct voltages that small devices and contacts are marked for [V].
DC_V = (30.0, 60.0, 110.0, 125.0, 220.0, 250.0, 440.0, 600.0, 1000.0)
#: Nominal voltages of equipment [V] (IEC 60038:2009, tables 1 and 6, from memory, and those of 120 V systems).
NOMINAL_V = {
    "DC": (5.0, 6.0, 12.0, 24.0, 36.0, 48.0, 60.0, 72.0, 96.0, 110.0, 220.0, 440.0),
    "AC": (6.0, 12.0, 24.0, 48.0, 110.0, 120.0, 208.0, 230.0, 240.0, 277.0, 400.0, 480.0, 600.0, 690.0),
}
#: Rated currents of equipment, one decade [A] (IEC 60059:1999, from memory: the series R10 of ISO 3).
RATED_A = (1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0, 10.0)
#: Resistors of the series E12 (IEC 60063:2015, from memory), one decade.
E12 = (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)
#: Inner sections of wiring ducts, width and height [mm].
DUCTS_MM = (
    (25.0, 40.0),
    (40.0, 40.0),
    (40.0, 60.0),
    (60.0, 60.0),
    (80.0, 60.0),
    (80.0, 80.0),
    (100.0, 80.0),
    (120.0, 80.0),
    (120.0, 100.0),
)
#: Ranges of conductors that rows of terminals and earth bars take, by the system of sizes.
CLAMPS = {
    "mm2": (
        "0.14..1.5 mm2",
        "0.2..2.5 mm2",
        "0.2..4 mm2",
        "0.2..6 mm2",
        "0.5..10 mm2",
        "0.5..16 mm2",
        "1.5..35 mm2",
        "2.5..50 mm2",
    ),
    "awg": ("26..14 AWG", "24..12 AWG", "22..10 AWG", "20..8 AWG", "18..6 AWG", "14..2 AWG"),
}


@overload
def first_at_least(steps: Iterable[float], least: float) -> float | None: ...
@overload
def first_at_least(steps: Iterable[T], least: float, value: Callable[[T], float]) -> T | None: ...
def first_at_least(steps: Iterable[T], least: float, value: Callable[[T], float] = float) -> T | None:  # type: ignore[assignment]
    """The first of rising steps whose value is not below `least`; None where none reaches it."""
    return next((step for step in steps if value(step) >= least * (1.0 - _ROUNDING)), None)


@overload
def last_at_most(steps: Iterable[float], most: float) -> float | None: ...
@overload
def last_at_most(steps: Iterable[T], most: float, value: Callable[[T], float]) -> T | None: ...
def last_at_most(steps: Iterable[T], most: float, value: Callable[[T], float] = float) -> T | None:  # type: ignore[assignment]
    """The last of rising steps whose value is not above `most`; None where the first is above it."""
    fitting = [step for step in steps if value(step) <= most * (1.0 + _ROUNDING)]
    return fitting[-1] if fitting else None


def nominal(volts: float, kind: str) -> float:
    """The nominal voltage nearest to one that is seen [V]."""
    return min(NOMINAL_V["AC" if kind == "AC" else "DC"], key=lambda one: (abs(one - volts), one))


def _decade(value: float) -> float:
    """The power of ten that is not above a number; 1 for what has none."""
    return 10.0 ** floor(log10(value) + _ROUNDING) if 0.0 < value < inf else 1.0


def rated_current(least_a: float) -> float:
    """The first standard rated current that is not below `least_a` [A]."""
    decade = _decade(least_a)
    return decade * (first_at_least(RATED_A, least_a / decade) or RATED_A[-1])


def rounded_up(value: float, digits: int = 3) -> float:
    """A number that is asked at least, to so many digits that are printed, never below it."""
    step = _decade(value) * 10.0 ** (1 - digits)
    return ceil(value / step - _ROUNDING) * step if value < inf else value


def rounded_down(value: float, digits: int = 3) -> float:
    """A number that may be reached at most, to so many digits that are printed, never above it."""
    step = _decade(value) * 10.0 ** (1 - digits)
    return floor(value / step + _ROUNDING) * step if value < inf else value


def resistor(ohm: float) -> float:
    """The largest resistor of the series E12 that is no more than `ohm` [ohm]."""
    decade = _decade(ohm)
    return decade * (last_at_most(E12, ohm / decade) or 1.0)
