"""Everything that can be taken out of a plan: wires, cores, cables, what feeds a part, parts, bridges."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import partial

from law_cases import SPECS, Case, pieces, sound
from plain_plans import Plan

from wiring.circuit.model import Node
from wiring.design.switching.dependence import depends_on
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.parts.signals import IoCard


def removals() -> list[Case]:
    """Every removal from every plan."""
    return [case for name in SPECS for case in _of(name)]


def _of(name: str) -> Iterator[Case]:
    plan = pieces(name)
    for wire in plan["wires"]:
        yield Case(f"{name} wire {wire['wire']}", partial(without, names={wire["wire"]}))
    for cable in plan.get("cables", ()):
        for core in cable["join"]:
            yield Case(f"{name} core {cable['cable']}.{core}", partial(without, names={f"{cable['cable']}.{core}"}))
        yield Case(f"{name} cable {cable['cable']}", partial(_without_cable, cable=cable["cable"]))
    for part, ends in sorted(_fed(name)):
        names = at_ends(plan, ends)
        if len(names) > 1:
            yield Case(f"{name} feed {part}:{'/'.join(end for _, end in sorted(ends))}", partial(without, names=names))
    serving = _serving(name)
    for part, entry in plan["parts"].items():
        ends = {(part, end.split(":", 1)[1]) for end in all_ends(plan) if end.split(":", 1)[0] == part}
        if part in serving:
            yield Case(f"{name} part {part}", partial(_without_part, part=part, names=at_ends(plan, ends)))
        for bridge in entry.get("bridged", ()):
            yield Case(f"{name} bridge {part} {bridge}", partial(_without_bridge, part=part, bridge=bridge))


def _serving(name: str) -> set[str]:
    """The parts without which another one that takes power gets none: they lie on its way to a source, are that source,
    or drive it. A part of a control or card that only reads them is not served by them."""
    machine = sound(name).machine
    fed = [
        part.name for part in machine.parts.values() if part.of(Input, Draw, Coil) and not isinstance(part.data, IoCard)
    ]
    served = {other for part in fed for other in depends_on(machine, (part,)) if other != part}
    return served | {drive for drive, axis in machine.axes.items() if axis.motors}


def _fed(name: str) -> set[tuple[str, frozenset[Node]]]:
    """The terminals over which each part takes power: pair by pair, and those of a motor or inlet on three phases."""
    found: set[tuple[str, frozenset[Node]]] = set()
    for part in sound(name).circuit.parts.values():
        for element in part.elements:
            takes = isinstance(element, Input | Draw | Coil) or (isinstance(element, Resistance) and element.load)
            if takes and not element.a.startswith(".") and not element.b.startswith("."):
                found.add((part.name, frozenset({(part.name, element.a), (part.name, element.b)})))
    return found


def all_ends(plan: Plan) -> list[str]:
    """Every end of every conductor, as written."""
    wires = [end for wire in plan["wires"] for end in (wire["from"], wire["to"])]
    return wires + [end for cable in plan.get("cables", ()) for pair in cable["join"].values() for end in pair]


def at_ends(plan: Plan, ends: Iterable[Node]) -> set[str]:
    """The wires and cores that land on some terminals."""
    marks = {f"{part}:{terminal}" for part, terminal in ends}
    found = {wire["wire"] for wire in plan["wires"] if marks & {wire["from"], wire["to"]}}
    for cable in plan.get("cables", ()):
        found |= {f"{cable['cable']}.{core}" for core, pair in cable["join"].items() if marks & set(pair)}
    return found


def without(plan: Plan, names: set[str]) -> None:
    """A plan without some wires and cores; a cable that loses its last core goes."""
    plan["wires"] = [wire for wire in plan["wires"] if wire["wire"] not in names]
    for cable in list(plan.get("cables", ())):
        for core in [core for core in cable["join"] if f"{cable['cable']}.{core}" in names]:
            del cable["join"][core]
        if not cable["join"]:
            plan["cables"].remove(cable)


def _without_cable(plan: Plan, cable: str) -> None:
    plan["cables"] = [one for one in plan["cables"] if one["cable"] != cable]


def _without_part(plan: Plan, part: str, names: set[str]) -> None:
    without(plan, names)
    for cable in plan.get("cables", ()):
        if ends := (cable.get("shield") or {}).get("ends"):
            cable["shield"]["ends"] = [end for end in ends if not end.startswith(f"{part}:")]
    del plan["parts"][part]


def _without_bridge(plan: Plan, part: str, bridge: str) -> None:
    plan["parts"][part]["bridged"].remove(bridge)
