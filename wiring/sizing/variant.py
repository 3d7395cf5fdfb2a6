"""A machine at other sizes, made without its text: what it hangs together by stays, what flows is solved anew."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace

from wiring.circuit.build import build_circuit
from wiring.design.design import Design
from wiring.design.machine import Topology
from wiring.design.operation import Operation
from wiring.parts.base import PartModel, build_part
from wiring.plan.models import PlanFile
from wiring.plan.records import Box, Pair
from wiring.plan.site import Fan
from wiring.quantities import WireSize
from wiring.requirement import CABINET, Quantity
from wiring.sizing.ladder import Ladder, Sort, Step

_SECONDS_PER_HOUR = 3600.0
Taken = Iterable[tuple[Ladder, Step]]


def variant(design: Design, taken: Taken) -> Design:
    """The design with things at other steps."""
    machine = design.machine
    parts, sizes, plan = dict(machine.parts), {}, machine.plan
    moved = [(ladder, step) for ladder, step in taken if step is not ladder.present]
    for ladder, step in moved:
        if ladder.quantity is Quantity.AIRFLOW:
            plan = _with_air(plan, step)
        elif ladder.quantity is Quantity.SPACE:
            plan = _in_box(plan, step)
        elif ladder.quantity is Quantity.SECTION:
            plan = _with_duct(plan, ladder, step)
        elif isinstance(step.made, WireSize):
            sizes.update(dict.fromkeys(ladder.subjects, step.made))
        elif isinstance(step.made, PartModel):
            parts[ladder.name] = build_part(ladder.name, step.made, parts[ladder.name].place, step.library)
    conductors = tuple(replace(one, size=sizes.get(one.id, one.size)) for one in machine.circuit.conductors)
    circuit = replace(build_circuit(machine.reading, parts), conductors=conductors, plan=plan)
    # another drive may have more terminals, and an axis holds its drive
    drives = any(ladder.sort is Sort.DRIVE for ladder, _ in moved)
    topology = Topology(circuit) if drives else machine.topology
    sized = replace(machine, parts=parts, circuit=circuit, plan=plan, topology=topology)
    return Design.of(sized, operation=Operation(sized, design.operation.only_state))


def _in_box(plan: PlanFile, step: Step) -> PlanFile:
    """The plan with another cabinet."""
    assert plan.enclosure is not None
    return plan.model_copy(update={CABINET: plan.enclosure.model_copy(update={"size": Box.read(step.words)})})


def _with_duct(plan: PlanFile, ladder: Ladder, step: Step) -> PlanFile:
    """The plan with another section of a duct, in the open or on the plate."""
    size = {"size": Pair.read(step.words)}
    if ladder.path[0] == "routes":
        return plan.model_copy(
            update={"routes": plan.routes | {ladder.name: plan.routes[ladder.name].model_copy(update=size)}}
        )
    assert plan.enclosure is not None
    ducts = plan.enclosure.ducts | {ladder.name: plan.enclosure.ducts[ladder.name].model_copy(update=size)}
    return plan.model_copy(update={CABINET: plan.enclosure.model_copy(update={"ducts": ducts})})


def _with_air(plan: PlanFile, step: Step) -> PlanFile:
    """The plan with a fan that delivers so much air; one of a part's own is stood for by the cabinet's."""
    assert plan.enclosure is not None
    fan = Fan.model_construct(airflow=step.high / _SECONDS_PER_HOUR) if step.high else None
    return plan.model_copy(update={CABINET: plan.enclosure.model_copy(update={"fan": fan})})
