"""Reads a plan file: every fault of all its sections at once, or the plan, and the place of everything in it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct, field
from msgspec.structs import replace
from pydantic_core import ValidationError

from wiring.plan.conductors import with_defaults
from wiring.plan.fault import Fault, PlanFaults, in_order
from wiring.plan.models import PartEntry, PlanFile
from wiring.plan.references import reference_faults
from wiring.plan.source import Node, Place, Source
from wiring.plan.syntax import shown_name
from wiring.plan.tree import load_tree, read_tree
from wiring.plan.validate import validate
from wiring.wording import natural


class Reading(Struct, frozen=True):
    """What reading a plan gave. `plan` is None exactly where there are `faults`.

    `parts` holds every part that is well formed, whatever the rest of the plan is like, so that further layers can
    add their faults to these. `sources` are all files that were read, by name, the plan itself included; files that the
    plan names lie in `folder`.
    """

    plan: PlanFile | None
    faults: tuple[Fault, ...]
    source: Source
    tree: Node | None
    parts: Mapping[str, PartEntry] = field(default_factory=dict)
    sources: Mapping[str, Source] = field(default_factory=dict)
    folder: Path = Path()

    @property
    def size(self) -> int:
        """The characters of the plan and of the lists that it names, as far as they are text."""
        return sum(len(line) + 1 for source in self.sources.values() for line in source.lines)

    def node(self, *path: str | int) -> Node | None:
        """The value at exactly that path, None where there is none."""
        found, depth = self.tree.follow(path) if self.tree else (None, 0)
        return found if depth == len(path) else None

    def place(self, *path: str | int) -> Place:
        """Where the value at the path stands, or the nearest one above it; a mapping or list stands at its key."""
        if self.tree is None:
            return Place(self.source.file, 1, 1)
        node, depth = self.tree.follow(path)
        if node.children is not None and depth and isinstance(path[depth - 1], str):
            above, _ = self.tree.follow(path[: depth - 1])
            key = str(path[depth - 1])
            return above.key_place(key) if key in above.keys else node.place
        return node.place

    def plan_or_raise(self) -> PlanFile:
        """The plan; PlanFaults with all faults where there is none."""
        if self.plan is None:
            raise PlanFaults(self.faults)
        return self.plan


def read(path: str | Path) -> Reading:
    """Reads the plan file at the path. Never raises for anything a file can hold or a path can name."""
    source, tree, faults = load_tree(Path(path))
    return _reading(source or Source(shown_name(path), ()), tree, faults, Path(path).parent, {})


def read_text(
    text: str, file: str = "plan", folder: Path = Path(), lists: Mapping[str, bytes] | None = None
) -> Reading:
    """Reads a plan from its text; `folder` is where the files that it names are looked for.

    `lists` are lists of wires or cables by their path, in place of what the files there hold.
    """
    source = Source.of(file, text)
    return _reading(source, *read_tree(source, text), folder, lists or {})


def _reading(
    source: Source, tree: Node | None, faults: list[Fault], folder: Path, lists: Mapping[str, bytes]
) -> Reading:
    source = replace(source, tree=tree)
    sources = {source.file: source}
    if tree is not None and not isinstance(tree.data, dict):
        faults.append(Fault(tree.place, "this is not a plan", "`key: value` lines, the first of them `format: 1`"))
        tree = None
    if tree is None:
        return Reading(None, tuple(in_order(faults)), source, None, {}, sources, folder)
    if "describe" in tree.data and "parts" not in tree.data:
        faults.append(_no_plan(tree, source.file))
        return Reading(None, tuple(in_order(faults)), source, None, {}, sources, folder)
    for section in ("wires", "cables"):
        _take_list(tree, section, folder, lists, faults, sources)
    plan = validate(PlanFile, tree, faults)
    faults.extend(reference_faults(tree))
    if plan is None or faults:
        return Reading(None, tuple(in_order(faults)), source, tree, _parts(tree), sources, folder)
    plan = _with_defaults(plan)
    return Reading(plan, (), source, tree, plan.parts, sources, folder)


def _no_plan(tree: Node, file: str) -> Fault:
    return Fault(
        tree.key_place("describe"),
        "this is a description of a machine and not yet its plan",
        "a plan, with its `machine`, `parts` and `wires`",
        f"`wiring new {file} --out PLAN` makes the plan",
    )


def _take_list(
    tree: Node,
    section: str,
    folder: Path,
    lists: Mapping[str, bytes],
    faults: list[Fault],
    sources: dict[str, Source],
) -> None:
    """Puts the rows of a wire list in the place of its path."""
    node = tree.child(section)
    if node is None or not isinstance(node.data, str):
        return
    from wiring.plan.wirelist import load_list

    path = folder / node.data
    source, rows, found = load_list(path, section, node.place, lists.get(str(path)))
    faults += found
    if source:
        sources[source.file] = replace(source, tree=rows)
    tree.children[section] = rows  # type: ignore[index, call-overload]
    tree.data[section] = rows.data


def _parts(tree: Node) -> dict[str, PartEntry]:
    """The parts that can be read one by one."""
    node = tree.child("parts")
    parts = {}
    for name, entry in node.entries() if node else ():
        try:
            parts[name] = PartEntry.model_validate(entry.data)
        except ValidationError:
            continue
    return parts


def _by_name(section: Mapping[str, Any]) -> dict[str, Any]:
    """A section whose order in the file means nothing."""
    return {name: section[name] for name in sorted(section, key=natural)}


def _with_defaults(plan: PlanFile) -> PlanFile:
    types = plan.wire_types
    return plan.model_copy(
        update={
            "wires": tuple(with_defaults(wire, types.get(wire.type or "")) for wire in plan.wires),
            "cables": tuple(with_defaults(cable, types.get(cable.type or "")) for cable in plan.cables),
            "stops": _by_name(plan.stops),
            "routes": _by_name(plan.routes),
        }
    )
