"""The weight of a load that hangs is more than the work of its motor, or than the hold current gives.

A weight pulls at the shaft in every state. Where no state asks its motor for as much, every current of it is judged
with too little: friction carries a part of the weight on the way down, but on the way up it comes on top. A stepper
drive that holds its load still with the brake open does so at its hold current.

Fires on screw-axis at M1
    M1.gravity_torque=1.5 N·m
Quiet
    M1.gravity_torque=0.3 N·m
Not judged
    A load that hangs without `gravity_torque`, and motors whose work is not known: other rules ask for them.
Known limits
    That the motor or its drive has less than the weight asks is told by `motor-work-above-rating`.
"""

from __future__ import annotations

from wiring.design.motor.drive_ratings import HeldStill, asked_work, hanging_torque, held_still
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.parts.motors import Shaft
from wiring.quantities import show
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="weight-above-work",
    title="Load that hangs is heavier than the work says",
    signal=Signal.CAUTION,
    harm="The axis stalls, sinks or loses its position under its own weight, or motor and drive burn.",
    sources=(("both", Source("statics", "", "moments about the shaft", Standing.COMPUTED)),),
)


def check(design: Design) -> Judgements:
    """Every load that hangs against the states that move it, and those in which it is held still."""
    for part in design.parts.values():
        if isinstance(part.data, Shaft):
            yield from _moved(design, part)
    held: dict[str, HeldStill] = {}
    for one in held_still(design):
        if one.weight > one.most * (1 + 1e-9):
            held.setdefault(one.motor.name, one)
    yield from (_still(design, one) for one in held.values())


def _moved(design: Design, part: Part) -> Judgements:
    weight, works = hanging_torque(part), asked_work(design.operation, part)
    stated = [work.stated for work in works if work.stated is not None]
    if not weight or not stated or len(stated) < len(works) or max(stated) >= weight * (1 - 1e-3):
        return
    asked = show(max(stated), "torque")
    yield RULE.finding(
        (part.name,),
        f"The load of {part.name} pulls with {show(weight, 'torque')}, and no state asks more than {asked} of it: its "
        "currents are judged with too little",
        design.place(part.name, "gravity_torque"),
        numbers=(Number("asked", max(stated), "N·m", part.name),),
        limit=RULE.limit(design, weight, "N·m", "`gravity_torque`"),
        mend=(
            f"Balance the load of {part.name} or gear it down, so that no more than {asked} reach its shaft.",
            f"Is the weight right? Then write {show(weight, 'torque')} and its friction as the work that lifts it.",
        ),
    )


def _still(design: Design, one: HeldStill) -> Judgement:
    name, drive = one.motor.name, one.drive.name
    return RULE.finding(
        (name, drive),
        f"{drive} holds the load of {name} still in state {one.state} with no brake closed: its weight asks "
        f"{show(one.weight, 'torque')}, and its hold current gives {show(one.most, 'torque')}",
        design.place(drive, "hold_current"),
        numbers=(Number("asked", one.weight, "N·m", f"state {one.state}"),),
        limit=RULE.limit(design, one.most, "N·m", "`holding_torque` at the hold current"),
        mend=(f"Set more hold current at {drive}, or close a brake of {name} while it stands.",),
    )
