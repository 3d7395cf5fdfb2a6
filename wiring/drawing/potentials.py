"""The names of potentials: L1, N, +24 V, 0 V."""

from __future__ import annotations

from collections.abc import Callable

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import Rail, Role, is_earth_point
from wiring.design.design import Design
from wiring.disjoint_sets import joined
from wiring.parts.base import Part
from wiring.parts.elements import Link, Output, Pole, Switch
from wiring.plan.ratings import Voltage


def has_dc(design: Design) -> bool:
    """Whether some terminal lies at a plus of direct voltage."""
    return Role.PLUS in design.roles.role.values()


def potential_names(design: Design) -> Callable[[Node], str]:
    """The name of the potential at a terminal, empty where it has none or more than one meets there."""
    sources = [(part, element) for part, element in design.circuit.elements(Output) if element.name == "output"]
    volts = {part.name: _nominal(part, element.volts) for part, element in sources}

    def of_rail(rail: Rail) -> str:
        if rail.role in (Role.LIVE, Role.NEUTRAL):
            return rail.source
        level = volts.get(rail.source)
        if rail.role is Role.ZERO or level is None:
            return "0 V" if rail.role is Role.ZERO else ""
        return f"{level:.3g} V AC" if rail.role is Role.AC else f"+{level:.3g} V"

    returns = _ac_returns(design)

    def name(node: Node) -> str:
        rails = design.roles.rails.get(node, ())
        if node in returns and all(rail.role is Role.AC for rail in rails):
            return "0 V AC"
        if all(rail.role is Role.PLUS and rail.source in volts for rail in rails):  # a charger in parallel is higher
            rails = tuple(sorted(rails, key=lambda rail: volts[rail.source])[:1])
        names = {of_rail(rail) for rail in rails}
        return names.pop() if len(names) == 1 else ""

    return name


def _nominal(part: Part, volts: float) -> float:
    """The voltage that the nameplate says, which a source without load exceeds."""
    for name in ("output", "secondary", "voltage"):
        stated = getattr(part.data, name, None)
        if isinstance(stated, Voltage):
            return stated.volts
    return volts


def _ac_returns(design: Design) -> frozenset[Node]:
    """The terminals at the second end of the winding of a source of AC, which the first end does not reach as well."""
    sources = [(part.name, out) for part, out in design.circuit.elements(Output) if out.kind == "AC" and out.input]
    if not sources:
        return frozenset()
    edges = [
        edge
        for edge in design.circuit.edges
        if not any(is_earth_point(design.circuit, end) for end in (edge.a, edge.b))
        and (isinstance(edge, Conductor) or isinstance(edge.element, Link | Pole | Switch))
    ]
    first = joined(design.circuit.nodes, [(edge.a, edge.b) for edge in edges])
    lower = {first[name, out.minus] for name, out in sources} - {first[name, out.plus] for name, out in sources}
    return frozenset(node for node in design.circuit.nodes if first[node] in lower)
