"""How conductors move."""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.design import Design
from wiring.plan.source import Place


def movement(design: Design, conductor: Conductor) -> str:
    """How a conductor moves, in words; "" for one that lies still."""
    cable = design.origins.cable_of(conductor)
    if cable is not None and cable.flexing:
        return "moves with the machine"
    route = design.plan.routes.get(conductor.route or "")
    if route is not None and route.kind == "chain":
        return "lies in a drag chain"
    places = {design.parts[end[0]].data.at for end in conductor.ends if end[0] in design.parts}
    return "bends with the door" if "door" in places and places != {"door"} else ""


def class_place(design: Design, conductors: list[Conductor]) -> Place:
    """Where the plan says how conductors are stranded, or would."""
    first = conductors[0]
    entry = design.origins.of_conductor.get(first.id)
    if entry is not None and entry.section == "cables":
        return design.reading.place("cables", entry.index, "conductor_class")
    return design.origins.value_place(conductors, "conductor_class")
