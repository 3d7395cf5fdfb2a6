"""Metal bodies, earth bars that the earth does not reach, and the highest voltage that may get onto metal."""

from __future__ import annotations

from collections.abc import Set

from wiring.circuit.model import Inner, Node
from wiring.circuit.roles import Role, is_earth_point
from wiring.design.design import Design
from wiring.design.earth.earthing import joined_earth
from wiring.design.supply.rail_levels import Level
from wiring.parts.base import Part
from wiring.parts.passive import EarthBar, Metalwork


def metal_bodies(design: Design) -> dict[str, Node]:
    """The parts with a metal body, each with its terminal for the protective conductor."""
    return {
        name: (name, part.data.terminals.get(terminal, terminal))
        for name, part in design.parts.items()
        if (terminal := part.data.earth_terminal())
    }


def cut_bars(design: Design, reached: Set[Node]) -> dict[str, Set[Node]]:
    """Earth bars with conductors or shields that the earth does not reach, one for each group that is joined."""
    found: dict[str, Set[Node]] = {}
    for name, part in design.parts.items():
        ends = [(name, terminal) for terminal in part.terminals]
        used = [end for end in ends if design.circuit.conductors_at(end)]
        if not isinstance(part.data, EarthBar) or not used or reached & set(ends):
            continue
        if not any(ends[0] in nodes for nodes in found.values()):
            found[name] = joined_earth(design.machine, ends[:1])
    return found


def highest_level(design: Design, part: Part) -> Level | None:
    """The highest voltage that reaches a part; None where a rail of it is not known, or it is nothing but metal."""
    if isinstance(part.data, Metalwork | EarthBar):
        return None
    rails = [rail for end in part.terminals for rail in design.roles.rails[part.name, end]]
    motors = design.machine.topology.motor_levels
    found = [motors[net] for end in part.terminals if (net := design.nets.of[part.name, end]) in motors]
    if any(rail not in design.levels and rail.role is not Role.NEUTRAL for rail in rails) or not (rails or found):
        return None
    found += [design.levels[rail] for rail in rails if rail in design.levels]
    return max(found, key=lambda level: (level.volts, level.source), default=None)


def metal_behind(design: Design, edge: Inner, lost: Set[Node]) -> list[str]:
    """The metal parts on the side of a contact that it cuts off."""
    ends = [end for end in (edge.a, edge.b) if end in lost]
    near = joined_earth(design.machine, [far for end in ends for far in _earth_ends(design, end)]) & lost
    return sorted({name for name, terminal in near if _body_terminal(design, name) == terminal})


def _earth_ends(design: Design, end: Node) -> list[Node]:
    bonds = design.nets.bonds_at.get(design.nets.of[end], ())
    return [node for bond in bonds for node in bond.ends if is_earth_point(design.circuit, node)]


def _body_terminal(design: Design, name: str) -> str | None:
    data = design.parts[name].data
    terminal = data.earth_terminal()
    return data.terminals.get(terminal, terminal) if terminal else None
