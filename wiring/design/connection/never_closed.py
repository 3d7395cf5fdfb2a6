"""Loads and inputs through which no current can flow, whatever the contacts do."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence, Set

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.connection.signals import driven, may_drive
from wiring.design.design import Design
from wiring.design.nets import Net, SourcePole
from wiring.design.supply.supplies import main_outputs
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.parts.passive import Resistor
from wiring.parts.switching import SafetyRelay

Across = Draw | Coil | Input | Resistance


class DeadLoad(Struct, frozen=True):
    """A load with the pole that reaches it, the end that no way leads from, and the nets beyond that.

    `sources` are those at both `ends`; `opened` the parts with an open terminal beyond.
    """

    part: Part
    pole: SourcePole
    end: Node
    beyond: frozenset[Net]
    ends: tuple[Node, Node]
    sources: tuple[str, ...]
    opened: tuple[str, ...]


def dead_loads(design: Design) -> list[list[DeadLoad]]:
    """The loads through which no current can flow, in groups of one pole or one open point."""
    opened = [(name, wired) for name, bare in design.machine.open_terminals.items() for wired in bare.values() if wired]
    groups: list[list[DeadLoad]] = []
    for part, element in _unfed_elements(design):
        dead = _dead_load(design, part, element, opened)
        if dead is not None:
            near = [group for group in groups if any(_share_a_cause(dead, other) for other in group)]
            groups = [group for group in groups if group not in near]
            groups.append([*(other for group in near for other in group), dead])
    return [group for group in groups if not all(main_outputs(dead.part) for dead in group)]


def _share_a_cause(one: DeadLoad, other: DeadLoad) -> bool:
    same_pole = (one.pole.source, one.pole.sign) == (other.pole.source, other.pole.sign)
    return same_pole or one.part is other.part or bool(one.beyond & other.beyond)


def _unfed_elements(design: Design) -> Iterator[tuple[Part, Across]]:
    """The elements through which no source drives a current, whatever the contacts do."""
    stray = {one.load for one in design.earthing.stray_returns}
    for part, element in live_elements(design):
        a, b = (part.name, element.a), (part.name, element.b)
        if part.name not in stray and _is_fed(design, a, b) and not _can_close(design, a, b):
            yield part, element


def live_elements(design: Design) -> Iterator[tuple[Part, Across]]:
    """The elements that take a current and are wired at both ends; no resistors, no channels of stop relays."""
    live = design.machine.topology.leading_on
    for part in design.parts.values():
        if isinstance(part.data, Resistor):
            continue
        for element in part.of(Draw, Coil, Input, Resistance):
            assert isinstance(element, Across)
            if isinstance(part.data, SafetyRelay) and getattr(element, "moves", "supply") != "supply":
                continue
            if {(part.name, element.a), (part.name, element.b)} <= live:
                yield part, element


def _is_fed(design: Design, a: Node, b: Node) -> bool:
    return any(r.pole.main for end in (a, b) for r in design.nets.reach(end).sources)


def _can_close(design: Design, a: Node, b: Node) -> bool:
    nets = design.nets
    if nets.of[a] == nets.of[b]:
        return True
    first, second = nets.reach(a).sources, nets.reach(b).sources
    if any(x.pole.source == y.pole.source and x.pole.node != y.pole.node for x in first for y in second):
        return True
    return bool(driven(design.machine, a, b) or driven(design.machine, b, a))


def _dead_load(design: Design, part: Part, element: Across, opened: list[Node]) -> DeadLoad | None:
    """The open side, when the other one is fed by a source and nothing unknown lies beyond."""
    ends = (part.name, element.a), (part.name, element.b)
    for alive, end in (ends, ends[::-1]):
        poles = [r.pole for r in design.nets.reach(alive).sources if r.pole.main]
        if not poles:
            continue
        reached = _nets_through_parts(design, end, part.name)
        if any(may_drive(design.machine, net, part) for net in reached if not design.nets.is_at_source(net)):
            return None
        others = [pole for net in reached for pole in design.nets.poles_at.get(net, ())]
        if not any(is_other_pole(design, pole, poles) for pole in others) and not _through_earth(
            design, poles, reached
        ):
            sources = tuple(pole.node[0] for pole in (*poles, *others))
            beyond = frozenset(design.nets.reach(end).ohm_to)
            open_beyond = [name for name, wired in opened if design.nets.of[name, wired] in reached or name in sources]
            return DeadLoad(part, poles[0], end, beyond, ends, sources, tuple(open_beyond))
    return None


def _through_earth(design: Design, poles: list[SourcePole], reached: set[Net]) -> bool:
    """Whether the way ends at the incoming protective earth, which earthed mains are joined to at their source."""
    mains, inlets = design.plan.mains, {node[0] for node in design.earthing.inlets}
    bonds = (bond for net in reached for bond in design.nets.bonds_at.get(net, ()))
    earthed = mains is not None and mains.earthing != "IT" and any(pole.source in inlets for pole in poles)
    return earthed and any(end in design.earthing.reached for bond in bonds for end in bond.ends)


def is_other_pole(design: Design, pole: SourcePole, poles: Sequence[SourcePole]) -> bool:
    """Whether a pole is another one of a source of these."""
    return any(p.source == pole.source and design.nets.of[p.node] != design.nets.of[pole.node] for p in poles)


def meet_at_earth(design: Design, poles: Sequence[SourcePole], beyond: Set[Net]) -> bool:
    """Whether nets and another pole of the source of these poles are both bonded to the protective earth."""
    bonded = design.nets.bonds_at.keys()
    others = {design.nets.of[p.node] for p in design.nets.poles if p.main and is_other_pole(design, p, poles)}
    return bool(beyond & bonded and others & bonded)


def _nets_through_parts(design: Design, start: Node, without: str) -> set[Net]:
    """The nets that a point reaches through contacts, coils and resistances of other parts, which may lie in series,
    and the earth; rails end the way.
    """
    nets = design.nets
    seen = {nets.of[start]}
    queue = deque(seen)
    while queue:
        net = queue.popleft()
        if nets.is_at_source(net):
            continue
        ways = [way.to for way in nets.edges_at.get(net, ())]
        if net in nets.bonds_at:
            ways += nets.bonds_at
        for name, terminal in nets.members[net]:
            other = design.parts.get(name)
            for element in other.of(Coil, Resistance) if other and name != without else ():
                if terminal in (element.a, element.b):
                    ways.append(nets.of[name, element.b if terminal == element.a else element.a])
        for to in ways:
            if to not in seen:
                seen.add(to)
                queue.append(to)
    return seen
