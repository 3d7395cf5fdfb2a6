"""A plan at another step of one item before it is solved again: the currents are taken to stay what they are.

A size hardly changes currents, so a sketch says quickly where a search should go. What it finds is solved afterwards.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from wiring.changes.steps import Item, Stage
from wiring.circuit.build import build_circuit
from wiring.circuit.model import Circuit
from wiring.design.design import Design
from wiring.parts.base import PartModel, build_part
from wiring.plan.site import Enclosure
from wiring.quantities import WireSize

#: What no size changes.
_SAME = ("roles", "nets", "levels", "axes", "written", "cables", "power_rails", "power_nodes")
#: What a size hardly changes.
_TAKEN = ("states", "averages", "peaks")
#: What the size of a conductor changes no more than that, and what a fan does not change.
_BY_CONDUCTOR = ("guards", "inside", "supplies", "surges", "unregulated", "buses")
_BY_FAN = ("guards", "lowered", "short_circuits")


def sketch(design: Design, item: Item, stage: Stage) -> Design | None:
    """The design with an item at a step, its currents as they are; None for the step at which the plan has it."""
    if isinstance(stage.made, WireSize):
        circuit = _resized(design.circuit, item.subjects, stage.made)
        new = Design(design.reading, design.plan, design.parts, circuit)
        return _with(new, design, (*_SAME, *_TAKEN, *_BY_CONDUCTOR))
    if isinstance(stage.made, Enclosure):
        plan = design.plan.model_copy(update={"enclosure": stage.made})
        return _with(Design(design.reading, plan, design.parts, design.circuit), design, (*_SAME, *_TAKEN, *_BY_FAN))
    if not isinstance(stage.made, PartModel):
        return None
    old = design.parts[item.name]
    parts = {**design.parts, item.name: build_part(item.name, stage.made, old.place, stage.library)}
    circuit = replace(build_circuit(design.reading, parts), conductors=design.circuit.conductors)
    return _with(Design(design.reading, design.plan, parts, circuit), design, (*_SAME, *_TAKEN))


def _resized(circuit: Circuit, ids: Collection[str], size: WireSize) -> Circuit:
    wanted = set(ids)
    conductors = tuple(replace(one, size=size) if one.id in wanted else one for one in circuit.conductors)
    return replace(circuit, conductors=conductors)


def _with(new: Design, old: Design, names: Collection[str]) -> Design:
    for name in names:
        new.__dict__[name] = getattr(old, name)
    return new
