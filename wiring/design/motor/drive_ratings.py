"""What drives give for as long as they are asked, and what the motors on them take."""

from __future__ import annotations

from wiring.circuit.axes import Axis
from wiring.design.design import Design
from wiring.design.motor.asked_work import asked_work
from wiring.parts.base import Part
from wiring.parts.drives import Inverter, ServoDrive
from wiring.parts.motors import Motor, ServoMotor


def without_current(axis: Axis, gives: float | None) -> list[str]:
    """The inverter or servo drive, and the motors on it, that leave out the current that they give or take."""
    if not isinstance(axis.drive.data, Inverter | ServoDrive):
        return []
    motors = [motor for motor in axis.motors if isinstance(motor.data, Motor | ServoMotor)]
    silent = [motor.name for motor in motors if getattr(motor.data, "rated_current", None) is None]
    return silent + ([axis.drive.name] if gives is None and motors else [])


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
    return max((work.power_w or 0.0 for work in asked_work(design.operation, motor)), default=0.0)
