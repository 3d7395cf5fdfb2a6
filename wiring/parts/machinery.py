"""Shaft power, gears, screws and duty: what a load asks of its motor, and a motor of its drive.

All values are scalars in SI units; speeds in rad/s, torques in N·m, inertias in kg·m2.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi, sqrt

from wiring.parts.ranges import above_zero, not_negative, share


def motor_shaft_power(*, torque: float, speed: float) -> float:
    """Mechanical power at a shaft [W]; any sign. Source: definition, P = T w."""
    return torque * speed


def electrical_input_power(shaft_w: float, efficiency: float) -> float:
    """Electrical power into a motor [W]; `efficiency` above 0, not above 1. Raises ValueError otherwise."""
    share(efficiency=efficiency)
    return shaft_w / efficiency


def servo_bus_power(*, shaft_w: float, motor_efficiency: float, drive_efficiency: float, quiescent_w: float) -> float:
    """Power that a servo drive or an inverter takes from its supply [W] for `shaft_w`, not negative.

    Efficiencies above 0, not above 1. Raises ValueError otherwise. Source: energy balance.
    """
    not_negative(shaft_w=shaft_w, quiescent_w=quiescent_w)
    return electrical_input_power(electrical_input_power(shaft_w, motor_efficiency), drive_efficiency) + quiescent_w


def servo_stall_power(*, rms_a: float, phase_resistance_ohm: float, quiescent_w: float) -> float:
    """Power into a drive whose three-phase motor pulls at rest [W]; resistance from line to neutral.

    Raises ValueError below zero. Source: three times current squared times resistance.
    """
    not_negative(rms_a=rms_a, phase_resistance_ohm=phase_resistance_ohm, quiescent_w=quiescent_w)
    return 3.0 * rms_a**2 * phase_resistance_ohm + quiescent_w


def mains_current(power_w: float, volts: float, power_factor: float, phases: int = 1) -> float:
    """Line current [A] of an AC load; `volts` between lines for three phases, else across the load; all above zero.

    Raises ValueError otherwise, and for a number of phases other than 1 or 3. Source: definition of power factor.
    """
    above_zero(volts=volts)
    share(power_factor=power_factor)
    if phases not in (1, 3):
        raise ValueError(f"{phases} phases; 1 or 3 was expected")
    return power_w / (sqrt(phases) * volts * power_factor)


def inverter_input_current(
    *,
    shaft_w: float,
    motor_efficiency: float,
    inverter_efficiency: float,
    volts: float,
    power_factor: float,
    phases: int = 1,
) -> float:
    """Line current into an inverter [A]; a single-phase input without choke has a power factor of 0.5 to 0.65.

    Raises ValueError outside the ranges of `servo_bus_power` and `mains_current`. Source: energy balance.
    """
    watts = servo_bus_power(
        shaft_w=shaft_w, motor_efficiency=motor_efficiency, drive_efficiency=inverter_efficiency, quiescent_w=0.0
    )
    return mains_current(watts, volts, power_factor, phases)


def power_factor_of(power_w: float, volts: float, amps: float, phases: int = 1) -> float:
    """Power factor from power, voltage and current, all above zero; the reverse of `mains_current`.

    Raises ValueError otherwise. Source: definition.
    """
    above_zero(volts=volts, amps=amps)
    return power_w / (sqrt(phases) * volts * amps)


def rms_over_cycle(values: Sequence[float], times_s: Sequence[float]) -> float:
    """Root-mean-square of stepwise values over their times, two shapes (n,) to a scalar in the unit of `values`.

    Raises ValueError for unequal lengths, a negative time, or no time at all. Source: definition.
    """
    if len(values) != len(times_s):
        raise ValueError(f"{len(values)} values and {len(times_s)} times; as many of each were expected")
    not_negative(**{f"times_s[{n}]": time for n, time in enumerate(times_s)})
    above_zero(cycle_s=sum(times_s))
    return sqrt(sum(value**2 * time for value, time in zip(values, times_s, strict=True)) / sum(times_s))


def torque_through_gear(load_torque: float, ratio: float, efficiency: float) -> float:
    """Torque at the motor [N·m] for a torque behind a reduction of `ratio` to 1; ratio above zero.

    Raises ValueError otherwise. Source: T / (N eta).
    """
    above_zero(ratio=ratio)
    share(efficiency=efficiency)
    return load_torque / (ratio * efficiency)


def inertia_through_gear(load_inertia: float, ratio: float) -> float:
    """Inertia felt at the motor [kg·m2] behind a reduction of `ratio` to 1, above zero; ValueError otherwise."""
    above_zero(ratio=ratio)
    return load_inertia / ratio**2


def screw_torque(force_n: float, lead_m: float, efficiency: float) -> float:
    """Torque that a screw needs to push with `force_n` [N·m]; lead per turn [m].

    Raises ValueError for an efficiency outside 0 to 1. Source: F p / (2 pi eta).
    """
    share(efficiency=efficiency)
    return force_n * lead_m / (2.0 * pi * efficiency)


def screw_inertia(mass_kg: float, lead_m: float) -> float:
    """Inertia of a mass moved by a screw, at the screw [kg·m2]; any sign. Source: m (p / 2 pi)2."""
    return mass_kg * (lead_m / (2.0 * pi)) ** 2


def moved_mass_inertia(mass_kg: float, speed_m_s: float, shaft_speed: float) -> float:
    """Inertia at a shaft of a mass that moves at `speed_m_s` while the shaft turns at `shaft_speed`, above zero.

    Raises ValueError otherwise. Source: equal kinetic energy.
    """
    above_zero(shaft_speed=shaft_speed)
    return mass_kg * (speed_m_s / shaft_speed) ** 2


def moved_force_torque(force_n: float, speed_m_s: float, shaft_speed: float, efficiency: float) -> float:
    """Torque at a shaft [N·m] that drives a force at `speed_m_s`; ranges as above. Source: equal power."""
    above_zero(shaft_speed=shaft_speed)
    share(efficiency=efficiency)
    return force_n * speed_m_s / (shaft_speed * efficiency)


def belt_shaft_speed(speed_m_s: float, pitch_m: float, teeth: int) -> float:
    """Speed of a pulley [rad/s] that moves a toothed belt; pitch and teeth above zero. Source: definition.

    Raises ValueError otherwise.
    """
    above_zero(pitch_m=pitch_m, teeth=teeth)
    return 2.0 * pi * speed_m_s / (pitch_m * teeth)


def free_fall(time_s: float, acceleration_m_s2: float = 9.80665) -> float:
    """Way of a load that falls freely for a time [m], the upper bound for a vertical axis until its brake holds.

    Raises ValueError below zero. Source: g t2 / 2.
    """
    not_negative(time_s=time_s)
    return 0.5 * acceleration_m_s2 * time_s**2
