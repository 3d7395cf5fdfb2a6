"""Reads a description: every fault at once with line and column, or the description and the tree it stands in."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import partial
from itertools import combinations
from pathlib import Path

from msgspec import Struct
from msgspec.structs import replace

from wiring.describe.bought import KINDS, unused, with_bought
from wiring.describe.build import model_of, own_model
from wiring.describe.description import Description
from wiring.describe.reading_loads import load_faults
from wiring.parts.base import PartModel
from wiring.parts.drives import Drive
from wiring.parts.library_index import Library, packaged_index, price_faults
from wiring.parts.loads import Fan, ProcessSource, Pump
from wiring.parts.motors import Motor, ServoMotor, StepperMotor
from wiring.parts.signals import IoCard
from wiring.parts.storage import Battery, Charger
from wiring.plan.fault import Fault, in_order, nearest
from wiring.plan.source import Node, Place, Source
from wiring.plan.syntax import shown_name
from wiring.plan.tree import load_tree
from wiring.plan.validate import validate
from wiring.wording import listed


class Described(Struct, frozen=True):
    """What reading gave: a description exactly where there are no faults."""

    description: Description | None
    faults: tuple[Fault, ...]
    source: Source
    tree: Node | None

    @property
    def sources(self) -> Mapping[str, Source]:
        """The file by its name, for excerpts."""
        return {self.source.file: replace(self.source, tree=self.tree)}

    def place(self, *path: str) -> Place:
        """Where the key at the end of a path stands, or the nearest one above it."""
        assert self.tree is not None
        while path and self.tree.follow(path)[1] < len(path):
            path = path[:-1]
        return _key(self.tree, *path) if path else self.tree.place


def read_description(path: Path) -> Described:
    """The description of a file. Never raises for anything a file can hold or a path can name."""
    source, tree, faults = load_tree(path)
    source = source or Source(shown_name(path), ())
    if tree is not None and not isinstance(tree.data, dict):
        faults.append(
            Fault(tree.place, "this is not a description", "`key: value` lines, the first of them `format: 1`")
        )
        tree = None
    if tree is None:
        return Described(None, tuple(in_order(faults)), source, None)
    if "parts" in tree.data and "describe" not in tree.data:
        faults.append(_no_description(tree, source.file))
        return Described(None, tuple(in_order(faults)), source, tree)
    cut = bool(faults)
    found = validate(Description, tree, faults, subject="the description")
    of_parts = list(_of_parts(tree)) if not cut else []
    faults += of_parts
    if found is not None:
        faults += _faults(found, tree)
        faults += unused(found, tree) if not of_parts else ()
    whole = with_bought(found) if found is not None and not faults else None
    return Described(whole, tuple(in_order(faults)), source, tree)


def _no_description(tree: Node, file: str) -> Fault:
    return Fault(
        tree.key_place("parts"),
        "this is a plan and no description of a machine",
        "a description, with its `describe`, `mains` and `axes`",
        f"`wiring check {file}` judges the plan",
    )


def _faults(description: Description, tree: Node) -> Iterator[Fault]:
    yield from _head(description, tree)
    for name, axis in description.axes.items():
        yield from _likes(description, name, tree.follow(("axes", name))[0])
        if axis.like is None and axis.motor is None:
            yield Fault(
                _key(tree, "axes", name), f"axis {name} has no motor", "`motor: KEY` of the library, or `like: AXIS`"
            )
    for name in description.loads:
        node = tree.follow(("loads", name))[0]
        yield from load_faults(description, name, node)
    yield from _runs(description, tree)
    prices = tree.child("prices")
    if prices is not None:
        yield from price_faults(prices, Library())
    if not description.axes and not description.loads:
        yield Fault(tree.place, "the description has neither axes nor loads", "`axes` or `loads`, at least one of them")


def _of_parts(tree: Node) -> Iterator[Fault]:
    """What is bought, and what names one of that or of the library, or gives the data of its label."""
    nodes = tree.child("bought")
    bought = nodes.entries() if nodes is not None else []
    of_bought = [fault for name, node in bought for fault in _of_bought(tree, name, node)]
    if of_bought:  # what names one of them cannot be judged
        yield from of_bought
        return
    known = {name: own_model(node.data) for name, node in bought}
    for section, wanted in _PLACES.items():
        found = tree.child(section)
        for _, node in found.entries() if found is not None else []:
            for key, kinds, what in wanted:
                yield from _part(known, node, key, kinds, what)
    battery = tree.child("battery")
    if battery is not None:
        yield from _part(known, battery, "part", (Battery,), "battery")
        yield from _part(known, battery, "charger", (Charger,), "battery charger")
    yield from _part(known, tree, "controller", (IoCard,), "controller or input and output card")


#: Where an axis and a load name a part, and of which kinds.
_PLACES: Mapping[str, tuple[tuple[str, tuple[type[PartModel], ...], str], ...]] = {
    "axes": (("motor", (StepperMotor, ServoMotor), "stepper or servo motor"), ("drive", (Drive,), "drive")),
    "loads": (
        ("motor", (Motor, Pump, Fan), "motor, pump or fan"),
        ("part", (ProcessSource,), "process source"),
        ("drive", (Drive,), "drive"),
    ),
}


def _key(tree: Node, *path: str) -> Place:
    above, _ = tree.follow(path[:-1])
    return above.key_place(path[-1]) if path[-1] in above.keys else above.place


def _head(description: Description, tree: Node) -> Iterator[Fault]:
    if description.mains.inlet is not None:
        yield Fault(_key(tree, "mains", "inlet"), "`inlet` is not a key here", "the inlet is worked out: leave it out")
    if description.cabinet.fan is not None:
        yield Fault(_key(tree, "cabinet", "fan"), "`fan` is not a key here", "the fan is worked out: leave it out")
    if description.cabinet.opens == "free":
        said = "a door that opens freely lets a hand to terminals that are live with the mains"
        yield Fault(_key(tree, "cabinet", "opens"), said, "`opens: tool`, or `opens: interlock` with the main switch")
    twice = [name for name in description.axes if name in description.loads]
    for name in twice:
        yield Fault(_key(tree, "loads", name), f"{name} is an axis and a load", "a name of its own for each")


def _likes(description: Description, name: str, node: Node) -> Iterator[Fault]:
    seen, here = [name], description.axes[name].like
    while here is not None:
        place = node.follow(("like",))[0].place
        if here not in description.axes:
            near = nearest(here, description.axes)
            yield Fault(place, f"there is no axis {here[:60]!r}", "a key of `axes`", "", near)
            return
        if here in seen:
            yield Fault(
                place,
                f"axis {name} is like itself in the end: {' like '.join([*seen, here])}",
                "an axis with data of its own",
            )
            return
        seen.append(here)
        here = description.axes[here].like


def _of_bought(tree: Node, name: str, node: Node) -> Iterator[Fault]:
    """One that is bought, with the data of a kind that a description has a place for, and a name of its own."""
    if name in packaged_index():
        expected = "another name, as that one means the part of the library"
        yield Fault(_key(tree, "bought", name), f"{name} is the key of a library part", expected)
    yield from _own_part(node, KINDS, "motor, drive, supply, controller, source, battery or charger")


def _part(
    bought: Mapping[str, PartModel | None], node: Node, key: str, kinds: tuple[type[PartModel], ...], what: str
) -> Iterator[Fault]:
    """The part that a key names or describes."""
    found = node.child(key)
    if found is None:
        return
    if isinstance(found.data, str):
        model = bought.get(found.data) or model_of(found.data)
        if model is None:
            own = [name for name, one in bought.items() if isinstance(one, kinds)]
            known = [*own, *(name for name in packaged_index() if isinstance(model_of(name), kinds))]
            yield Fault(
                found.place,
                f"there is no part {found.data[:60]!r} in the library or under `bought`",
                f"the key of a {what}",
                _listing(kinds),
                nearest(found.data, known),
            )
        elif not isinstance(model, kinds):
            yield Fault(found.place, f"{found.data} is a {model.kind_name}", f"a {what}")
        return
    yield from _own_part(found, kinds, what)


def _listing(kinds: tuple[type[PartModel], ...]) -> str:
    """Where the parts of these kinds are listed, "" where a kind is a family."""
    names = [kind.kind_name for kind in kinds if getattr(kind, "kind_name", "")]
    return f"{listed([f'`wiring library {name}`' for name in names])} shows those of the library" if names else ""


def _own_part(node: Node, kinds: tuple[type, ...], what: str) -> Iterator[Fault]:
    from wiring.parts.kinds import KIND_NAMES, kind_model
    from wiring.parts.library_index import packaged_entry
    from wiring.parts.part_sheet import form_of

    if not isinstance(node.data, dict):
        yield Fault(node.place, "this is no part", f"the key of a {what}, or a mapping with its data")
        return
    kind = node.data.get("kind")
    use = node.data.get("use")
    entry = packaged_entry(str(use)) if use is not None else None
    if use is not None and entry is None:
        yield Fault(
            node.place,
            f"there is no library part {str(use)[:60]!r}",
            f"the key of a {what}",
            "",
            nearest(str(use), packaged_index()),
        )
        return
    kind = entry.kind if entry else kind
    if kind not in KIND_NAMES:
        yield Fault(node.place, "this part does not say its kind", f"`kind: ...` or `use: ...` of a {what}")
        return
    model = kind_model(str(kind))
    if not issubclass(model, kinds):
        yield Fault(node.place, f"this is a {kind}", f"a {what}")
        return
    data = (dict(entry.data) if entry else {}) | {
        key: item for key, item in node.data.items() if key not in ("kind", "use")
    }
    faults: list[Fault] = []
    validate(model, node, faults, data=data, known=("kind", "use"), forms=partial(form_of, str(kind)))
    yield from faults


def _runs(description: Description, tree: Node) -> Iterator[Fault]:
    for state in description.runs:
        yield from _known(description, tree, "runs", state)
        if state in ("ready", "rapid"):
            yield Fault(_key(tree, "runs", state), f"`{state}` is a state that is worked out", "another name")
        for one, two in _excluded(description, description.runs[state]):
            yield Fault(_key(tree, "runs", state), f"{one} and {two} exclude each other", "one of them, or two states")
    for name, guard in description.stops.guards.items():
        if guard.guards is not None:
            yield from _known(description, tree, "stops", "guards", name, "guards")


def _excluded(description: Description, names: Sequence[str]) -> Iterator[tuple[str, str]]:
    """The pairs among them that must never be on together."""
    said = {(name, other) for name in names for other in _excludes(description, name)}
    return ((one, two) for one, two in combinations(names, 2) if {(one, two), (two, one)} & said)


def _excludes(description: Description, name: str) -> Sequence[str]:
    return (description.loads[name].excludes or ()) if name in description.loads else ()


def _known(description: Description, tree: Node, *path: str) -> Iterator[Fault]:
    """What a list names that is no axis and no load."""
    known = [*description.axes, *description.loads]
    for text in tree.follow(path)[0].texts():
        if text.data not in known:
            problem = f"there is no axis or load {str(text.data)[:60]!r}"
            yield Fault(text.place, problem, "a key of `axes` or `loads`", "", nearest(str(text.data), known))
