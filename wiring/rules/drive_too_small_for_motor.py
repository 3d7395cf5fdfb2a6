"""A drive cannot give what its motor takes.

An inverter is bought by power and output current, a servo drive by current. Held against the motor on its terminals:
the rated current of the motor, and the power that the states ask of it, with its losses.

Fires on mixer at T1
    M1.rated_current=5.9 A
Quiet
    M1.rated_current=2.7 A
Not judged
    Drives and motors without a rated current.
Known limits
    A motor that is never worked at its plate may run on a smaller drive; accept the finding with that reason.
"""

from __future__ import annotations

from wiring.circuit.axes import Axis
from wiring.design.asked_work import asked_work
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.parts.drives import Inverter, ServoDrive
from wiring.parts.motors import Motor, ServoMotor
from wiring.quantities import show
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="drive-too-small-for-motor",
    title="Drive is too small for its motor",
    signal=Signal.CAUTION,
    harm="The drive trips in the middle of the work and the motor coasts, or it ages in a fraction of the time.",
    sources=(("both", Source("data of the part", "", "rated current and power", Standing.ONE_SOURCE)),),
)


def check(design: Design) -> Judgements:
    """Every inverter and servo drive with all motors on it together."""
    unknown: list[str] = []
    for axis in design.axes.values():
        gives, takes = _current(axis.drive), _motor_currents(axis)
        unknown += _without_current(axis, gives)
        if gives is not None and takes > gives * (1 + 1e-9):
            yield _finding(design, axis, "current", takes, gives, "A")
            continue
        data = axis.drive.data
        asked = max((_power(design, motor) for motor in axis.motors), default=0.0)
        if isinstance(data, Inverter) and asked > data.rated * (1 + 1e-9):
            yield _finding(design, axis, "power", asked, data.rated, "W")
    yield from RULE.ask(unknown, "their rated current (`rated_current`, of an inverter `output_current`)")


def _without_current(axis: Axis, gives: float | None) -> list[str]:
    """The inverter or servo drive, and the motors on it, that leave out the current that they give or take."""
    if not isinstance(axis.drive.data, Inverter | ServoDrive):
        return []
    motors = [motor for motor in axis.motors if isinstance(motor.data, Motor | ServoMotor)]
    silent = [motor.name for motor in motors if getattr(motor.data, "rated_current", None) is None]
    return silent + ([axis.drive.name] if gives is None and motors else [])


def _current(drive: Part) -> float | None:
    """The current that a drive gives for as long as it is asked [A rms]."""
    match drive.data:
        case Inverter(output_current=amps):
            return amps
        case ServoDrive(rated_current=amps) if amps is not None:
            return amps.rms_a
    return None


def _motor_currents(axis: Axis) -> float:
    """The rated currents of the motors on a drive together [A rms], those that are known."""
    found = 0.0
    for motor in axis.motors:
        match motor.data:
            case Motor(rated_current=amps) if amps is not None:
                found += amps
            case ServoMotor(rated_current=amps) if amps is not None:
                found += amps.rms_a
    return found


def _power(design: Design, motor: Part) -> float:
    """The most that a state asks of the shaft [W]: an inverter is rated by the shaft power of its motor."""
    return max((work.power_w or 0.0 for work in asked_work(design.operation, motor)), default=0.0)


def _finding(design: Design, axis: Axis, what: str, takes: float, gives: float, unit: str) -> Judgement:
    names = [motor.name for motor in axis.motors]
    kind = {"A": "current", "W": "power"}[unit]
    return RULE.finding(
        (axis.drive.name, *names),
        f"{axis.drive.name} ({axis.drive.title}) gives {show(gives, kind)}, and {', '.join(names)} "
        f"take{'s' if len(names) == 1 else ''} {show(takes, kind)}",
        design.place(axis.drive.name),
        numbers=(Number(what, takes, unit, ", ".join(names)), Number("gives", gives, unit, axis.drive.name)),
        limit=RULE.limit(design, gives, unit),
        mend=(f"Take a drive of {show(takes, kind)} or more for {', '.join(names)}.",),
    )
