"""Which unit stands under which on the overview: each under its first feed; what is too much for a sheet is cut off."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct, field

from wiring.design.design import Design
from wiring.drawing.feeds import FedUnit, fed_units
from wiring.parts.incoming import Inlet
from wiring.wording import natural

#: Characters of designations that fit over an arrow in the narrowest column.
_ARROW_MOST = 10


class Branch(Struct):
    """A unit with what hangs on it. `also` are its other feeds, `origin` is the feed of a branch that was cut off.

    With `again` it is an arrow to units that this feed reaches and that are drawn elsewhere.
    """

    unit: FedUnit
    children: list[Branch] = field(default_factory=list)
    also: tuple[FedUnit, ...] = ()
    again: tuple[FedUnit, ...] = ()
    origin: FedUnit | None = None

    @property
    def leaves(self) -> int:
        return max(1, sum(child.leaves for child in self.children))


def feed_trees(design: Design) -> list[Branch]:
    """Every unit under its first feed, from the inlet and then from the other sources; breadth first."""
    parts = design.circuit.parts

    def rank(unit: FedUnit) -> tuple[object, ...]:
        data = parts[unit.part].data
        return not isinstance(data, Inlet), not data.separate_source, natural(unit.part), unit.paths

    units = {unit.number: unit for unit in sorted(fed_units(design), key=rank)}
    behind: dict[int, list[FedUnit]] = {}
    for unit in units.values():
        for parent in unit.parents:
            behind.setdefault(parent, []).append(unit)
    seen: set[int] = set()
    fed_by_none = [unit for unit in units.values() if not unit.parents]
    starts = (*fed_by_none, *units.values())
    return [_tree(unit, behind, units, seen) for unit in starts if unit.number not in seen]


def _tree(
    root: FedUnit, behind: Mapping[int, Sequence[FedUnit]], units: Mapping[int, FedUnit], seen: set[int]
) -> Branch:
    top = Branch(root, also=tuple(units[number] for number in root.parents))
    seen.add(root.number)
    queue = deque([top])
    while queue:
        branch = queue.popleft()
        for unit in behind.get(branch.unit.number, ()):
            if unit.number in seen:
                _add_arrow(branch, unit)
                continue
            seen.add(unit.number)
            others = tuple(units[number] for number in unit.parents if number != branch.unit.number)
            branch.children.append(Branch(unit, also=others))
            queue.append(branch.children[-1])
    return top


def _add_arrow(branch: Branch, unit: FedUnit) -> None:
    """An arrow to a unit that is drawn elsewhere; those of one feed share it while their names fit."""
    for child in branch.children:
        if child.again and len(listed((*child.again, unit))) <= _ARROW_MOST:
            child.again = (*child.again, unit)
            return
    branch.children.append(Branch(unit, again=(unit,)))


def see_also(branch: Branch) -> str:
    """What stands under an arrow to units drawn elsewhere."""
    return "see its symbol" if len(branch.again) == 1 else "see symbols"


def listed(units: Sequence[FedUnit]) -> str:
    """The designations of units, each once."""
    return ", ".join(dict.fromkeys(unit.part for unit in units))


def _below(branch: Branch, level: int = 1) -> Iterator[tuple[int, Branch, Branch]]:
    """Every branch below one, with its level and what feeds it."""
    for child in branch.children:
        yield level + 1, branch, child
        yield from _below(child, level + 1)


def _cut_off(parent: Branch, child: Branch) -> Branch:
    """The child as a tree of its own; an arrow stays in its place."""
    parent.children[parent.children.index(child)] = Branch(child.unit, again=(child.unit,))
    child.origin = parent.unit
    return child


def _narrowed(top: Branch, rows: int) -> Iterator[Branch]:
    """Takes off what makes a tree too broad for a sheet: the smallest branch that is enough, or else the largest."""
    while top.leaves > rows:
        broad = [(parent, child) for _, parent, child in _below(top) if child.leaves > 1]
        enough = [pair for pair in broad if top.leaves - pair[1].leaves + 1 <= rows]
        if not broad:
            widest = max((top, *(child for _, _, child in _below(top))), key=lambda branch: len(branch.children))
            child = widest.children.pop()
            child.origin = widest.unit
            yield child
        elif enough:
            yield _cut_off(*min(enough, key=lambda pair: pair[1].leaves))
        else:
            yield _cut_off(*max(broad, key=lambda pair: pair[1].leaves))


def pieces_of(trees: list[Branch], depth: int, rows: int) -> list[Branch]:
    """The trees, with what is too deep or too broad for a sheet as trees of their own."""
    done: list[Branch] = []
    queue = deque(trees)
    while queue:
        branch = queue.popleft()
        deep = [(up, child) for level, up, child in _below(branch) if level == depth and child.children]
        later = [_cut_off(up, child) for up, child in deep]
        later += _narrowed(branch, rows)
        done.append(branch)
        queue.extendleft(reversed(later))
    return done


def _units(branch: Branch) -> Iterator[FedUnit]:
    yield branch.unit
    for child in branch.children:
        if not child.again:
            yield from _units(child)


def poles_of_divided(trees: Sequence[Branch]) -> dict[int, str]:
    """The poles of every unit whose part stands in other units with other poles too."""
    units = [unit for tree in trees for unit in _units(tree)]
    paths: dict[str, set[tuple[str, ...]]] = {}
    for unit in units:
        paths.setdefault(unit.part, set()).add(unit.paths)
    return {unit.number: " ".join(unit.paths) for unit in units if len(paths[unit.part]) > 1}


def depth_of(branch: Branch) -> int:
    """Levels of a tree, its own among them."""
    return 1 + max((depth_of(child) for child in branch.children), default=0)


def levels_of(branch: Branch, level: int = 0) -> Iterator[tuple[int, Branch]]:
    """Every branch of a tree with its level, the first at `level`."""
    yield level, branch
    for child in branch.children:
        yield from levels_of(child, level + 1)
