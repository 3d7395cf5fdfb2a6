"""The conductors of motors carry their current, but not the margin that the North American book wants.

A motor that starts, stalls or runs on a low supply draws more than its plate says for longer than its overload relay
waits. All conductors on the way of a motor are therefore sized for 125 % of its full-load current, and those that feed
several motors, or motors and other loads, for 125 % of the largest motor and the whole of the rest that runs with it in
a state. The current of the table counts, that of the plate where none is tabled. The IEC book sizes conductors for the
current itself.

Fires on fan-heater at 6
    6.size=18 AWG
Quiet
    6.size=14 AWG
Not judged
    A motor whose full-load current is neither tabled nor given (`rated_current`).
Known limits
    Of a motor behind a drive the conductors that end at it are judged. Stepper and servo motors follow their drive's
    current.
"""

from __future__ import annotations

from math import inf

from wiring.design.conductor.sizes import size_that_carries
from wiring.design.motor.circuits import full_load
from wiring.design.motor.protection import asked_ampacities, full_loads, needed_for_motors
from wiring.findings import Mend, Number
from wiring.parts.motors import Motor
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, nfpa_70
from wiring.rules.words import full_load_number
from wiring.wording import listed

RULE = Rule(
    slug="motor-conductor-margin-small",
    title="Conductors of a motor have too little margin",
    signal=Signal.CAUTION,
    harm="At each start and stall the insulation gets hotter than it stands for long.",
    sources=(("na", nfpa_70("430.22 and 430.24", Standing.CONFIRMED)),),
)


def check(design: Design) -> Judgements:
    """All conductors on the way of a motor, those of the same motors told together."""
    margin = design.book.limit("motor_conductor_margin")
    if not isinstance(margin, Limit):
        return
    for part in design.parts.values():
        current = full_load(part) if isinstance(part.data, Motor) else None
        if isinstance(current, NotTabled):
            yield RULE.not_judged((part.name,), current.reason, design.place(part.name))
    loads, thin = full_loads(design), dict[tuple[str, ...], list[tuple[float, str]]]()
    for name, motors, needed_a in asked_ampacities(design, loads, margin.value):
        ampacity = design.conductors[name].ampacity
        if isinstance(ampacity, Limit) and ampacity.value < needed_a * (1 - 1e-9):
            thin.setdefault(motors, []).append((ampacity.value / needed_a, name))
    for names, rows in sorted(thin.items()):
        worst = min(rows)[1]
        needed = Limit(
            needed_for_motors(design, worst, {m: loads[m] for m in names}, margin.value), "A", margin.source, ""
        )
        yield _finding(design, names, worst, [name for _, name in rows], needed, loads)


def requirements(design: Design) -> Requirements:
    """Every conductor of a motor."""
    margin = design.book.limit("motor_conductor_margin")
    if isinstance(margin, Limit):
        for name, motors, needed_a in asked_ampacities(design, full_loads(design), margin.value):
            yield _required(design, name, motors, needed_a)


def _required(design: Design, name: str, motors: tuple[str, ...], needed_a: float) -> Requirement:
    size = size_that_carries(design.machine, design.conductors[name], needed_a)
    least = size.area_mm2 if size else inf
    return Requirement(RULE.slug, name, Quantity.AREA, least, why=f"{needed_a:.3g} A for {listed(motors)}")


def _finding(
    design: Design, motors: tuple[str, ...], name: str, thin: list[str], needed: Limit, loads: dict[str, float]
) -> Judgement:
    figure, conductor = design.conductors[name], design.circuit.conductor[name]
    assert isinstance(figure.ampacity, Limit)
    names = sorted(thin)
    larger = size_that_carries(design.machine, figure, needed.value)
    known = {motor: loads[motor] for motor in motors}
    margin = design.book.limit("motor_conductor_margin")
    factor = margin.value if isinstance(margin, Limit) else 1.0
    wanted = tuple(_required(design, one, motors, needed_for_motors(design, one, known, factor)) for one in names)
    words = f"Make {listed(names)} of {larger.text}." if larger else f"Lead {listed(motors)} with thicker conductors."
    asks = "asks" if len(motors) == 1 else "ask"
    return RULE.finding(
        (*names, *motors),
        f"{listed(names)} may carry {figure.ampacity.value:.3g} A, and {listed(motors)} {asks} for "
        f"{needed.value:.3g} A",
        conductor.place,
        numbers=(
            *(number for motor in motors if (number := full_load_number(design.parts[motor]))),
            Number("ampacity", figure.ampacity.value, "A", name, figure.ampacity.source),
        ),
        limit=needed,
        mend=(Mend(words, asks=wanted if larger else ()),),
    )
