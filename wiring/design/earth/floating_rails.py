"""Sources that metal joins, and what ties them to the mains or the earth."""

from __future__ import annotations

from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.design.nets import NetEdge, SourcePole
from wiring.parts.elements import Coil, Function, Switch
from wiring.parts.loads import ProcessSource
from wiring.parts.sources import Rectifier


def joined_sources(design: Design) -> list[list[SourcePole]]:
    """The main poles of sources that metal joins, the mains among them."""
    group: dict[object, list[SourcePole]] = {}
    for pole in (pole for pole in design.nets.poles if pole.main):
        near = [group[key] for key in (("source", pole.source), design.nets.of[pole.node]) if key in group]
        merged = [pole] + [other for found in {id(found): found for found in near}.values() for other in found]
        for member in merged:
            group["source", member.source] = group[design.nets.of[member.node]] = merged
    return list({id(found): found for found in group.values()}.values())


def is_referenced(design: Design, pole: SourcePole) -> bool:
    """Whether a source is tied to the mains or the earth, through the closed main switch too."""
    near = [design.nets.of[pole.node]]
    for net in near:
        ways = (edge for edge in design.nets.edges_at.get(net, ()) if _is_handle(edge))
        near += [edge.to for edge in ways if edge.to not in near]
    return pole.sign[0] in "LN" or any(design.nets.bonds_at.get(net) for net in near)


def _is_handle(edge: NetEdge) -> bool:
    return isinstance(edge.element, Switch) and edge.element.actuator == "handle"


def may_float(design: Design, poles: list[SourcePole]) -> bool:
    """Whether sources may stay without a reference: windings on a rectifier, isolated process sources, or sources
    alone.
    """
    nodes = [node for pole in poles for node in design.nets.members[design.nets.of[pole.node]]]
    rectified = any(isinstance(design.parts[node[0]].data, Rectifier) for node in nodes if node[0] in design.parts)
    if all(pole.kind == "AC" for pole in poles) and rectified:
        return True
    data = [design.parts[pole.source].data for pole in poles]
    alone = {node[0] for node in nodes} <= {pole.source for pole in poles}
    return alone or all(isinstance(item, ProcessSource) and item.isolated is not False for item in data)


def _on_rails_of(design: Design, poles: list[SourcePole]) -> set[Node]:
    sources = {pole.source for pole in poles}
    return {node for rail, found in design.roles.at.items() if rail.source in sources for node in found}


def feeds_coils(design: Design, poles: list[SourcePole]) -> bool:
    """Whether coils hang on a rail of these sources."""
    coils = {(part.name, e.a) for part, e in design.circuit.elements(Coil) if isinstance(e, Coil)}
    return not coils.isdisjoint(_on_rails_of(design, poles))


def feeds_control(design: Design, poles: list[SourcePole]) -> bool:
    """Whether coils or signal inputs hang on a rail of these sources."""
    nodes = _on_rails_of(design, poles)
    if feeds_coils(design, poles):
        return True
    functions = {design.parts[n[0]].terminals[n[1]].function for n in nodes if n[1] in design.parts[n[0]].terminals}
    return Function.INPUT in functions
