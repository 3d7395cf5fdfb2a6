"""Terminals that must be used and are open: half-wired loads and contacts, poles that are fed past, inputs not fed; and
those whose conductors lead to rows of terminals and plugs alone, and so to nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Set
from itertools import pairwise

from wiring.circuit.model import Circuit, Node
from wiring.circuit.roles import Role, is_earth_point
from wiring.design.device.devices import protective_device
from wiring.design.nets import Net, Nets
from wiring.parts.base import Part
from wiring.parts.drives import StepperDrive
from wiring.parts.elements import Coil, Draw, Feed, Function, Input, Pole, Resistance, Switch
from wiring.parts.operators import Operated
from wiring.parts.passive import Connector, Terminals
from wiring.parts.protection import SurgeArrester
from wiring.parts.signals import Sensor
from wiring.parts.switching import Coiled, Contactor

_SPARE_WORD = "spare"


def dead_end_terminals(circuit: Circuit, nets: Nets) -> frozenset[Node]:
    """The wired terminals from which metal reaches no other part but terminals and plugs, and no earth.

    A conductor whose title or label says `spare` leads where it should.
    """
    found: set[Node] = set()
    members: dict[Node, list[Node]] = {}
    for node in nets.joined:
        members.setdefault(nets.bare[node], []).append(node)
    for nodes in members.values():
        ends = [node for node in nodes if not _passes_on(circuit, node)]
        if len(ends) == 1 and not any(_is_fed_or_spare(circuit, node) for node in nodes):
            found.update(ends)
    return frozenset(found)


def _passes_on(circuit: Circuit, node: Node) -> bool:
    part = circuit.parts.get(node[0])
    return part is None or isinstance(part.data, Terminals | Connector)


def _is_fed_or_spare(circuit: Circuit, node: Node) -> bool:
    part = circuit.parts.get(node[0])
    if part is not None and any(e.terminal == node[1] for e in part.of(Feed)):
        return True
    conductors = circuit.conductors_at(node)
    bonded = any(is_earth_point(circuit, end) for c in conductors if c.kind != "shield" for end in c.ends)
    return bonded or any(_SPARE_WORD in f"{c.id} {c.title}".lower() for c in conductors)


_SPARE = (Function.INPUT, Function.OUTPUT, Function.COMMON)
#: Parts whose contacts serve something; those of stop relays are judged with their stop.
_CONTACTS = (Operated, Coiled)


def _pairs(part: Part) -> list[tuple[str, str]]:
    """The two ends of everything in a part through which current must flow."""
    found = [
        (element.a, element.b)
        for element in part.elements
        if isinstance(element, Draw | Coil | Input | Resistance)
        and not (element.a.startswith(".") or element.b.startswith("."))
    ]
    phases = [t.name for t in part.terminals.values() if t.function is Function.MOTOR and t.required]
    return [*found, *pairwise(phases)]


def _open_ends(part: Part, live: Set[Node]) -> dict[str, str]:
    """Open terminals, each with the wired one that needs it."""
    pairs = _pairs(part)
    uses = Counter(end for pair in pairs for end in pair)
    found: dict[str, str] = {}
    for pair in pairs:
        for wired, bare in (pair, pair[::-1]):
            if (part.name, wired) not in live or (part.name, bare) in live:
                continue
            shared = uses[wired] > 1 and part.terminals[bare].function in _SPARE
            if not shared and bare in part.terminals:
                found.setdefault(bare, wired)
    return found


def _half_contacts(circuit: Circuit, part: Part, live: Set[Node]) -> dict[str, str]:
    """The open side of every contact that has one side wired; a common that passes on, or has another throw, may."""
    if isinstance(part.data, Sensor):
        used = [t for t in ("1", "3") if (part.name, part.data.terminals.get(t, t)) in live]
        output = part.data.terminals.get("4", "4")
        return {output: used[0]} if used and (part.name, output) not in live else {}
    if not isinstance(part.data, _CONTACTS):
        return {}
    closed: set[str] = set()
    halves: dict[str, str] = {}
    for element in part.of(Switch):
        if element.mirror or (len(element.a) == 1 and isinstance(part.data, Contactor)):
            continue  # a contact of a reset loop, judged with its stop; a main pole that is not used
        wired = [end for end in (element.a, element.b) if (part.name, end) in live]
        if len(wired) == 2:
            closed.update(wired)
        elif len(wired) == 1 and len(circuit.conductors_at((part.name, wired[0]))) == 1:
            halves[element.b if wired[0] == element.a else element.a] = wired[0]
    return {bare: wired for bare, wired in halves.items() if wired not in closed}


def _bypassed_poles(circuit: Circuit, nets: Nets, part: Part, live: Set[Node]) -> dict[str, str]:
    """The open line side of every pole past which a load is fed: conductors come and go at its load side alone.

    A spare device in a row has its conductors at the line side, and leads to loads through other devices only.
    """
    if protective_device(part, circuit.plan.rulebook) is None:
        return {}
    found = {}
    for element in part.of(Pole):
        line, load = (part.name, element.a), (part.name, element.b)
        passes = len(circuit.conductors_at(load)) > 1 and load in live and line not in live
        if passes and element.a in part.terminals and _feeds_load(circuit, nets, nets.bare[load]):
            found[element.a] = element.b
    return found


def _passed_main_poles(circuit: Circuit, nets: Nets, part: Part, live: Set[Node]) -> dict[str, str]:
    """The open side of every main pole of a contactor past which a line is led on, beside one that another line leads
    through: conductors come and go at its other side alone."""
    if not isinstance(part.data, Contactor):
        return {}
    mains = [(one.a, one.b) for one in part.of(Switch) if len(one.a) == 1 and not one.mirror]
    wired = [[end for end in pair if (part.name, end) in live] for pair in mains]
    through = [ends for ends in wired if len(ends) == 2]
    if all(nets.roles.role[part.name, ends[0]] is Role.NEUTRAL for ends in through):
        return {}
    return {
        b if ends == [a] else a: ends[0]
        for (a, b), ends in zip(mains, wired, strict=True)
        if len(ends) == 1 and len(circuit.conductors_at((part.name, ends[0]))) > 1
    }


def _feeds_load(circuit: Circuit, nets: Nets, net: Net) -> bool:
    """Whether a load hangs on a net with no device between."""
    return any(
        nets.bare.get((part.name, end)) == net
        for part, element in circuit.elements(Draw, Coil, Input, Resistance)
        if isinstance(element, Draw | Coil | Input | Resistance)
        for end in (element.a, element.b)
    )


def _unfed(circuit: Circuit, nets: Nets, part: Part) -> dict[str, str]:
    """Where a part takes its power, with no conductor at either end, though it is wired to do something, where there is
    an inlet."""
    joined = nets.joined
    used = any((part.name, t.name) in joined for t in part.terminals.values() if t.function is not Function.PE)
    return {
        end: ""
        for element in part.of(Input, Draw, Coil)
        if used
        for end in (element.a, element.b)
        if end in part.terminals and not {(part.name, element.a), (part.name, element.b)} & joined
    }


def _unearthed(part: Part, live: Set[Node]) -> dict[str, str]:
    """The open earth of an arrester, which leads surges there and has no metal body."""
    if not isinstance(part.data, SurgeArrester):
        return {}
    used = [t.name for t in part.terminals.values() if t.function is not Function.PE and (part.name, t.name) in live]
    earths = [t.name for t in part.terminals.values() if t.function is Function.PE and (part.name, t.name) not in live]
    return dict.fromkeys(earths, used[0]) if used else {}


def open_terminals(circuit: Circuit, nets: Nets, live: Set[Node]) -> Mapping[str, Mapping[str, str]]:
    """By part that has some: its open terminals, each with the wired one that needs it, "" where none is wired.

    `live` are the wired ones from which metal leads on.
    """
    fed_by_mains = bool(circuit.elements(Feed))
    found: dict[str, Mapping[str, str]] = {}
    for part in circuit.parts.values():
        bare = _open_ends(part, live) | _half_contacts(circuit, part, live)
        bare |= _bypassed_poles(circuit, nets, part, live)
        bare |= _passed_main_poles(circuit, nets, part, live)
        bare |= _unfed(circuit, nets, part) if fed_by_mains else {}
        bare |= _unearthed(part, live)
        if bare:
            found[part.name] = bare
    return found


def _is_needed(circuit: Circuit, nets: Nets, part: Part, name: str) -> bool:
    """Whether the part cannot work without it: the pulses of a drive, what a sensor says, and the direction of a drive
    where another drive of the machine has one."""
    if isinstance(part.data, StepperDrive):
        pulses, direction = (_marked(part.data, pair) for pair in part.data.signal_inputs()[:2])
        if name in pulses or (name in direction and _others_turn_both_ways(circuit, nets, part)):
            return True
    return isinstance(part.data, Sensor) or part.terminals[name].function not in _SPARE


def _marked(data: StepperDrive, pair: tuple[str, str]) -> tuple[str, str]:
    return data.terminals.get(pair[0], pair[0]), data.terminals.get(pair[1], pair[1])


def _others_turn_both_ways(circuit: Circuit, nets: Nets, part: Part) -> bool:
    return any(
        all((other.name, end) in nets.joined for end in _marked(other.data, other.data.signal_inputs()[1]))
        for other in circuit.parts.values()
        if isinstance(other.data, StepperDrive) and other.name != part.name
    )


def is_chain_return(circuit: Circuit, nets: Nets, part: Part, bare: Mapping[str, str]) -> bool:
    """Whether only returns of optional inputs are wired: a chain of returns passes inputs that are not used."""
    optional = not any(_is_needed(circuit, nets, part, name) for name in bare)
    roles = {nets.roles.role[part.name, wired] for wired in bare.values() if wired}
    passed_on = all(len(circuit.conductors_at((part.name, wired))) > 1 for wired in bare.values() if wired)
    return optional and (passed_on or roles <= {Role.ZERO})
