"""A plan at another step of one item before it is solved again: the currents are taken to stay what they are.

A size hardly changes currents, so a sketch says quickly where a search should go. What it finds is solved afterwards.
The size of a conductor is taken to change neither the heat of the cabinet nor what flows for a moment, and that of the
cabinet no short circuit.
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


def sketch(design: Design, item: Item, stage: Stage) -> Design | None:
    """The design with an item at a step, its currents as they are; None for the step at which the plan has it."""
    machine, kept = design.machine, design.operation
    if isinstance(stage.made, WireSize):
        machine = replace(machine, circuit=_resized(machine.circuit, item.subjects, stage.made))
        return Design.of(
            machine,
            operation=kept,
            cabinet=design.cabinet,
            power=design.power,
            devices=design.devices,
            transients=design.transients,
        )
    if isinstance(stage.made, Enclosure):
        plan = machine.plan.model_copy(update={"enclosure": stage.made})
        machine = replace(machine, plan=plan)
        return Design.of(machine, operation=kept, devices=design.devices, faults=design.faults)
    if not isinstance(stage.made, PartModel):
        return None
    old = machine.parts[item.name]
    parts = {**machine.parts, item.name: build_part(item.name, stage.made, old.place, stage.library)}
    circuit = replace(build_circuit(machine.reading, parts), conductors=machine.circuit.conductors)
    return Design.of(replace(machine, parts=parts, circuit=circuit), operation=kept)


def _resized(circuit: Circuit, ids: Collection[str], size: WireSize) -> Circuit:
    wanted = set(ids)
    conductors = tuple(replace(one, size=size) if one.id in wanted else one for one in circuit.conductors)
    return replace(circuit, conductors=conductors)
