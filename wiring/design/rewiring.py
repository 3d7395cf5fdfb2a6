"""Changes of how a plan is wired that several rules offer as mends: a new conductor, a part in its way, a way round.

Each gives edits, none where it cannot be done on the plan; what they come to is tried before it is offered.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import count
from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor, Node, named
from wiring.design.edits import led_to, of_part, taken_away
from wiring.design.nets import far_from_earth
from wiring.parts.passive import EarthBar, Terminals, bridge_points
from wiring.plan.edits import AddEntry, AddItem, Edit, RemoveEntry, SetValue, scalar
from wiring.rulebooks.signals import signal_limit

if TYPE_CHECKING:
    from wiring.design.design import Design
    from wiring.design.nets import SourcePole

Edits = tuple[Edit, ...]


def free_wires(design: Design) -> Iterator[str]:
    """Numbers that no wire or cable has."""
    taken = {*(wire.wire for wire in design.plan.wires), *(cable.cable for cable in design.plan.cables)}
    numbers = [int(name) for name in taken if name.isdigit()]
    return (str(n) for n in count(max(numbers, default=0) + 1))


def free_parts(design: Design, letter: str) -> Iterator[str]:
    """Names of parts of that letter that the plan does not have."""
    return (name for n in count(1) if (name := f"{letter}{n}") not in design.parts)


def new_part(design: Design, name: str, entry: str) -> AddEntry:
    """A part behind the others."""
    return AddEntry(("parts",), name, f"{{{entry}}}", list(design.reading.parts)[-1])


def new_wire(design: Design, number: str, start: Node, end: Node, like: Conductor, length: str = "1 m") -> AddItem:
    """A wire between two terminals, of the kind of another conductor."""
    entry = design.origins.of_conductor.get(like.id)
    made: list[str] = []
    if entry is not None and entry.section == "wires" and entry.type:
        made.append(f"type: {scalar(entry.type)}")
    else:
        made += [f"colour: {like.colour}"] if like.colour else []
        made += [f"insulation: {like.insulation}"] if like.insulation else []
    made += [f"size: {like.size.text}"] if like.size is not None else []
    made += [f"route: {scalar(like.route)}"] if like.route else []
    ends = f'wire: {scalar(number)}, from: "{named(start)}", to: "{named(end)}"'
    return AddItem(("wires",), f"{{{', '.join([ends, *made])}, length: {length}}}")


def wires_at(design: Design, node: Node) -> list[Conductor]:
    """The conductors at a terminal, screens apart."""
    return [one for one in design.circuit.conductors_at(node) if one.kind != "shield"]


def _room(design: Design, node: Node) -> int:
    """How many more conductors a terminal takes; none at a point inside a part."""
    terminal = design.parts[node[0]].terminals.get(node[1])
    if terminal is None:
        return 0
    most = terminal.wires_max
    return (int(signal_limit("conductors_per_terminal_max").value) if most is None else most) - len(
        wires_at(design, node)
    )


def place_on(design: Design, node: Node, without: Iterable[Node] = ()) -> tuple[Node, Edits] | None:
    """A terminal on the metal of `node` that takes one conductor more: in a row first, else one that a row gains."""
    members = [one for one in design.nets.members[design.nets.of[node]] if one[0] in design.parts]
    rows = [one for one in members if isinstance(design.parts[one[0]].data, Terminals | EarthBar)]
    beside = [one for one in members if one not in rows and not one[1].startswith(".")]
    for one in sorted(rows, key=lambda one: -_room(design, one)):
        if one not in without and _room(design, one) > 0:
            return one, ()
    for one in rows:
        grown = _grown(design, one)
        if grown is not None:
            return grown
    found = [one for one in (node, *beside) if one not in without and _room(design, one) > 0]
    return (found[0], ()) if found else None


def _grown(design: Design, node: Node) -> tuple[Node, Edits] | None:
    """One point more of a row whose bridge ends with its last point."""
    name, data = node[0], design.parts[node[0]].data
    if not isinstance(data, Terminals) or design.parts[name].library:
        return None
    bridges = list(data.bridged)
    for n, bridge in enumerate(bridges):
        points = bridge_points(bridge)
        if node[1] in points and points[-1] == str(data.points_):
            last = str(data.points_ + 1)
            bridges[n] = f"{points[0]}-{last}"
            edits = (*of_part(name, "points", last), *of_part(name, "bridged", f"[{', '.join(bridges)}]"))
            return (name, last), edits
    return None


def return_pole(design: Design, source: str) -> SourcePole | None:
    """The pole to which loads of a source return: its minus, or the neutral of the mains."""
    return next((pole for pole in design.nets.poles if pole.source == source and pole.sign in ("-", "N")), None)


def led_from(design: Design, pole: Node, end: Node) -> Edits:
    """A new conductor from the metal of a pole to a terminal, like the thinnest that is there."""
    found = place_on(design, pole)
    net = design.nets.of[pole]
    there = [one for node in design.nets.members[net] for one in wires_at(design, node) if one.kind == "wire"]
    sized = [one for one in there if one.size is not None and one.size.area_mm2 > 0.0]
    if found is None or not sized:
        return ()
    start, edits = found
    like = min(sized, key=lambda one: (one.size.area_mm2 if one.size else 0.0, one.id))
    return (*edits, new_wire(design, next(free_wires(design)), start, end, like))


def led_onto(design: Design, conductor: Conductor, old: Node, pole: Node) -> Edits:
    """The end of a conductor on the metal of another pole."""
    found = place_on(design, pole)
    moved = led_to(design, conductor, old, found[0]) if found else ()
    return (*found[1], *moved) if found and moved else ()


def across(design: Design, part: Sequence[Node], ends: Sequence[Node], like: Sequence[Conductor]) -> Edits:
    """The two ends of a part joined to two points, by wires like the thinnest that are there."""
    sized = [one for one in like if one.size is not None]
    numbers, found = free_wires(design), list[Edit]()
    for own, end in zip(part, ends, strict=True):
        place = place_on(design, end)
        if place is None or not sized:
            return ()
        found += [*place[1], new_wire(design, next(numbers), place[0], own, sized[0])]
    return tuple(found)


def led_back(design: Design, bond: Conductor, source: str) -> Edits:
    """A conductor that leads into the protective earth on the return of a source in its place."""
    pole, far = return_pole(design, source), far_from_earth(design.circuit, bond)
    return led_onto(design, bond, bond.other(far), pole.node) if pole is not None else ()


def led_through(design: Design, wired: Node, bare: Node) -> Edits:
    """A contact that is passed by, both conductors at one end of it: what leads on begins at its other end."""
    wires, step = wires_at(design, wired), design.short_circuits.paths.hot.get(wired)
    if len(wires) < 2 or wires_at(design, bare):
        return ()
    feed = step.back if step is not None and step.back in wires else wires[0]
    moved = [led_to(design, wire, wired, bare) for wire in wires if wire is not feed]
    return tuple(edit for edits in moved for edit in edits) if all(moved) else ()


def past(design: Design, one: Node, other: Node) -> Edits:
    """Both sides of a contact joined without it: what leads on from one side begins where the other side comes from."""
    for near, far in ((one, other), (other, one)):
        coming, going = wires_at(design, near), wires_at(design, far)
        if len(coming) != 1 or not going:
            continue
        away, start = taken_away(design, coming), coming[0].other(near)
        moved = [led_to(design, wire, far, start) for wire in going]
        if away and all(moved) and start not in (near, far):
            return (*(edit for edits in moved for edit in edits), *away)
    return ()


def removed(design: Design, name: str, ends: Iterable[Node]) -> Edits:
    """A part taken out of the plan, where nothing is joined to it but what is led away from these ends."""
    wired = {(name, terminal) for terminal in design.parts[name].terminals if wires_at(design, (name, terminal))}
    named_elsewhere = any(name in entries for entries in design.plan.states.values())
    return () if wired - set(ends) or named_elsewhere else (RemoveEntry(("parts", name)),)


def in_series(design: Design, node: Node, part: Sequence[Node], numbers: Iterator[str], length: str = "0.3 m") -> Edits:
    """What ends at a terminal led to the second of two ends of a part, and the first joined to the terminal."""
    wires = wires_at(design, node)
    like = next((one for one in wires if one.size is not None), None)
    moved = [led_to(design, wire, node, part[1]) for wire in wires]
    if like is None or not all(moved):
        return ()
    return (*(edit for edits in moved for edit in edits), new_wire(design, next(numbers), node, part[0], like, length))


def lengths_alike(design: Design, conductors: Sequence[Conductor]) -> Edits:
    """Conductors of the size and length of the largest of them."""
    found: dict[tuple[str | int, ...], Edit] = {}
    longest = max(conductors, key=lambda one: one.length_m or 0.0)
    thickest = max(conductors, key=lambda one: one.size.area_mm2 if one.size else 0.0)
    if longest.length_m is None or thickest.size is None or any(one.kind != "wire" for one in conductors):
        return ()
    for one in conductors:
        entry = design.origins.of_conductor.get(one.id)
        if entry is None or one.id != entry.id:
            return ()
        for key, text in (("length", f"{longest.length_m:.6g} m"), ("size", thickest.size.text)):
            found["wires", entry.id, key] = SetValue(("wires", entry.id, key), text)
    return tuple(found.values())
