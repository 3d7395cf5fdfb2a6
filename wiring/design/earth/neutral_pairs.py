"""Parts that one line and the neutral feed."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor, Edge, Node
from wiring.circuit.roles import Role
from wiring.design.design import Design
from wiring.design.rewiring import led_through
from wiring.parts.elements import Coil, Draw, Feed, Input, Pole, Resistance, Switch
from wiring.plan.edits import Edit


def neutral_pairs(design: Design) -> Iterator[tuple[str, Conductor, Conductor]]:
    """Every part that one line and the neutral feed, with each neutral and the thinnest line there, one without a size
    before all others."""
    if design.plan.rulebook != "iec":
        return
    for name in sorted(design.parts):
        ends = [(name, terminal) for terminal in design.parts[name].terminals]
        found = [c for end in ends for c in design.circuit.conductors_at(end) if c.kind != "shield"]
        lines = [c for c in found if design.roles.of_conductor(c) is Role.LIVE]
        neutrals = [c for c in found if design.roles.of_conductor(c) is Role.NEUTRAL]
        if len({_net_of(design, c) for c in lines}) != 1 or not _is_load(design, name):
            continue
        thinnest = min(lines, key=lambda c: c.size.area_mm2 if c.size else 0.0, default=None)
        if thinnest:
            yield from ((name, neutral, thinnest) for neutral in neutrals)


def _net_of(design: Design, conductor: Conductor) -> object:
    return design.nets.of[conductor.a]


def _is_load(design: Design, name: str) -> bool:
    """Whether a part takes power, so that what comes by the line leaves by the neutral."""
    return bool(design.parts[name].of(Coil, Draw, Input, Resistance))


def has_dead_pole(design: Design, part: str, elements: list[Pole | Switch]) -> bool:
    """Whether a further pole is wired and no supply reaches it: the line is lost ahead of it, which is told there."""
    ends = [(part, end) for element in elements for end in (element.a, element.b)]
    return any(
        len(design.circuit.conductors_at(end)) > 0 and not design.roles.rails.get(end)
        for end in ends
        if isinstance(elements[0], Pole) or len(end[1]) == 1
    )


def lies_on_role(design: Design, part: str, element: Pole | Switch, role: Role) -> bool:
    """Whether both ends of a pole or contact are wired and lie on conductors of a role."""
    return all(
        end in design.nets.joined and any(rail.role is role for rail in design.roles.rails.get(end, ()))
        for end in ((part, element.a), (part, element.b))
    )


def neutral_opened_alone(design: Design, device: str) -> list[str]:
    """The loads whose neutral a device opens with one of its poles while none of them lies in their line."""
    circuit = design.circuit

    def reached(lines: bool, past: str = "") -> set[Node]:
        def joins(edge: Edge, _: Node) -> bool:
            return edge.kind != "shield" if isinstance(edge, Conductor) else edge.part != past

        feeds = ((part.name, one) for part, one in circuit.elements(Feed) if isinstance(one, Feed))
        wanted = [
            (name, one.terminal) for name, one in feeds if (one.conductor[0] == "L" if lines else one.conductor == "N")
        ]
        return set(circuit.walk([node for node in wanted if node in circuit.edges_at], joins))

    neutral, line = reached(lines=False), reached(lines=True)
    lost, live = neutral - reached(lines=False, past=device), reached(lines=True, past=device)
    found = []
    for part, one in circuit.elements(Draw, Resistance, Input, Coil):
        assert isinstance(one, Draw | Resistance | Input | Coil)
        ends = (part.name, one.a), (part.name, one.b)
        if any(far in lost - line and near in live - neutral for near, far in (ends, ends[::-1])):
            found.append(part.name)
    return list(dict.fromkeys(found))


def line_led_through(design: Design, name: str) -> tuple[Edit, ...]:
    """What goes past an open pole of the same device led through it."""
    for pole in design.parts[name].of(Pole, Switch):
        for wired, bare in (((name, pole.a), (name, pole.b)), ((name, pole.b), (name, pole.a))):
            edits = led_through(design, wired, bare)
            if edits:
                return edits
    return ()
