"""Names inside one plan file that must exist in it, and ids that must be unique. Kinds of parts play no role here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from wiring.plan.fault import Fault, nearest
from wiring.plan.source import Node, Place

#: A section that every plan has: where it is missing that is the one fault, and not every name that it would hold.
_ALWAYS_THERE = ("parts",)


class _Names:
    """The names of one section, with what a missing one is called. A section that is not a mapping is not checked."""

    def __init__(self, tree: Node, section: str, noun: str) -> None:
        node = tree.child(section)
        self.section = section
        self.noun = noun
        self.known: Mapping[str, object] | None = node.keys if node and isinstance(node.data, dict) else None
        if node is None and section not in _ALWAYS_THERE:
            self.known = {}

    def lacks(self, name: str) -> bool:
        return self.known is not None and name not in self.known

    def fault(self, name: str, place: Place) -> Fault:
        summary = f"there is no {self.noun} {name[:60]!r}"
        return Fault(place, summary, f"a key of `{self.section}`", "", nearest(name, self.known or ()))

    def check(self, name: str, place: Place) -> Iterator[Fault]:
        if self.lacks(name):
            yield self.fault(name, place)


def _texts(node: Node | None, *path: str) -> list[Node]:
    """The texts at the path, a single one or those of a list."""
    found = node.follow(path) if node is not None else None
    return found[0].texts() if found and found[1] == len(path) else []


def _terminals(item: Node) -> Iterator[Node]:
    """Every text of a wire or cable that should name a terminal."""
    for key, node in item.entries():
        if key in ("from", "to", "through"):
            yield from node.texts()
        elif key in ("star", "shield", "join"):
            for inner_key, inner in node.entries():
                if key == "join" or inner_key in ("from", "to", "ends"):
                    yield from inner.texts()


def _terminal_faults(items: Iterable[Node], parts: _Names) -> Iterator[Fault]:
    for item in items:
        for node in _terminals(item):
            part, colon, _ = node.data.partition(":")
            if part and colon and parts.lacks(part):
                line, column, _ = node.span
                yield parts.fault(part, Place(node.file, line, column, len(part)))


def _named(items: Iterable[Node], key: str, names: _Names) -> Iterator[Fault]:
    for item in items:
        node = item.child(key)
        if node is not None and isinstance(node.data, str) and names.lacks(node.data):
            yield names.fault(node.data, node.place)


def _pieces(item: Node) -> list[str]:
    """The names of the pieces of a chain or star as they are written, the way `segments` numbers them."""
    if item.child("through") is None and item.child("star") is None:
        return []
    count = max(len(_texts(item, "through")) - 1, len(_texts(item, "star", "to")))
    return [f"{item.data['wire']}.{number}" for number in range(1, count + 1)]


def _duplicates(wires: Iterable[Node], cables: Iterable[Node]) -> Iterator[Fault]:
    first: dict[str, tuple[str, Node]] = {}
    pieces: dict[str, Node] = {}
    for noun, items in (("wire", wires), ("cable", cables)):
        for item in items:
            node = item.child(noun)
            if node is None or not isinstance(node.data, str):
                continue
            if node.data in first:
                before, earlier = first[node.data]
                summary = f"the id {node.data[:60]!r} stands for a {before} already"
                mend = f"the first is in line {earlier.place.line}"
                yield Fault(node.place, summary, "an id of its own", mend, (), (earlier.place,))
                continue
            first[node.data] = (noun, node)
            if noun == "wire":
                pieces |= dict.fromkeys(_pieces(item), node)
    for name, of in pieces.items():
        if name in first:
            summary = f"the id {name[:60]!r} is that of a piece of another wire already"
            yield Fault(first[name][1].place, summary, "an id of its own", "", (), (of.place,))


def _state_faults(tree: Node, parts: _Names) -> Iterator[Fault]:
    states = tree.child("states")
    for _, state in states.entries() if states else ():
        for part, _ in state.entries():
            yield from parts.check(part, state.key_place(part))


def _measured_faults(tree: Node, parts: _Names) -> Iterator[Fault]:
    motors = tree.follow(("measured", "motors"))
    if motors[1] == 2:
        for part, _ in motors[0].entries():
            yield from parts.check(part, motors[0].key_place(part))


def _stop_faults(tree: Node, parts: _Names) -> Iterator[Fault]:
    stops = tree.child("stops")
    for _, stop in stops.entries() if stops else ():
        for key in ("devices", "reset", "removes"):
            listed = stop.child(key)
            if listed is not None and (key == "reset" or isinstance(listed.data, list)):
                for node in listed.texts():
                    yield from parts.check(node.data, node.place)


def _route_faults(tree: Node, routes: _Names) -> Iterator[Fault]:
    section = tree.child("routes")
    for name, route in section.entries() if section else ():
        apart = route.child("apart")
        for other, _ in apart.entries() if apart else ():
            yield from routes.check(other, apart.key_place(other))  # type: ignore[union-attr]
            if other == name:
                yield Fault(apart.key_place(other), f"route {name!r} is apart from itself", "another route")  # type: ignore[union-attr]


def reference_faults(tree: Node) -> Iterator[Fault]:
    """Every name in the plan that names nothing, and every id that is given twice."""
    parts = _Names(tree, "parts", "part")
    types = _Names(tree, "wire_types", "wire type")
    routes = _Names(tree, "routes", "route")
    wires, cables = tree.items_of("wires"), tree.items_of("cables")
    wire_types = tree.child("wire_types")
    type_nodes = [node for _, node in wire_types.entries()] if wire_types else []
    conductors = [*wires, *cables]
    yield from _terminal_faults(conductors, parts)
    yield from _named(conductors, "type", types)
    yield from _named([*conductors, *type_nodes], "route", routes)
    yield from _duplicates(wires, cables)
    yield from _state_faults(tree, parts)
    yield from _stop_faults(tree, parts)
    yield from _measured_faults(tree, parts)
    yield from _route_faults(tree, routes)
    mains = tree.child("mains")
    for node in _texts(mains, "inlet"):
        yield from parts.check(node.data, node.place)


#: Keys of a part that name another part of the plan.
_PART_KEYS = ("holds", "bolted_to", "protects", "interlock", "excludes", "ends", "guards")


def part_reference_faults(tree: Node) -> Iterator[Fault]:
    """Names of other parts in the data of a part, and terminals that the tracks of a board lead to."""
    parts = _Names(tree, "parts", "part")
    section = tree.child("parts")
    for _, part in section.entries() if section else ():
        for key in _PART_KEYS:
            for node in _texts(part, key):
                if node.data:
                    name = node.data.partition(":")[0] if key == "ends" else node.data
                    yield from parts.check(name, node.place)
        tracks = part.child("tracks")
        for _, ends in tracks.entries() if tracks else ():
            for node in ends.texts():
                name, colon, _ = node.data.partition(":")
                if colon and name and parts.lacks(name):
                    yield parts.fault(name, node.place)
