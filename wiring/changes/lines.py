"""Changes as a person writes them: `M1.work.torque=2.5 N·m`, `202.size=2.5 mm2`, `wires+={…}`, `G1.leakage=`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from wiring.changes.outcome import Outcome
from wiring.design.design import Design
from wiring.plan.edits import AddItem, Edit, RemoveEntry, SetValue, written
from wiring.plan.edits import Path as PlanPath
from wiring.plan.fault import Refusal, nearest
from wiring.plan.tree import load_tree
from wiring.sizing.library_use import use_edits

_SECTIONS = (
    "machine",
    "author",
    "revision",
    "date",
    "rulebook",
    "site",
    "mains",
    "enclosure",
    "states",
    "stops",
    "measured",
    "library",
    "parts",
    "wire_types",
    "routes",
    "wires",
    "cables",
    "accepted",
)
_FORM = "NAME.key=value, for example M1.work.torque=2.5 N·m or 202.size=2.5 mm2"


def _roots(design: Design) -> Iterator[tuple[str, PlanPath]]:
    """Every name that a path may begin with, and where it stands in the plan."""
    plan = design.plan
    for section in _SECTIONS:
        yield section, (section,)
    for wire in plan.wires:
        yield wire.wire, ("wires", wire.wire)
    for cable in plan.cables:
        yield cable.cable, ("cables", cable.cable)
    for section, names in (
        ("routes", plan.routes),
        ("wire_types", plan.wire_types),
        ("states", plan.states),
        ("stops", plan.stops),
        ("parts", plan.parts),
    ):
        for name in names:
            yield name, (section, name)


def path_of(design: Design, words: str) -> PlanPath:
    """The place in the plan that a dotted path names; parts win over stops, states, types, routes, cables and wires.

    Raises Refusal with the nearest names where its first step names nothing.
    """
    roots = dict(_roots(design))
    fitting = [name for name in roots if words == name or words.startswith(f"{name}.")]
    if not fitting:
        first = words.split(".")[0]
        raise Refusal(
            f"the plan has no {first[:60]!r}",
            "a part, wire, cable, wire type, route, state, stop, or a section of the plan",
            "",
            nearest(first, roots),
            complete=True,
        )
    name = max(fitting, key=len)
    rest = tuple(step for step in words[len(name) :].split(".") if step)
    root = roots[name]
    if root[0] == "cables" and len(root) == 2 and len(rest) == 2 and rest[1] == "size":
        return (*root, "sizes", rest[0])
    if root[0] == "wires" and len(root) == 2 and rest and rest[0].isdigit():
        raise Refusal(
            f"{name}.{rest[0]} is a piece of wire {name}", f"{name} as a whole, or a wire of its own", complete=True
        )
    return (
        *root,
        *(
            int(step) if step.isdigit() and root[0] in ("wires", "cables") and n else step
            for n, step in enumerate(rest)
        ),
    )


def edits_of(design: Design, line: str) -> tuple[list[Edit], list[str]]:
    """The edits of one line, and remarks about what they take away. Raises Refusal where it does not read."""
    words, equals, value = line.partition("=")
    words, value = words.strip(), value.strip()
    adding = words.endswith("+")
    words = words.removesuffix("+").strip()
    if not equals or not words:
        raise Refusal(f"{line[:60]!r} is no change", _FORM, complete=True)
    path = path_of(design, words)
    if adding:
        return [AddItem(path, written(value))], []
    if not value:
        return [RemoveEntry(path)], []
    if len(path) == 3 and path[0] == "parts" and path[2] == "use":
        edits, gone = use_edits(design, str(path[1]), value)
        own = f"{path[1]} takes the data of {value} in place of its own ({', '.join(gone)})"
        return edits, [own] if gone else []
    if len(path) == 1 and path[0] not in _SECTIONS[:5]:
        raise Refusal(f"{words} is a whole section of the plan", _FORM, complete=True)
    return [SetValue(path, written(value))], _overruled(design, path)


def _overruled(design: Design, path: PlanPath) -> list[str]:
    """Says in which states a motor's own work does not count."""
    if len(path) != 4 or path[0] != "parts" or path[2] != "work":
        return []
    motor, key = str(path[1]), str(path[3])
    states = [
        name
        for name, entries in design.plan.states.items()
        if motor in entries and getattr(entries[motor], key, None) is not None
    ]
    verb = "gives" if len(states) == 1 else "give"
    return [f"{', '.join(states)} {verb} {motor} a {key} of its own, which counts there"] if states else []


def make_changes(base: Outcome, lines: Iterable[str]) -> tuple[Outcome, tuple[str, ...]]:
    """The plan with every line made, one after the other, and the remarks.

    Raises Refusal for a line that does not read, Unreadable where what comes out is no plan.
    """
    now, remarks = base, []
    for line in lines:
        edits, told = edits_of(now.design, line)
        now = now.changed(edits)
        remarks += told
    return now, tuple(remarks)


def lines_in(path: Path) -> list[str]:
    """The lines of a change file, a YAML list of them. Raises Refusal where it is none."""
    _, tree, faults = load_tree(path)
    if faults:
        raise Refusal(str(faults[0]), complete=True)
    items = tree.children if tree is not None and isinstance(tree.children, list) else None
    if items is None:
        raise Refusal(f"{path} is no list of changes", f"`- {_FORM.split(',')[0]}` lines", complete=True)
    for item in items:
        if not isinstance(item.data, str):
            mend = "put a line with a colon and a space in quotes"
            raise Refusal(f"{item.place} is no change", _FORM, mend, complete=True)
    return [str(item.data) for item in items]
