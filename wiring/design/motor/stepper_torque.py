"""What a stepper motor gives at the speed that a state asks for, by the current of its drive and the bus behind it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.motor.drive_feeds import bus_feed
from wiring.design.motor.drive_ratings import asked_work
from wiring.parts.base import Part
from wiring.parts.drives import StepperDrive
from wiring.parts.motion import corner_speed, stepper_torque_bound, torque_constant
from wiring.parts.motors import StepperMotor


class TorqueAtSpeed(Struct, frozen=True):
    """What a `state` asks of a motor [N·m, rad/s] and the most that it gives there; `corner` is the speed up to which
    the bus of `volts` drives the whole current [rad/s]. `most` is None without the inductance of its phases."""

    motor: Part
    drive: Part
    state: str
    torque: float
    speed: float
    volts: float
    most: float | None
    corner: float


def torques_at_speed(design: Design) -> Iterator[TorqueAtSpeed]:
    """Every stepper motor alone on its drive, in each state that says torque and speed."""
    for axis in design.axes.values():
        feed = bus_feed(design, axis.drive) if isinstance(axis.drive.data, StepperDrive) else None
        if feed is None or len(axis.motors) != 1:
            continue
        [motor] = axis.motors
        if not isinstance(motor.data, StepperMotor) or motor.data.holding_torque is None:
            continue
        for work in asked_work(design.operation, motor):
            if work.torque and work.speed:
                bound = _bound(axis.drive, motor.data, work.speed, feed.volts)
                yield TorqueAtSpeed(motor, axis.drive, work.state, work.torque, work.speed, feed.volts, *bound)


def _bound(drive: Part, data: StepperMotor, speed: float, volts: float) -> tuple[float | None, float]:
    """The most torque [N·m] and the corner speed [rad/s]; None and 0 without an inductance."""
    assert isinstance(drive.data, StepperDrive)
    if data.phase_inductance is None or data.holding_torque is None or volts <= 0.0:
        return None, 0.0
    amps, constant = drive.data.phase_current.peak_a, torque_constant(data.holding_torque, data.phase_current.rms_a)
    corner = corner_speed(
        bus_v=volts,
        phase_resistance_ohm=data.winding_ohm,
        phase_inductance_h=data.phase_inductance,
        peak_a=amps,
        constant=constant,
    )
    most = stepper_torque_bound(
        speed=speed,
        bus_v=volts,
        phase_resistance_ohm=data.winding_ohm,
        phase_inductance_h=data.phase_inductance,
        peak_a=amps,
        constant=constant,
    )
    return most, corner
