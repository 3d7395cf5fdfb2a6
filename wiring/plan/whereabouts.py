"""A place in the words of the plan: `F2 › rating`, `wire 110`, `cable C1 › core 3`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from wiring.plan.source import Node, Place, Source

#: What an entry of a section is called in front of its name; a part goes by its name alone.
_CALLED = {
    "parts": "",
    "states": "state ",
    "stops": "stop ",
    "routes": "route ",
    "wire_types": "wire type ",
    "accepted": "acceptance ",
    "wires": "wire ",
    "cables": "cable ",
    "axes": "axis ",
    "loads": "load ",
}
#: What an item of a list is named by, where it has a name.
_NAMED_BY = {"wires": "wire", "cables": "cable"}
_STEP = " › "

Path = tuple[str | int, ...]


class Whereabouts:
    """Looks up places in the trees of the files that a report speaks of; each tree is walked once at most."""

    def __init__(self, sources: Mapping[str, Source]) -> None:
        self._sources = sources
        self._paths: dict[str, dict[tuple[int, int], Path]] = {}

    def words(self, place: Place) -> str:
        """The way to the value or key that stands exactly there, "" where nothing known does."""
        source = self._sources.get(place.file)
        tree = source.tree if source else None
        if tree is None:
            return ""
        if place.file not in self._paths:
            self._paths[place.file] = dict(_places(tree))
        return _told(tree, self._paths[place.file].get((place.line, place.column), ()))

    def line(self, place: Place) -> str | None:
        """The text of the line, None where it is not at hand."""
        source = self._sources.get(place.file)
        if source is None or not 1 <= place.line <= len(source.lines):
            return None
        return source.lines[place.line - 1]


def _places(tree: Node) -> Iterator[tuple[tuple[int, int], Path]]:
    """Every place of a tree with the way there; a key or value inside another one comes later and wins."""
    whole = _section(tree)
    for path, node in _walk(tree, (whole,) if whole else ()):
        if path:
            yield node.span[:2], path
        for key, span in node.keys.items():
            yield span[:2], (*path, key)


def _walk(node: Node, path: Path) -> Iterator[tuple[Path, Node]]:
    yield path, node
    steps: Sequence[tuple[str | int, Node]] = (
        list(enumerate(node.children)) if isinstance(node.children, list) else node.entries()
    )
    for step, below in steps:
        yield from _walk(below, (*path, step))


def _section(tree: Node) -> str:
    """The section that a list of its own is: "wires" or "cables"; "" for a plan or a library."""
    items = tree.children if isinstance(tree.children, list) else []
    return next((section for section, name in _NAMED_BY.items() if any(name in item.keys for item in items)), "")


def _told(tree: Node, path: Path) -> str:
    if not path:
        return ""
    section, *rest = path
    if section not in _CALLED or not rest:
        return _STEP.join([str(section), *_steps(rest)])
    return _STEP.join([f"{_CALLED[str(section)]}{_name(tree, str(section), rest[0])}", *_steps(rest[1:])])


def _name(tree: Node, section: str, step: str | int) -> str:
    """The name of an entry: its key, the number of its wire or cable, or its place in the list."""
    if not isinstance(step, int):
        return step
    items = tree.children if isinstance(tree.children, list) else tree.items_of(section)
    named = items[step].child(_NAMED_BY.get(section, "")) if step < len(items) else None
    return str(named.data) if named is not None else str(step + 1)


def _steps(rest: Sequence[str | int]) -> Iterator[str]:
    """The further steps; a core is told as one, an item of a list by its number."""
    core = False
    for step in rest:
        if step == "join":
            core = True
        elif isinstance(step, int):
            yield f"item {step + 1}"
        else:
            yield f"core {step}" if core else step
            core = False
