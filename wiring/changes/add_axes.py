"""Axes added to a plan, once the wish has been held against what the plan and the library allow."""

from __future__ import annotations

from wiring.changes.axis import AxisParts, fits
from wiring.changes.clone import Cloner
from wiring.changes.wanted import Addition, Wanted
from wiring.design.design import Design
from wiring.design.supply.supplies import main_outputs
from wiring.plan.fault import Refusal
from wiring.sizing.library_use import library_entry


def _check_motor(design: Design, axis: AxisParts, key: str) -> None:
    entry, motor = library_entry(design, key), axis.axis.motors[0]
    if entry.kind != motor.kind:
        raise Refusal(f"{motor.name} is a {motor.kind}, and {key} is a {entry.kind}", f"a {motor.kind}", complete=True)


def add_axes(design: Design, axis: AxisParts, count: int, wanted: Wanted) -> Addition:
    """`count` copies of an axis. Raises Refusal where the plan or the wish does not allow it."""
    if wanted.motor:
        _check_motor(design, axis, wanted.motor)
    if wanted.on:
        if not axis.supply:
            drive = axis.axis.drive.name
            raise Refusal(f"{drive} is fed by the mains, not by a supply", "no --on for this axis", complete=True)
        fits(design, axis.axis, wanted.on)
    if wanted.own_supply and (not axis.supply or not main_outputs(design.parts[axis.supply])):
        raise Refusal("the axis has no supply that could be doubled", complete=True)
    cloner = Cloner(design, axis, wanted)
    for _ in range(count):
        cloner.clone()
    return cloner.addition()
