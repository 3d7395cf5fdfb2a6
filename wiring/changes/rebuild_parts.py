"""Parts of two plans side by side: which are the same under another name, and what has to be done to each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from msgspec import Struct

from wiring.changes.rebuild import Action, Step, in_place_of
from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.library_index import load_library
from wiring.parts.settings import SETTINGS
from wiring.wording import as_written, natural

#: What the plan says of a part and no hand at the cabinet does.
_ONLY_SAID = frozenset(
    {
        "title", "at", "terminals", "note", "price", "order", "supplier", "sheet", "bought", "work", "hazardous",
        "heat", "protects", "guards", "purpose", "ends", "holds", "load_inertia", "vertical", "size", "clearance",
        "holes", "mount", "position", "wall",
    }
)  # fmt: skip
_WHERE = {"cabinet": "in the cabinet", "door": "on the door", "machine": "on the machine", "outside": "outside"}
Names = Mapping[str, str]


class Matched(Struct, frozen=True):
    """Which part of the old plan is which of the new one, and how the terminals of each are called now."""

    parts: Names
    terminals: Mapping[Node, Node]

    def node(self, node: Node) -> Node:
        """A terminal of the old plan under its new names."""
        return self.terminals.get(node, (self.parts.get(node[0], node[0]), node[1]))


def matched(old: Design, new: Design) -> Matched:
    """Parts by their name; a part that is gone is the one that came in its place where all about it is the same."""
    parts = {name: name for name in old.parts if name in new.parts}
    come = [name for name in new.parts if name not in old.parts]
    for name in sorted((name for name in old.parts if name not in new.parts), key=natural):
        alike = [other for other in come if _is_same_part(old, name, new, other)]
        if len(alike) == 1:
            parts[name] = alike[0]
            come.remove(alike[0])
    pairs = [(old.parts[name], new.parts[other]) for name, other in parts.items()]
    return Matched(parts, dict(ends for first, second in pairs for ends in _terminals(first, second)))


def _is_same_part(old: Design, name: str, new: Design, other: str) -> bool:
    first, second = old.parts[name], new.parts[other]
    if first.kind != second.kind or first.data != second.data:
        return False
    there = _numbers(old, name)
    return bool(there) and there == _numbers(new, other)


def _numbers(design: Design, part: str) -> set[tuple[str, str]]:
    """Terminal and number of every conductor at a part."""
    return {
        (end[1], conductor.number)
        for conductor in design.circuit.conductors
        for end in conductor.ends
        if end[0] == part
    }


def _terminals(old: Part, new: Part) -> Iterator[tuple[Node, Node]]:
    """Each terminal with what it is marked now; a part of another shape keeps those of the same marking."""
    by_old = {marking: standard for standard, marking in old.data.terminals.items()}
    for marking in old.terminals:
        standard = by_old.get(marking, marking)
        yield (old.name, marking), (new.name, new.data.terminals.get(standard, standard))


def part_steps(old: Design, new: Design, match: Matched) -> Iterator[Step]:
    """Everything that is done to parts, in the natural order of their names."""
    back = {now: before for before, now in match.parts.items()}
    texts = _Texts(old), _Texts(new)
    for name in sorted({*old.parts} - {*match.parts}, key=natural):
        yield Step(Action.TAKE_OUT, "part", name, f"{name}, {_called(old.parts[name])}")
    for name in sorted(new.parts, key=natural):
        if name not in back:
            yield Step(Action.PUT_IN, "part", name, f"{name}, {_called(new.parts[name])}, {_where(new.parts[name])}")
        else:
            yield from _kept(old.parts[back[name]], new.parts[name], texts)


def _called(part: Part) -> str:
    words = part.library or part.kind.replace("-", " ")
    return f"{part.data.title} ({words})" if part.data.title else words


def _where(part: Part) -> str:
    return _WHERE[part.data.at]


class _Texts:
    """The data of parts as they are written, those of the library under those of the plan."""

    def __init__(self, design: Design) -> None:
        self.design, self.library = design, load_library(design.reading, [])

    def of(self, part: Part) -> Mapping[str, Any]:
        entry = self.library.find(part.library) if part.library else None
        own = self.design.plan.parts[part.name].data
        return {**(entry.data if entry else {}), **own}


def _kept(old: Part, new: Part, texts: tuple[_Texts, _Texts]) -> Iterator[Step]:
    if old.name != new.name:
        yield Step(Action.RELABEL, "part", new.name, f"{old.name} as {new.name}, {_called(new)}")
    before, after = texts[0].of(old), texts[1].of(new)
    if old.kind != new.kind:
        yield Step(Action.REPLACE, "part", new.name, f"{new.name}: {in_place_of(_called(new), _called(old))}")
    else:
        yield from _by_keys(old, new, before, after)
    if old.data.at != new.data.at:
        yield Step(Action.MOVE, "part", new.name, f"{new.name}: {in_place_of(_where(new), _where(old))}")
    places = [str(one["position"]) for one in (before, after) if "position" in one]
    if len(places) == 2 and places[0] != places[1]:
        yield Step(Action.MOVE, "part", new.name, f"{new.name}: {in_place_of(places[1], places[0])}")
    yield from _markings(old, new)
    if old.data.title != new.data.title and old.name == new.name:
        yield Step(Action.RELABEL, "part", new.name, f"{new.name}: {in_place_of(new.data.title, old.data.title)}")


def _by_keys(old: Part, new: Part, before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[Step]:
    differ = [key for key in {**before, **after} if before.get(key) != after.get(key) and key not in _ONLY_SAID]
    sets = [key for key in differ if key in SETTINGS and not new.data.is_motor]
    other = [key for key in differ if key not in sets]
    said = [key for key in other if (key in before) != (key in after)]
    changed = [key for key in other if key not in said]
    if changed or (old.library and new.library and old.library != new.library):
        words = [f"{_key(key)}{in_place_of(as_written(after[key]), as_written(before[key]))}" for key in changed]
        if old.library != new.library and old.library and new.library:
            words.insert(0, in_place_of(new.library, old.library))
        yield Step(Action.REPLACE, "part", new.name, f"{new.name}, {_called(new)}: {'; '.join(words)}")
        return
    for key in said:
        if key in after:
            yield Step(Action.READ, "part", new.name, f"{new.name}: {_key(key)}{as_written(after[key])}")
    for key in sets:
        told = in_place_of(as_written(after.get(key, "")), as_written(before.get(key, "")))
        yield Step(Action.SET, "part", new.name, f"{new.name}: {_key(key)}{told}")


def _key(key: str) -> str:
    return f"{key.replace('_', ' ')} "


def _markings(old: Part, new: Part) -> Iterator[Step]:
    for (_, before), (_, after) in _terminals(old, new):
        if before != after and after in new.terminals and old.kind == new.kind:
            told = f"{new.name}: terminal {in_place_of(after, before)}"
            yield Step(Action.RELABEL, "terminal", f"{new.name}:{after}", told)
