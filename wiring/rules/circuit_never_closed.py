"""One pole of a source reaches a load or an input, and the other pole reaches it nowhere.

Asked of the network with every contact taken as closed: no switch can ever make current flow. A feed or a return is
missing, or leads to the rail of another source: a sensor whose 0 V ends in a row of terminals, a pulse input between
the 24 V of one supply and the return of another. Loads that miss the same pole are told together.

Fires on sorting-gate at B1
    X2.bridged=[1-4, 6-10]
Quiet
    X2.bridged=[1-10]
Not judged
    A load that no source reaches at either end. An input that hangs on a signal whose driver the plan does not show,
    such as a port or an encoder.
Known limits
    A supply whose own input is open is told by `supply-never-live`, a stop relay by the rules on stops, a load that
    returns through the earth by `earth-carries-current`.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from wiring.circuit.model import Node, named
from wiring.design.dead_end_terminals import dead_end_terminals
from wiring.design.nets import Net, SourcePole
from wiring.design.rewiring import led_from, place_on
from wiring.design.signals import driven
from wiring.design.supplies import main_outputs
from wiring.findings import Finding, Mend, Scope
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Function, Input, Link, Output, Pole, Resistance, Switch
from wiring.parts.passive import Resistor
from wiring.parts.switching import SafetyRelay
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="circuit-never-closed",
    title="No way back to the source",
    signal=Signal.CAUTION,
    harm="It never runs, or the controller never hears of it: a limit or a sensor that everyone relies on is deaf.",
    sources=(("iec", iec_60204("17.2, 18.1")), ("na", nfpa_79("17.1, 18.1"))),
)
_OUTSIDE = (Function.OUTPUT, Function.INPUT, Function.MOTOR, Function.SHIELD, Function.PE)
Across = Draw | Coil | Input | Resistance


@dataclass(frozen=True, slots=True)
class _Dead:
    """A load with the pole that reaches it, the end that no way leads from, and the nets beyond that."""

    part: Part
    pole: SourcePole
    end: Node
    beyond: frozenset[Net]
    rests: Scope


def check(design: Design) -> Judgements:
    """Every load and input that is wired at both ends; those that miss one pole are told together."""
    tell = partial(_finding, design)
    for n, group in enumerate(_groups(design)):
        for dead in group:
            held = {("part", dead.part.name), ("supply", dead.pole.source), *_bonds(design, dead)}
            yield Item(n, dead, tell, frozenset(held), (dead.rests,))


def _bonds(design: Design, dead: _Dead) -> Scope:
    """The rail that floats because its bond to the earth lies beyond the open end."""
    return scope("bond", dead.pole.source) if dead.beyond & design.nets.bonds_at.keys() else frozenset()


def _groups(design: Design) -> list[list[_Dead]]:
    """The loads through which no current can flow, in groups of one pole or one open point."""
    opened = [(name, wired) for name, bare in design.machine.open_terminals.items() for wired in bare.values() if wired]
    groups: list[list[_Dead]] = []
    for part, element in _suspects(design):
        dead = _dead(design, part, element, opened)
        if dead is not None:
            near = [group for group in groups if any(_share(dead, other) for other in group)]
            groups = [group for group in groups if group not in near]
            groups.append([*(other for group in near for other in group), dead])
    return [group for group in groups if not all(main_outputs(dead.part) for dead in group)]


def _share(one: _Dead, other: _Dead) -> bool:
    same_pole = (one.pole.source, one.pole.sign) == (other.pole.source, other.pole.sign)
    return same_pole or one.part is other.part or bool(one.beyond & other.beyond)


def _suspects(design: Design) -> Iterator[tuple[Part, Across]]:
    """The elements through which no source drives a current, whatever the contacts do."""
    live = design.nets.joined - dead_end_terminals(design.circuit, design.nets)
    for part in design.parts.values():
        if isinstance(part.data, Resistor):
            continue
        for element in part.of(Draw, Coil, Input, Resistance):
            assert isinstance(element, Across)
            if isinstance(part.data, SafetyRelay) and getattr(element, "moves", "supply") != "supply":
                continue
            a, b = (part.name, element.a), (part.name, element.b)
            if a in live and b in live and _is_fed(design, a, b) and not _closes(design, a, b):
                yield part, element


def _is_fed(design: Design, a: Node, b: Node) -> bool:
    return any(r.pole.main for end in (a, b) for r in design.nets.reach(end).sources)


def _closes(design: Design, a: Node, b: Node) -> bool:
    nets = design.nets
    if nets.of[a] == nets.of[b]:
        return True
    first, second = nets.reach(a).sources, nets.reach(b).sources
    if any(x.pole.source == y.pole.source and x.pole.node != y.pole.node for x in first for y in second):
        return True
    return bool(driven(design.machine, a, b) or driven(design.machine, b, a))


def _dead(design: Design, part: Part, element: Across, opened: list[Node]) -> _Dead | None:
    """The open side, when the other one is fed by a source and nothing unknown lies beyond."""
    ends = (part.name, element.a), (part.name, element.b)
    for alive, end in (ends, ends[::-1]):
        poles = [r.pole for r in design.nets.reach(alive).sources if r.pole.main]
        if not poles:
            continue
        reached = _everywhere(design, end, part.name)
        if any(_may_drive(design, net, part) for net in reached):
            return None
        others = [pole for net in reached for pole in design.nets.poles_at.get(net, ())]
        if not any(_is_other_pole(design, pole, poles) for pole in others):
            sources = [pole.node[0] for pole in (*poles, *others)]
            open_beyond = [name for name, wired in opened if design.nets.of[name, wired] in reached or name in sources]
            rests = scope("part", part.name, *open_beyond) | scope("end", *(named(node) for node in ends))
            rests |= scope("pair", *(f"{part.name}|{source}" for source in sources))
            return _Dead(part, poles[0], end, frozenset(design.nets.reach(end).ohm_to), rests)
    return None


def _is_other_pole(design: Design, pole: SourcePole, poles: list[SourcePole]) -> bool:
    return any(p.source == pole.source and design.nets.of[p.node] != design.nets.of[pole.node] for p in poles)


def _everywhere(design: Design, start: Node, without: str) -> set[Net]:
    """The nets that a point reaches through contacts, coils and resistances of other parts, which may lie in series,
    and the earth; rails end the way.
    """
    nets = design.nets
    seen = {nets.of[start]}
    queue = deque(seen)
    while queue:
        net = queue.popleft()
        if any(pole.main for pole in nets.poles_at.get(net, ())):
            continue
        ways = [way.to for way in nets.edges_at.get(net, ())]
        if net in nets.bonds_at:
            ways += nets.bonds_at
        for name, terminal in nets.members[net]:
            other = design.parts.get(name)
            for element in other.of(Coil, Resistance) if other and name != without else ():
                assert isinstance(element, Coil | Resistance)
                if terminal in (element.a, element.b):
                    ways.append(nets.of[name, element.b if terminal == element.a else element.a])
        for to in ways:
            if to not in seen:
                seen.add(to)
                queue.append(to)
    return seen


def _may_drive(design: Design, net: Net, asked: Part) -> bool:
    """Whether the net touches a signal terminal of which the plan does not say what is behind it."""
    for name, terminal in design.nets.members[net]:
        part = design.parts.get(name)
        if part is None or name == asked.name or terminal not in part.terminals:
            continue
        if part.terminals[terminal].function in _OUTSIDE and not _is_modelled(part, terminal):
            return True
    return False


def _is_modelled(part: Part, terminal: str) -> bool:
    return any(
        terminal in (getattr(e, "a", ""), getattr(e, "b", ""), getattr(e, "plus", ""), getattr(e, "minus", ""))
        for e in part.of(Draw, Coil, Input, Resistance, Switch, Output, Pole, Link)
    )


def _led(design: Design, rows: Sequence[_Dead], what: str) -> Mend | None:
    """A conductor from the pole that lacks to the metal that all of them share."""
    shared = frozenset.intersection(*(row.beyond for row in rows))
    pole = next((p for p in design.nets.poles if p.main and _is_other_pole(design, p, [rows[0].pole])), None)
    if pole is None:
        return None
    for net in sorted(shared, key=lambda net: (-len(design.nets.members[net]), net)):
        node = next((node for node in design.nets.members[net] if node[0] in design.parts), None)
        found = place_on(design, node) if node is not None else None
        if found is not None:
            led = led_from(design, pole.node, found[0])
            return Mend(f"Lead {what} to {named(found[0])}.", (*found[1], *led)) if led else None
    return None


def _finding(design: Design, rows: Sequence[_Dead]) -> Finding:
    source = rows[0].pole.source
    signs = {row.pole.sign for row in rows}
    missing = {"+": "return", "-": "plus"}.get(rows[0].pole.sign, "") if len(signs) == 1 else ""
    what = f"the {missing} of {source}" if missing else f"another pole of {source}"
    names = list(dict.fromkeys(row.part.name for row in rows))
    ends = list(dict.fromkeys(named(row.end) for row in rows))
    near = [c for row in rows for c in design.circuit.conductors_at(row.end) if c.kind != "shield"]
    return RULE.finding(
        (*names, source),
        f"No current can flow through {listed(names)}: {what} reaches {listed(ends)} nowhere",
        near[0].place if near else design.place(names[0]),
        mend=(
            _led(design, rows, what) or f"Lead {what} to {ends[0]}, or find where the way from there is open.",
            f"Or take {names[0]} out of the plan if it is not used.",
        ),
    )
