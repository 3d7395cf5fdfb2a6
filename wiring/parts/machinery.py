"""Shaft power, gears, screws and duty: what a load asks of its motor, and a motor of its drive.

All values are scalars in SI units; speeds in rad/s, torques in N·m, inertias in kg·m2.
"""

from __future__ import annotations

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
