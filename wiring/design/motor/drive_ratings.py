"""What the states ask of a motor, and what drives give for as long as they are asked."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from wiring.circuit.axes import Axis
from wiring.design.design import Design
from wiring.design.motor.brakes import is_lifted
from wiring.design.motor.demands import work_in
from wiring.design.operation import Operation
from wiring.design.stop.hazards import is_live
from wiring.parts.base import Part
from wiring.parts.drives import Inverter, ServoDrive, StepperDrive
from wiring.parts.motors import Motor, ServoMotor, Shaft, StepperMotor


class AskedWork(NamedTuple):
    """What one state asks of a shaft: torque [N·m], speed [rad/s] and power [W], None where the plan gives none.

    A load that hangs asks for its weight in every state; `stated` is the torque of the plan alone [N·m].
    """

    state: str
    torque: float | None
    speed: float | None
    power_w: float | None
    stated: float | None


def asked_work(operation: Operation, motor: Part) -> list[AskedWork]:
    """The work of a motor in every state that runs it, sizes without sign; power follows from torque and speed."""
    found = []
    for state, entries in operation.state_entries.items():
        entry = entries.get(motor.name)
        if entry is None or entry.mode in ("hold", "off"):
            continue
        work = work_in(entry, motor)
        torque, speed, power = _size(work.torque), _size(work.speed), _size(work.power)
        if power is None and torque is not None and speed is not None:
            power = torque * speed
        stated = torque if torque is not None or power is None or not speed else power / speed
        weight = hanging_torque(motor)
        if weight and torque is not None:
            torque = max(torque, weight)
        if weight and power is not None and speed is not None:
            power = max(power, weight * speed)
        found.append(AskedWork(state, torque, speed, power, stated))
    return found


def hanging_torque(motor: Part) -> float:
    """The torque with which a load that hangs pulls at its shaft [N·m]; 0 where it does not hang or is not known."""
    data = motor.data
    return abs(data.gravity_torque or 0.0) if isinstance(data, Shaft) and data.vertical else 0.0


def _size(value: float | None) -> float | None:
    return None if value is None else abs(value)


def without_current(axis: Axis, gives: float | None) -> list[str]:
    """The inverter or servo drive, and the motors on it, that leave out the current that they give or take."""
    if not isinstance(axis.drive.data, Inverter | ServoDrive):
        return []
    motors = [motor for motor in axis.motors if isinstance(motor.data, Motor | ServoMotor)]
    silent = [motor.name for motor in motors if getattr(motor.data, "rated_current", None) is None]
    return silent + ([axis.drive.name] if gives is None and motors else [])


def shared_phase_current(axis: Axis) -> tuple[float, float] | None:
    """The phase current of a stepper drive, and that of several motors which share it [A rms]; else None."""
    motors = [motor.data for motor in axis.motors if isinstance(motor.data, StepperMotor)]
    if not isinstance(axis.drive.data, StepperDrive) or len(motors) < 2:
        return None
    return axis.drive.data.phase_current.rms_a, sum(motor.phase_current.rms_a for motor in motors)


def drive_current(drive: Part) -> float | None:
    """The current that a drive gives for as long as it is asked [A rms]."""
    match drive.data:
        case Inverter(output_current=amps):
            return amps
        case ServoDrive(rated_current=amps) if amps is not None:
            return amps.rms_a
    return None


def motor_currents(axis: Axis) -> float:
    """The rated currents of the motors on a drive together [A rms], those that are known."""
    found = 0.0
    for motor in axis.motors:
        match motor.data:
            case Motor(rated_current=amps) if amps is not None:
                found += amps
            case ServoMotor(rated_current=amps) if amps is not None:
                found += amps.rms_a
    return found


def shaft_power(design: Design, motor: Part) -> float:
    """The most that a state asks of the shaft [W]: an inverter is rated by the shaft power of its motor."""
    return max((work.power_w for work in asked_work(design.operation, motor) if work.power_w), default=0.0)


def current_share(motor: Part, drive: Part | None) -> float:
    """The share of its holding torque that a stepper motor has at the current of its drive: below saturation the torque
    goes with the current. 1 for any other motor."""
    if drive is None or not isinstance(drive.data, StepperDrive) or not isinstance(motor.data, StepperMotor):
        return 1.0
    return min(1.0, drive.data.phase_current.rms_a / motor.data.phase_current.rms_a)


class HeldStill(NamedTuple):
    """A load that a stepper motor holds still with its brake open, in a `state`: the torque of the weight and the most
    that the hold current of its drive gives [N·m]."""

    motor: Part
    drive: Part
    state: str
    weight: float
    most: float


def held_still(design: Design) -> Iterator[HeldStill]:
    """Every hanging load in each state in which its drive alone keeps it up."""
    for drive in design.axes.values():
        for motor in drive.motors:
            data, weight = motor.data, hanging_torque(motor)
            known = isinstance(data, StepperMotor) and data.holding_torque is not None and not data.self_locking
            if not known or not weight or not isinstance(drive.drive.data, StepperDrive):
                continue
            assert isinstance(data, StepperMotor)
            most = (data.holding_torque or 0.0) * current_share(motor, drive.drive) * drive.drive.data.hold_current
            for state, point in design.states.items():
                entry = design.state_entries[state].get(motor.name)
                if entry is not None and entry.mode != "hold":
                    continue
                if is_live(motor, design.axes, point) and all(is_lifted(point, brake) for brake in drive.brakes):
                    yield HeldStill(motor, drive.drive, state, weight, most)
