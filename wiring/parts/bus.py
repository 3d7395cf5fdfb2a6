"""A DC bus and its supply: stored energy, regeneration, discharge, ripple, and what the supply takes from the mains.

All values are scalars in SI units.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log, pi, sqrt

from wiring.parts.machinery import mains_current
from wiring.parts.ranges import above_zero, not_negative, share

#: Filter capacitance per ampere and volt for about a tenth of ripple [F·V/A] by mains frequency [Hz]; common practice.
_FILTER_F_V_PER_A = {50.0: 0.1, 60.0: 0.08}


def stored_energy(capacitance_f: float, volts: float) -> float:
    """Energy in a capacitor [J]; capacitance not negative, ValueError otherwise. Source: C V2 / 2."""
    not_negative(capacitance_f=capacitance_f)
    return 0.5 * capacitance_f * volts**2


def stored_charge(capacitance_f: float, volts: float) -> float:
    """Charge in a capacitor [C]; capacitance not negative, ValueError otherwise. Source: C V."""
    not_negative(capacitance_f=capacitance_f)
    return capacitance_f * volts


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


def moving_energy(mass_kg: float, speed_m_s: float) -> float:
    """Energy of a moving mass [J]; mass not negative, ValueError otherwise. Source: m v2 / 2."""
    not_negative(mass_kg=mass_kg)
    return 0.5 * mass_kg * speed_m_s**2


def lifted_energy(mass_kg: float, height_m: float) -> float:
    """Energy of a lifted mass [J]; mass not negative, ValueError otherwise. Source: m g h."""
    not_negative(mass_kg=mass_kg)
    return mass_kg * 9.80665 * height_m


def braking_energy(speed: float, torque: float, time_s: float) -> float:
    """Mechanical energy taken out of a shaft that stops from `speed` [rad/s] at even torque in `time_s` [J].

    Raises ValueError for a negative time. Source: T w t / 2.
    """
    not_negative(time_s=time_s)
    return 0.5 * torque * speed * time_s


def braking_winding_loss(rms_a: float, phase_resistance_ohm: float, time_s: float) -> float:
    """Part of the braking energy that a three-phase winding turns into heat [J]; ValueError below zero. Derived."""
    not_negative(rms_a=rms_a, phase_resistance_ohm=phase_resistance_ohm, time_s=time_s)
    return 3.0 * rms_a**2 * phase_resistance_ohm * time_s


def braking_resistor_rating(energy_j: float, cycle_s: float, usable: float = 0.2) -> float:
    """Rated power of a braking resistor [W] that takes `energy_j` once a cycle; `usable` share of its rating.

    Makers of drives print 0.2 and 0.4 for the usable share; the default is the safer one.
    Raises ValueError outside the ranges. Source: drive manuals, E / (u T).
    """
    not_negative(energy_j=energy_j)
    above_zero(cycle_s=cycle_s)
    share(usable=usable)
    return energy_j / (usable * cycle_s)


def braking_resistance_max(clamp_v: float, peak_w: float) -> float:
    """Highest resistance that still takes the peak braking power at the clamp voltage [ohm]; power above zero.

    Raises ValueError otherwise. Source: V2 / P.
    """
    above_zero(peak_w=peak_w)
    return clamp_v**2 / peak_w


def discharge_time(resistance_ohm: float, capacitance_f: float, start_v: float, end_v: float) -> float:
    """Time for a capacitor to fall from `start_v` to `end_v` through a resistor [s]; zero when it is below already.

    Resistance, capacitance not negative, `end_v` above zero; ValueError otherwise. Source: R C ln(V0 / V1).
    """
    not_negative(resistance_ohm=resistance_ohm, capacitance_f=capacitance_f, start_v=start_v)
    above_zero(end_v=end_v)
    return 0.0 if start_v <= end_v else resistance_ohm * capacitance_f * log(start_v / end_v)


def charge_time(resistance_ohm: float, capacitance_f: float, reached: float) -> float:
    """Time for a capacitor to reach a share of the supply voltage through a resistor [s]; share above 0, below 1.

    Raises ValueError otherwise. Source: R C ln(1 / (1 - share)).
    """
    not_negative(resistance_ohm=resistance_ohm, capacitance_f=capacitance_f)
    above_zero(reached=reached, rest=1.0 - reached)
    return -resistance_ohm * capacitance_f * log(1.0 - reached)


def discharge_resistance(time_s: float, capacitance_f: float, start_v: float, end_v: float) -> float:
    """Highest resistance that discharges a capacitor in time [ohm]; infinite when it is below already.

    Capacitance and `end_v` above zero, time not negative; ValueError otherwise. Source: as `discharge_time`.
    """
    not_negative(time_s=time_s, start_v=start_v)
    above_zero(capacitance_f=capacitance_f, end_v=end_v)
    return float("inf") if start_v <= end_v else time_s / (capacitance_f * log(start_v / end_v))


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


def rectifier_secondary_voltage(dc_v: float) -> float:
    """Transformer voltage for a bridge with capacitor [V]. Source: a transformer maker's rule, 0.8 (Vdc + 2)."""
    return 0.8 * (dc_v + 2.0)


