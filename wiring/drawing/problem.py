"""What is to be laid out: units, the wires that join them on one sheet, and the wire ends that leave it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.disjoint_sets import joined
from wiring.drawing.units import Unit

LEFT, RIGHT = 0, 1
#: A conductor with the end of it that is meant: 0 its first, 1 its second.
End = tuple[str, int]
#: A lane of a unit, by the id of the unit.
Spot = tuple[str, int]


class Join(Struct, frozen=True):
    """A wire that is drawn from one lane to another."""

    wire: str
    a: Spot
    b: Spot


class Stub(Struct, frozen=True):
    """A wire end that leads to a reference; `lean` is the side it takes where both are open.

    One that is `open` leads on as a line out of the block, without a reference.
    """

    end: End
    at: Spot
    lean: int
    open: bool = False


class Problem(Struct, frozen=True):
    """One task of layout."""

    units: tuple[Unit, ...]
    joins: tuple[Join, ...]
    stubs: tuple[Stub, ...]


def interrupted(problem: Problem, wires: Iterable[str]) -> Problem:
    """The problem with these wires cut: each becomes two ends with a reference."""
    cut = set(wires)
    stubs = list(problem.stubs)
    for join in problem.joins:
        if join.wire in cut:
            stubs += [Stub((join.wire, 0), join.a, RIGHT), Stub((join.wire, 1), join.b, LEFT)]
    joins = tuple(join for join in problem.joins if join.wire not in cut)
    return replace(problem, joins=joins, stubs=tuple(stubs))


def components(problem: Problem) -> list[Problem]:
    """The parts of a problem that no wire joins, in the order of their first unit."""
    first = joined((unit.id for unit in problem.units), ((join.a[0], join.b[0]) for join in problem.joins))
    groups: dict[str, list[Unit]] = {}
    for unit in problem.units:
        groups.setdefault(first[unit.id], []).append(unit)
    return [subset(problem, units) for units in groups.values()]


def subset(problem: Problem, units: Sequence[Unit]) -> Problem:
    """The part of a problem on some units. No join may leave them."""
    names = {unit.id for unit in units}
    joins = tuple(join for join in problem.joins if join.a[0] in names)
    return Problem(tuple(units), joins, tuple(stub for stub in problem.stubs if stub.at[0] in names))


def between(problem: Problem, names: set[str]) -> list[str]:
    """The wires that join one of these units with one of the others."""
    return [join.wire for join in problem.joins if (join.a[0] in names) != (join.b[0] in names)]
