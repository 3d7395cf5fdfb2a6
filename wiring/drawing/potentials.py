"""The names of potentials: L1, N, +24 V, 0 V."""

from __future__ import annotations

from collections.abc import Callable

from wiring.circuit.model import Node
from wiring.circuit.roles import Rail, Role
from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.elements import Output
from wiring.plan.ratings import Voltage


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

    def name(node: Node) -> str:
        rails = design.roles.rails.get(node, frozenset())
        if all(rail.role is Role.PLUS and rail.source in volts for rail in rails):  # a charger in parallel is higher
            rails = sorted(rails, key=lambda rail: volts[rail.source])[:1]
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