def rectifier_secondary_current(dc_a: float) -> float:
    """RMS current in the secondary of a bridge with capacitor [A]. Source: as above, 1.8 Idc, the higher of two."""
    return 1.8 * dc_a


def rectifier_transformer_va(dc_v: float, dc_a: float) -> float:
    """Size of the transformer for a bridge with capacitor [VA]. Source: as above, 1.4 (P + 2 Idc)."""
    return 1.4 * (dc_v * dc_a + 2.0 * dc_a)


def supply_input_current(output_w: float, efficiency: float, power_factor: float, volts: float) -> float:
    """Mains current of a supply [A]; efficiency and power factor above 0, not above 1.

    Raises ValueError otherwise. Source: definitions.
    """
    share(efficiency=efficiency)
    return mains_current(output_w / efficiency, volts, power_factor)


def supply_loss(output_w: float, efficiency: float) -> float:
    """Heat of a supply [W]; efficiency above 0, not above 1, ValueError otherwise. Source: P (1 / eta - 1)."""
    share(efficiency=efficiency)
    return output_w * (1.0 / efficiency - 1.0)


def supply_efficiency(output_w: float, input_v: float, input_a: float, power_factor: float) -> float:
    """Efficiency from nameplate figures, all above zero; ValueError otherwise. Source: definition."""
    above_zero(input_v=input_v, input_a=input_a, power_factor=power_factor)
    return output_w / (input_v * input_a * power_factor)


def low_line_share(volts: float, full_v: float, end_v: float, end_share: float) -> float:
    """Share of its rating that a supply delivers at a low mains voltage: 1 from `full_v` up, `end_share` at `end_v`.

    Straight between; 0 below `end_v`, where nothing is promised. `full_v` above `end_v`, ValueError otherwise.
    Source: data sheets of supplies.
    """
    above_zero(full_v_above_end_v=full_v - end_v)
    if volts >= full_v:
        return 1.0
    return 0.0 if volts < end_v else 1.0 - (1.0 - end_share) * (full_v - volts) / (full_v - end_v)


def leakage_sum(leakages_a: Sequence[float]) -> float:
    """Leakage into one protective conductor [A], shape (n,) to a scalar: all in phase, the upper bound."""
    return float(sum(leakages_a))


def capacitor_leakage(capacitance_f: float, volts: float, frequency_hz: float) -> float:
    """Current through a capacitor across AC [A]; any value not negative, ValueError otherwise. Source: 2 pi f C V."""
    not_negative(capacitance_f=capacitance_f, volts=volts, frequency_hz=frequency_hz)
    return 2.0 * pi * frequency_hz * capacitance_f * volts
