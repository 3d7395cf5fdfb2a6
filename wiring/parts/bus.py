"""A DC bus and its supply: stored energy, regeneration, discharge, ripple, and what the supply takes from the mains.

All values are scalars in SI units.
"""

from __future__ import annotations

from math import sqrt

from wiring.parts.ranges import above_zero, not_negative, share

#: Filter capacitance per ampere and volt for about a tenth of ripple [F·V/A] by mains frequency [Hz]; common practice.
_FILTER_F_V_PER_A = {50.0: 0.1, 60.0: 0.08}


def stored_energy(capacitance_f: float, volts: float) -> float:
    """Energy in a capacitor [J]; capacitance not negative, ValueError otherwise. Source: C V2 / 2."""
    not_negative(capacitance_f=capacitance_f)
    return 0.5 * capacitance_f * volts**2


def bus_rise(volts: float, energy_j: float, capacitance_f: float) -> float:
    """Voltage of a bus that has taken up `energy_j` returned by braking axes [V], nothing else taking it.

    Voltage and energy not negative, capacitance above zero; ValueError otherwise. Source: V2 = sqrt(V1^2 + 2 E / C).
    """
    not_negative(volts=volts, energy_j=energy_j)
    above_zero(capacitance_f=capacitance_f)
    return sqrt(volts**2 + 2.0 * energy_j / capacitance_f)


def capacitance_for_rise(volts: float, highest_v: float, energy_j: float) -> float:
    """Capacitance that takes up `energy_j` between two voltages [F]; the higher one above the lower.

    Raises ValueError otherwise. Source: 2 E / (V2^2 - V1^2).
    """
    not_negative(volts=volts, energy_j=energy_j)
    above_zero(highest_v_above_volts=highest_v - volts)
    return 2.0 * energy_j / (highest_v**2 - volts**2)


def rotating_energy(inertia: float, speed: float) -> float:
    """Energy of a turning mass [J]; inertia [kg·m2] not negative, speed [rad/s]. Source: J w2 / 2."""
    not_negative(inertia=inertia)
    return 0.5 * inertia * speed**2


def braking_resistor_rating(energy_j: float, cycle_s: float, usable: float = 0.2) -> float:
    """Rated power of a braking resistor [W] that takes `energy_j` once a cycle; `usable` share of its rating.

    Makers of drives print 0.2 and 0.4 for the usable share; the default is the safer one.
    Raises ValueError outside the ranges. Source: drive manuals, E / (u T).
    """
    not_negative(energy_j=energy_j)
    above_zero(cycle_s=cycle_s)
    share(usable=usable)
    return energy_j / (usable * cycle_s)


def run_on_time(capacitance_f: float, start_v: float, end_v: float, load_w: float) -> float:
    """Time that a bus feeds a load of constant power after its supply is cut [s]; infinite without a load.

    Raises ValueError below zero. Source: C (V1^2 - V2^2) / (2 P).
    """
    not_negative(capacitance_f=capacitance_f, start_v=start_v, end_v=end_v, load_w=load_w)
    energy_j = max(0.0, stored_energy(capacitance_f, start_v) - stored_energy(capacitance_f, end_v))
    if energy_j == 0.0:
        return 0.0
    return energy_j / load_w if load_w > 0.0 else float("inf")


def ripple_voltage(load_a: float, mains_hz: float, capacitance_f: float) -> float:
    """Ripple from peak to peak behind a full-wave rectifier [V], upper bound; frequency, capacitance above zero.

    Raises ValueError otherwise. Source: I / (2 f C).
    """
    not_negative(load_a=load_a)
    above_zero(mains_hz=mains_hz, capacitance_f=capacitance_f)
    return load_a / (2.0 * mains_hz * capacitance_f)


def filter_capacitance(volts: float, load_a: float, mains_hz: float) -> float:
    """Filter capacitance by the trade's rule for about a tenth of ripple [F]; mains of 50 or 60 Hz, voltage above zero.

    Raises ValueError otherwise. Source: common practice, 80 000 A/V at 60 Hz and 100 000 A/V at 50 Hz in microfarads.
    """
    above_zero(volts=volts)
    if mains_hz not in _FILTER_F_V_PER_A:
        raise ValueError(f"the rule for filter capacitors is given for 50 and 60 Hz, not for {mains_hz:g} Hz")
    return _FILTER_F_V_PER_A[mains_hz] * load_a / volts


def rectified_peak(ac_v: float, diode_v: float, regulation: float = 0.0, tolerance: float = 0.0) -> float:
    """Peak voltage behind a bridge rectifier [V]: `ac_v` at full load, `regulation` its rise at no load, both shares.

    Raises ValueError for a negative voltage. Source: sqrt(2) V (1 + regulation) (1 + tolerance) - 2 Vf.
    """
    not_negative(ac_v=ac_v, diode_v=diode_v)
    return max(0.0, sqrt(2.0) * ac_v * (1.0 + regulation) * (1.0 + tolerance) - 2.0 * diode_v)
