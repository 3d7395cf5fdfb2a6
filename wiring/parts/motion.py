"""Power that motion axes draw from their bus, and the mechanics that ask for it.

A chopper drive is a step-down converter: the current in the windings circulates in its bridge, and the bus delivers
only what is turned into heat or work. So bus current follows from an energy balance and never equals phase current.
All values are scalars in SI units; speeds in rad/s, torques in N·m, inertias in kg·m2.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import pi, sqrt
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


def rms_of_peak(peak_a: float) -> float:
    """Root-mean-square of a sine of the given amplitude [A]; any value. Source: definition."""
    return peak_a / sqrt(2.0)


def peak_of_rms(rms_a: float) -> float:
    """Amplitude of a sine of the given root-mean-square [A]; any value. Source: definition."""
    return rms_a * sqrt(2.0)


def connected_current(unipolar_a: float, connection: Connection) -> float:
    """Phase current [A] that heats a six- or eight-lead motor as its unipolar rating does; `unipolar_a` not negative.

    Raises ValueError below zero. Source: equal copper loss, derived.
    """
    not_negative(unipolar_a=unipolar_a)
    return unipolar_a * _CONNECTION[connection][0]


def connected_inductance(half_coil_h: float, connection: Connection) -> float:
    """Phase inductance [H] of two half coils as connected. Raises ValueError below zero. Source: turns squared."""
    not_negative(half_coil_h=half_coil_h)
    return half_coil_h * _CONNECTION[connection][1]


def connected_resistance(half_coil_ohm: float, connection: Connection) -> float:
    """Phase resistance [ohm] of two half coils as connected. Raises ValueError below zero. Source: Ohm's law."""
    not_negative(half_coil_ohm=half_coil_ohm)
    return half_coil_ohm * _CONNECTION[connection][2]


def hot_winding_resistance(cold_ohm: float, winding_c: float) -> float:
    """Resistance [ohm] of a copper winding at `winding_c` [°C], given at 20 °C; -60 to 250 °C is meaningful.

    Raises ValueError for a negative resistance. Source: IEC 60287, 0.00393 per kelvin at 20 °C.
    """
    not_negative(cold_ohm=cold_ohm)
    return cold_ohm * (1.0 + COPPER_PER_K * (winding_c - 20.0))


def winding_voltage(phase_resistance_ohm: float, phase_a: float) -> float:
    """Rated voltage of a winding, resistance times rated current [V]; any sign. Source: Ohm's law."""
    return phase_resistance_ohm * phase_a


def stepper_copper_loss(peak_a: float, phase_resistance_ohm: float) -> float:
    """Copper loss of both phases in microstepping [W], the same at every angle because sin2 + cos2 = 1.

    Raises ValueError below zero. Source: derived.
    """
    not_negative(peak_a=peak_a, phase_resistance_ohm=phase_resistance_ohm)
    return peak_a**2 * phase_resistance_ohm


def full_step_copper_loss(phase_a: float, phase_resistance_ohm: float, phases_on: int = 2) -> float:
    """Copper loss in full step with `phases_on` phases at full current [W]. Raises ValueError below zero.

    Source: current squared times resistance, for each coil that is on.
    """
    return phases_on * stepper_copper_loss(phase_a, phase_resistance_ohm)


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


def stepper_instant_bus_current(peak_a: float) -> float:
    """Highest instantaneous bus current of a two-phase drive [A]: |sin| + |cos| never exceeds the square root of 2.

    Raises ValueError below zero. Source: derived.
    """
    not_negative(peak_a=peak_a)
    return sqrt(2.0) * peak_a


def stepper_supply_rule(rated_a: Sequence[float], factor: float = 2.0 / 3.0) -> float:
    """Supply current by the rule of thumb of a share of the summed rated phase currents [A], shape (n,) to scalar.

    Two thirds is the common figure, one third for windings in series, 1.0 a cautious one.
    Raises ValueError below zero. Source: common practice, printed by several makers of drives, who disagree.
    """
    not_negative(factor=factor, **{f"rated_a[{n}]": value for n, value in enumerate(rated_a)})
    return factor * sum(rated_a)


def hold_current_share(bus_run_a: float, bus_hold_a: float) -> float:
    """Share of the running phase current that a drive keeps at rest, from two readings of bus current at rest.

    Both above zero. Raises ValueError otherwise. Source: copper loss goes with current squared, derived.
    """
    above_zero(bus_run_a=bus_run_a, bus_hold_a=bus_hold_a)
    return sqrt(bus_hold_a / bus_run_a)


def highest_useful_bus_voltage(phase_inductance_h: float) -> float:
    """Bus voltage above which a stepper motor runs hot [V]: 32 times the root of the inductance as connected in mH.

    Raises ValueError below zero. Source: common practice, no source.
    """
    not_negative(phase_inductance_h=phase_inductance_h)
    return 32.0 * sqrt(phase_inductance_h * 1e3)


def bus_voltage_for_speed(tested_v: float, reached: float, wanted: float, usable: float = 0.9) -> float:
    """Bus voltage [V] for a wanted speed from a trial; `reached` and `wanted` in one unit, above zero.

    Raises ValueError otherwise. Source: published rule of thumb; speed in proportion to voltage, 90 % usable.
    """
    above_zero(reached=reached, usable=usable)
    return tested_v * wanted / (usable * reached)


def electrical_frequency(speed: float, steps_per_turn: int = 200) -> float:
    """Frequency of the phase currents [Hz]: four full steps are one period. Any sign. Source: definition."""
    return speed / (2.0 * pi) * steps_per_turn / 4.0


def inductive_drop(frequency_hz: float, inductance_h: float, peak_a: float) -> float:
    """Amplitude of the voltage across the inductance [V]. Any sign. Source: V = 2 pi f L I."""
    return 2.0 * pi * frequency_hz * inductance_h * peak_a


def shortest_step_time(phase_inductance_h: float, phase_a: float, bus_v: float) -> float:
    """Time in which the current of a phase reverses [s], resistance left out; `bus_v` above zero.

    Raises ValueError otherwise. Source: t = 2 L I / V.
    """
    above_zero(bus_v=bus_v)
    return 2.0 * phase_inductance_h * phase_a / bus_v


def corner_speed_estimate(phase_inductance_h: float, phase_a: float, bus_v: float, steps_per_turn: int = 200) -> float:
    """Speed [rad/s] at which a step lasts as long as the reversal of the current, good to about 20 %.

    Raises ValueError for arguments not above zero. Source: trade formula V / (2 L I steps) in turns per second.
    """
    above_zero(phase_inductance_h=phase_inductance_h, phase_a=phase_a)
    return 2.0 * pi / (steps_per_turn * shortest_step_time(phase_inductance_h, phase_a, bus_v))


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


def torque_above_corner(corner_torque: float, corner_rad_s: float, speed: float) -> float:
    """Torque left at `speed` [N·m]: full up to the corner speed, then constant power. `speed` not negative.

    Raises ValueError otherwise. Source: derived; a real motor falls faster, for iron loss and saturation.
    """
    not_negative(corner_rad_s=corner_rad_s, speed=speed)
    return corner_torque if speed <= corner_rad_s else corner_torque * corner_rad_s / speed


def step_rate(speed: float, steps_per_turn: int = 200, microsteps: int = 1) -> float:
    """Pulses per second [Hz] for a speed [rad/s]. Any sign. Source: definition."""
    return speed / (2.0 * pi) * steps_per_turn * microsteps
