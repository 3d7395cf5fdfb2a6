"""Resistances of small devices where a plan gives none, from tables of typical values (standing: from memory).

They matter in short circuits of thin branches, where a small breaker or fuse is most of the loop.
"""

from __future__ import annotations

from math import exp, log

_BREAKER_POLE = ((1.0, 1.5), (2.0, 0.4), (6.0, 0.050), (10.0, 0.015), (16.0, 0.008), (63.0, 0.0015))
_CARTRIDGE_FUSE = ((0.5, 0.4), (1.0, 0.150), (5.0, 0.020), (10.0, 0.008), (32.0, 0.0025))
CONTACTOR_POLE_OHM = 0.003
RELAY_CONTACT_OHM = 0.030
SWITCH_POLE_OHM = 0.002
SEMICONDUCTOR_OHM = 0.05


#: A lead battery of 12 V and 7 Ah has some 25 mohm charged: per volt, times its ampere-hours (typical, from memory).
_BATTERY_OHM_AH_PER_V = 0.015
_USUAL_BATTERY_AH = 7.0


def battery_ohm(volts: float, coulombs: float | None) -> float:
    """Internal resistance of a charged lead battery, shape (), [ohm]; `volts` nominal and `coulombs` above 0.

    Source: typical of small sealed lead batteries, from memory; 7 Ah where the capacity is not known.
    """
    return _BATTERY_OHM_AH_PER_V * volts / (coulombs / 3600.0 if coulombs else _USUAL_BATTERY_AH)


def typical_phase_ohm(rms_a: float) -> float:
    """Resistance of one phase of a stepper motor of 2.8 V rated phase voltage, shape (), [ohm]; `rms_a` above 0 [A].

    Source: typical of hybrid steppers of 57 and 86 mm flange for chopper drives, from memory.
    """
    return 2.8 / rms_a


def _read(table: tuple[tuple[float, float], ...], rating_a: float) -> float:
    lower = max((row for row in table if row[0] <= rating_a), default=table[0])
    upper = min((row for row in table if row[0] >= rating_a), default=table[-1])
    if lower[0] == upper[0]:
        return lower[1]
    share = (log(rating_a) - log(lower[0])) / (log(upper[0]) - log(lower[0]))
    return exp(log(lower[1]) + share * (log(upper[1]) - log(lower[1])))


def breaker_pole_ohm(rating_a: float) -> float:
    """Resistance of one pole of a miniature circuit-breaker, shape (), [ohm]; `rating_a` above 0 [A].

    Source: typical values from memory, read between by a straight line in the logarithms; held beyond the ends.
    """
    return _read(_BREAKER_POLE, rating_a)


def fuse_ohm(rating_a: float) -> float:
    """Cold resistance of a small cartridge fuse, shape (), [ohm]; `rating_a` above 0 [A].

    Source: typical values from memory, read between by a straight line in the logarithms; held beyond the ends.
    """
    return _read(_CARTRIDGE_FUSE, rating_a)
