"""What is turned, jumpered or typed into drives and devices: the values of the plan and what follows from them."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.book_words import in_words
from wiring.circuit.axes import Axis
from wiring.design.design import Design
from wiring.design.motor.drive_ratings import asked_work
from wiring.documents.shop_words import value_words
from wiring.documents.table import Cell, Column, Table, by_name
from wiring.parts.base import Part
from wiring.parts.drives import Drive, Inverter, ServoDrive, StepperDrive
from wiring.parts.motion import step_rate
from wiring.parts.motors import Motor, ServoMotor, Shaft, StepperMotor
from wiring.parts.settings import SETTINGS
from wiring.plan.ratings import PhaseCurrent
from wiring.quantities import show

_COLUMNS = (Column("Part"), Column("Title"), Column("Setting"), Column("Value"), Column("From"))
_NOTES = (
    "A plan holds no microsteps, direction of turning, ramps or ends of travel: they are typed into the controller. "
    "The direction of a motor is tried at first power-up, without load.",
    "Before a drive is set: isolate, wait for its capacitors. A value of the data sheet goes before one of this list.",
)
#: How a key is called where its own name does not say it; functions stand in the list of channels.
_CALLED = {
    "setting": "motor current on the dial",
    "hold_current": "current at standstill",
    "closed_loop": "mode",
    "signals": "voltage of the signal inputs",
    "clamp": "bus voltage at which the chopper sets in",
    "limit": "current limit, of its rating",
    "time": "time at the limit",
    "delay": "delay of the delayed outputs",
}
#: Keys whose usual value is told too, because the sums rest on it.
_TOLD_UNSAID = ("hold_current", "closed_loop", "reset_mode", "trip_class", "limit", "time")
_STEPS_A_TURN = 200


def setting_table(design: Design) -> Table:
    """One row a setting, by part in natural order: those of the plan, then what motors and states ask of a drive."""
    parts = [part for part in by_name(design.parts.values(), "name") if not part.data.is_motor]
    rows = [
        (part.name, part.data.title, *row) for part in parts for row in (*_given(design, part), *_asked(design, part))
    ]
    return Table("Settings", _COLUMNS, tuple(rows), _NOTES if rows else ())


def _given(design: Design, part: Part) -> Iterator[tuple[Cell, ...]]:
    written = design.plan.parts[part.name].data
    for key, field in type(part.data).model_fields.items():
        if key not in SETTINGS or key == "functions":
            continue
        value = getattr(part.data, key)
        stated = key in part.data.model_fields_set
        words = in_words(_value(part, key) or value_words(value, field), design.plan.rulebook)
        if words and (stated or key in _TOLD_UNSAID):
            yield (_CALLED.get(key, key.replace("_", " ")), words, _origin(part, key in written, stated))


def _value(part: Part, key: str) -> str:
    """The value in the words of a dial, "" where the key has none of its own; currents in both conventions."""
    value = getattr(part.data, key)
    if key == "closed_loop":
        return "closed loop" if value else "open loop"
    if isinstance(value, PhaseCurrent):
        return _both(value)
    if key == "hold_current" and isinstance(part.data, StepperDrive):
        amps = part.data.phase_current.rms_a * value
        return f"{value * 100:.3g} %, which is {show(amps, 'current')} rms"
    return f"{value * 100:.3g} %" if key == "limit" else ""


def _both(amps: PhaseCurrent) -> str:
    return f"{show(amps.peak_a, 'current')} peak = {show(amps.rms_a, 'current')} rms"


def _origin(part: Part, written: bool, stated: bool) -> str:
    if written:
        return "plan"
    return f"library part {part.library}" if stated and part.library else "not in the plan; reckoned with"


def _asked(design: Design, part: Part) -> Iterator[tuple[Cell, ...]]:
    axis = design.axes.get(part.name)
    if not isinstance(part.data, Drive) or axis is None:
        return
    yield from _of_motors(axis)
    yield from _of_states(design, axis)


def _of_motors(axis: Axis) -> Iterator[tuple[Cell, ...]]:
    for motor in axis.motors:
        where = f"rating of {motor.name}"
        match motor.data:
            case StepperMotor(phase_current=amps):
                yield ("phase current of the motor", _both(amps), where)
            case ServoMotor(rated_current=current) if current is not None:
                yield ("motor current", f"{show(current.rms_a, 'current')} rms", where)
            case Motor():
                yield from ((*row, where) for row in _of_nameplate(motor.data))
        if isinstance(axis.drive.data, Inverter | ServoDrive) and isinstance(motor.data, Motor | ServoMotor):
            yield ("motor power", show(motor.data.rated_power, "power"), where)
            if motor.data.rated_current is None:
                yield ("motor current", None, where)
        if isinstance(motor.data, Shaft) and motor.data.max_speed is not None:
            yield ("highest speed of the motor", show(motor.data.max_speed, "rotational speed"), where)


def _of_nameplate(data: Motor) -> Iterator[tuple[Cell, ...]]:
    yield ("motor voltage", f"{show(data.voltage.volts, 'voltage')} {data.voltage.kind}".strip())
    if data.rated_current is not None:
        yield ("motor current", show(data.rated_current, "current"))


def _of_states(design: Design, axis: Axis) -> Iterator[tuple[Cell, ...]]:
    for motor in axis.motors:
        speeds = [(work.speed, work.state) for work in asked_work(design.operation, motor) if work.speed]
        if not speeds:
            continue
        speed, state = max(speeds)
        where = f"{motor.name} in state {state}"
        yield ("highest speed asked", show(speed, "rotational speed"), where)
        if isinstance(axis.drive.data, StepperDrive):
            rate = f"{show(step_rate(speed, _STEPS_A_TURN), 'frequency')} times the microsteps"
            yield ("highest step rate asked", rate, f"computed for {_STEPS_A_TURN} full steps a turn (assumed)")
