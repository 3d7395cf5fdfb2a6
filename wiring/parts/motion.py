"""Power that motion axes draw from their bus, and the mechanics that ask for it.

A chopper drive is a step-down converter: the current in the windings circulates in its bridge, and the bus delivers
only what is turned into heat or work. So bus current follows from an energy balance and never equals phase current.
All values are scalars in SI units; speeds in rad/s, torques in N·m, inertias in kg·m2.
"""

from __future__ import annotations

from math import hypot, pi, sqrt
from typing import Literal

from wiring.parts.machinery import motor_shaft_power as motor_shaft_power
from wiring.parts.machinery import servo_bus_power as servo_bus_power
from wiring.parts.ranges import above_zero, not_negative

#: Temperature coefficient of copper at 20 °C [1/K] (IEC 60287).
COPPER_PER_K = 0.00393

Connection = Literal["half", "series", "parallel"]
#: Current, inductance and resistance against one half coil: equal copper loss; turns squared; two coils in a row or
#: side by side (derived; the current factors are published by motor makers as 0.707 and 1.414).
_CONNECTION: dict[Connection, tuple[float, float, float]] = {
    "half": (1.0, 1.0, 1.0),
    "series": (1.0 / sqrt(2.0), 4.0, 2.0),
    "parallel": (sqrt(2.0), 1.0, 0.5),
}


def hot_winding_resistance(cold_ohm: float, winding_c: float) -> float:
    """Resistance [ohm] of a copper winding at `winding_c` [°C], given at 20 °C; -60 to 250 °C is meaningful.

    Raises ValueError for a negative resistance. Source: IEC 60287, 0.00393 per kelvin at 20 °C.
    """
    not_negative(cold_ohm=cold_ohm)
    return cold_ohm * (1.0 + COPPER_PER_K * (winding_c - 20.0))


def stepper_copper_loss(peak_a: float, phase_resistance_ohm: float) -> float:
    """Copper loss of both phases in microstepping [W], the same at every angle because sin2 + cos2 = 1.

    Raises ValueError below zero. Source: derived.
    """
    not_negative(peak_a=peak_a, phase_resistance_ohm=phase_resistance_ohm)
    return peak_a**2 * phase_resistance_ohm


def stepper_bus_power(
    *,
    peak_a: float,
    torque: float,
    speed: float,
    iron_w: float,
    phase_resistance_ohm: float,
    bridge_resistance_ohm: float,
    quiescent_w: float,
    winding_c: float,
) -> float:
    """Power that a chopper drive takes from its bus [W]: copper, bridge, shaft, iron and quiescent power.

    `peak_a` amplitude of the microstep sine [A]; `torque` [N·m] and `speed` [rad/s] not negative (a braking axis is
    judged by the energy it returns); `phase_resistance_ohm` at 20 °C; `bridge_resistance_ohm` of the transistors in
    the path of one phase; `winding_c` [°C]. Holds while the drive chops, up to the corner speed.
    Raises ValueError below zero. Source: energy balance, derived.
    """
    not_negative(torque=torque, speed=speed, iron_w=iron_w, quiescent_w=quiescent_w)
    winding_ohm = hot_winding_resistance(phase_resistance_ohm, winding_c)
    heat_w = stepper_copper_loss(peak_a, winding_ohm) + stepper_copper_loss(peak_a, bridge_resistance_ohm)
    return heat_w + torque * speed + iron_w + quiescent_w


def stepper_peak_bus_power(*, peak_a: float, bus_v: float) -> float:
    """Upper bound of the sustained power into a two-phase stepper drive [W], at any speed and load.

    When a drive stops chopping each phase sees a square wave of the bus voltage, whose fundamental is 4/pi times it;
    with the current in phase two phases take 4/pi * V * I. Raises ValueError below zero. Source: derived.
    """
    not_negative(peak_a=peak_a, bus_v=bus_v)
    return 4.0 / pi * bus_v * peak_a


def highest_useful_bus_voltage(phase_inductance_h: float) -> float:
    """Bus voltage above which a stepper motor runs hot [V]: 32 times the root of the inductance as connected in mH.

    Raises ValueError below zero. Source: common practice, no source.
    """
    not_negative(phase_inductance_h=phase_inductance_h)
    return 32.0 * sqrt(phase_inductance_h * 1e3)


def torque_constant(holding_torque: float, rated_a: float) -> float:
    """Torque per ampere of amplitude [N·m/A], from the holding torque with both phases at rated current.

    `rated_a` above zero. Raises ValueError otherwise. Source: derived.
    """
    above_zero(rated_a=rated_a)
    return holding_torque / (sqrt(2.0) * rated_a)


def corner_speed(
    *,
    bus_v: float,
    phase_resistance_ohm: float,
    phase_inductance_h: float,
    peak_a: float,
    constant: float,
    rotor_teeth: int = 50,
) -> float:
    """Speed [rad/s] up to which the bus voltage drives the full current in phase with the back-EMF.

    `constant` torque constant per ampere of amplitude [N·m/A]. Zero when the voltage cannot drive the current at rest.
    Raises ValueError for a current, inductance or voltage not above zero.
    Source: (R I + K w)2 + (N w L I)2 = V2, derived from the phasor diagram.
    """
    above_zero(bus_v=bus_v, peak_a=peak_a, phase_inductance_h=phase_inductance_h)
    not_negative(phase_resistance_ohm=phase_resistance_ohm, constant=constant)
    resistive_v = phase_resistance_ohm * peak_a
    square = constant**2 + (rotor_teeth * phase_inductance_h * peak_a) ** 2
    half = resistive_v * constant
    rest = resistive_v**2 - bus_v**2
    return 0.0 if rest >= 0.0 else (sqrt(half**2 - square * rest) - half) / square


def stepper_torque_bound(
    *,
    speed: float,
    bus_v: float,
    phase_resistance_ohm: float,
    phase_inductance_h: float,
    peak_a: float,
    constant: float,
    rotor_teeth: int = 50,
) -> float:
    """The most torque [N·m] of a two-phase stepper motor at a speed [rad/s], by the current of its drive and its bus.

    K I of the current amplitude, and K V / Z - K2 w R / Z2 of a synchronous machine at its best load angle, with
    Z2 = R2 + (N w L)2 and V the fundamental of a square wave of the bus, 4/pi times it. Losses in iron, friction and
    saturation take more away: a motor gives less. Never below zero. Raises ValueError for figures not above zero.
    Source: P. Acarnley, Stepping Motors, 4th ed. 2002, pull-out torque of the hybrid motor (from memory).
    """
    above_zero(bus_v=bus_v, peak_a=peak_a, phase_inductance_h=phase_inductance_h, constant=constant)
    not_negative(phase_resistance_ohm=phase_resistance_ohm, speed=speed)
    ohm = hypot(phase_resistance_ohm, rotor_teeth * speed * phase_inductance_h)
    still = constant * peak_a
    if ohm == 0.0:
        return still
    by_voltage = constant * 4.0 / pi * bus_v / ohm - constant**2 * speed * phase_resistance_ohm / ohm**2
    return max(min(still, by_voltage), 0.0)


def step_rate(speed: float, steps_per_turn: int = 200, microsteps: int = 1) -> float:
    """Pulses per second [Hz] for a speed [rad/s]. Any sign. Source: definition."""
    return speed / (2.0 * pi) * steps_per_turn * microsteps
