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
from wiring.design.motor.drive_ratings import (
    drive_current,
    motor_currents,
    shaft_power,
    shared_phase_current,
    without_current,
)
from wiring.findings import Mend, Number
from wiring.parts.drives import Inverter, ServoDrive
from wiring.quantities import show
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.steps import rounded_up
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

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
        gives, takes = shared_phase_current(axis) or (drive_current(axis.drive), motor_currents(axis))
        unknown += without_current(axis, gives)
        if gives is not None and takes > gives * (1 + 1e-9):
            yield _finding(design, axis, "current", takes, gives, "A")
            continue
        data, asked = axis.drive.data, _shaft_power(design, axis)
        if isinstance(data, Inverter) and asked > data.rated * (1 + 1e-9):
            yield _finding(design, axis, "power", asked, data.rated, "W")
    yield from RULE.ask(unknown, "their rated current (`rated_current`, of an inverter `output_current`)")


def requirements(design: Design) -> Requirements:
    """Every servo drive by current, every inverter by current and power."""
    for axis in design.axes.values():
        if isinstance(axis.drive.data, ServoDrive | Inverter) and axis.motors:
            yield from _asks(design, axis)


def _asks(design: Design, axis: Axis) -> Requirements:
    names = listed([motor.name for motor in axis.motors])
    takes, watts = motor_currents(axis), _shaft_power(design, axis)
    why = f"{names} take{'s' if len(axis.motors) == 1 else ''} {show(takes, 'current')}"
    yield Requirement(RULE.slug, axis.drive.name, Quantity.RATING, takes, why=why)
    if isinstance(axis.drive.data, Inverter):
        why = f"{show(watts, 'power')} at the shaft of {names}"
        yield Requirement(RULE.slug, axis.drive.name, Quantity.POWER, watts, why=why)


def _shaft_power(design: Design, axis: Axis) -> float:
    return max((shaft_power(design, motor) for motor in axis.motors), default=0.0)


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
        mend=(
            Mend(
                f"Take a drive of {show(rounded_up(takes), kind)} or more for {', '.join(names)}.",
                asks=tuple(_asks(design, axis)) if isinstance(axis.drive.data, ServoDrive | Inverter) else (),
            ),
        ),
    )
