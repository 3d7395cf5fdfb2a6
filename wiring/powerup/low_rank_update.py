"""A resistive network factored once, and asked what a few changed branches do to it, without factoring again.

Every island hangs on ground by one branch of 1 S, which carries nothing. A branch that joins two islands makes one of
the two ties needless; one that cuts an island in two asks for another.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from functools import cached_property
from typing import NamedTuple

from msgspec import Struct

from wiring.disjoint_sets import DisjointSets
from wiring.solver.ldl import Factor, factor, pattern
from wiring.solver.network import Scalar

_TIE_S = 1.0
#: A branch is a cut where what else joins its ends is below this share of it.
_CUT = 1e-12
#: Voltage across a branch below which changing it changes nothing [V].
_NOTHING_V = 1e-12


class BranchChange(NamedTuple):
    """A change of conductance between two nodes [S]; `opened` where the branch is gone altogether."""

    a: int
    b: int
    siemens: Scalar
    opened: bool = False


class _Done(NamedTuple):
    """One change as it was made: its ends, and by how much of `reply` the voltage across it moves all nodes."""

    a: int
    b: int
    scale: Scalar
    reply: list[Scalar]


class Changed(Struct, frozen=True):
    """The network with its changes: `roots` tells by equal numbers which nodes hang together."""

    base: Factor
    done: tuple[_Done, ...]
    roots: Sequence[int]

    def joined(self, a: int, b: int) -> bool:
        """Whether anything that conducts joins two nodes."""
        return self.roots[a] == self.roots[b]

    def moved(self, volts: list[Scalar]) -> list[Scalar]:
        """Voltages of the unchanged network, carried over to the changed one."""
        for a, b, scale, reply in self.done:
            amount = scale * (volts[a] - volts[b])
            if amount:
                volts = [value - amount * step for value, step in zip(volts, reply, strict=True)]
        return volts

    def solve(self, right: Sequence[Scalar]) -> list[Scalar]:
        """Voltages for currents fed into the nodes."""
        return self.moved(self.base.solve(right))

    def across(self, course: Sequence[Scalar], a: int, b: int) -> Scalar:
        """Voltage between two nodes, from the voltages `course` of the unchanged network."""
        amounts: list[Scalar] = []
        for n, (first, second, scale, _) in enumerate(self.done):
            amounts.append(scale * self._between(course, first, second, amounts[:n]))
        return self._between(course, a, b, amounts)

    def _between(self, course: Sequence[Scalar], a: int, b: int, amounts: Sequence[Scalar]) -> Scalar:
        value = course[a] - course[b]
        for amount, (_, _, _, reply) in zip(amounts, self.done, strict=False):
            value -= amount * (reply[a] - reply[b])
        return value


class FactoredNetwork:
    """Conductances between `count` nodes. Raises NotPositive when one of them is below 0."""

    def __init__(self, count: int, branches: Sequence[tuple[int, int, Scalar]]) -> None:
        self.count, self.branches = count, branches
        joined = DisjointSets(count)
        for a, b, _ in branches:
            joined.join(a, b)
        self.roots = [joined.find(node) for node in range(count)]
        shape = pattern(count, [(a, b) for a, b, _ in branches])
        values = shape.blank()
        for a, b, siemens in branches:
            shape.enter(values, a, b, siemens)
        for root in sorted(set(self.roots)):
            shape.enter(values, root, count, _TIE_S)
        self.factor = factor(shape, values)
        self._sides: dict[tuple[int, int], bool] = {}
        self._far: dict[tuple[int, int], set[int]] = {}
        self._halves: dict[tuple[int, int], list[int]] = {}
        self._replies: dict[tuple[int, int], list[Scalar]] = {}

    @cached_property
    def near(self) -> list[list[int]]:
        """The neighbours of every node, one entry a branch."""
        found: list[list[int]] = [[] for _ in range(self.count)]
        for a, b, _ in self.branches:
            found[a].append(b)
            found[b].append(a)
        return found

    def is_cut(self, a: int, b: int) -> bool:
        """Whether one branch between two nodes is all that joins them."""
        key = (a, b) if a < b else (b, a)
        if key not in self._sides:
            self._sides[key] = self.near[a].count(b) == 1 and b not in self._side(a, b)
        return self._sides[key]

    def _side(self, a: int, b: int) -> set[int]:
        """What still hangs on `a` without the branch to `b`; stops where `b` is found."""
        seen, queue = {a}, [a]
        while queue:
            node = queue.pop()
            for other in self.near[node]:
                if other in seen or {node, other} == {a, b}:
                    continue
                seen.add(other)
                if other == b:
                    return seen
                queue.append(other)
        return seen

    def is_idle(self, changes: Sequence[BranchChange], volts: Sequence[Scalar]) -> bool:
        """Whether changes do nothing to voltages, and leave joined what was joined and apart what was apart."""
        for a, b, siemens, opened in changes:
            if a == b:
                continue
            if abs(volts[a] - volts[b]) > _NOTHING_V or (siemens.real > 0.0 and self.roots[a] != self.roots[b]):
                return False
            if opened and self.is_cut(a, b):
                return False
        return True

    def change(self, changes: Sequence[BranchChange]) -> Changed | None:
        """The network with changes in it; None where that is too close to call."""
        real = [change for change in changes if change.a != change.b]
        adds = [change for change in real if change.siemens.real > 0.0]
        takes = [change for change in real if change.siemens.real <= 0.0]
        work = _Work(self)
        for change in adds:
            work.add(change)
        for change in takes:
            if not work.take(change):
                return None
        roots = self._regrouped(real) if work.regrouped else self.roots
        if any(roots[change.a] == roots[change.b] for change in work.cut):
            return None
        return Changed(self.factor, tuple(work.done), roots)

    def _regrouped(self, changes: Sequence[BranchChange]) -> Sequence[int]:
        """What hangs together after changes; one cut alone, perhaps of a conductor that is put elsewhere, is common."""
        opened = [change for change in changes if change.opened]
        adds = [change for change in changes if change.siemens.real > 0.0]
        home = self.roots[changes[0].a]
        if len(opened) != 1 or any(self.roots[end] != home for add in adds for end in (add.a, add.b)):
            return self._roots(changes)
        a, b = opened[0].a, opened[0].b
        if not self.is_cut(a, b):
            return self.roots
        side = self._far_side(a, b)
        if any((add.a in side) != (add.b in side) for add in adds):
            return self.roots
        key = (a, b)
        if key not in self._halves:
            apart = self.count + 1
            self._halves[key] = [apart if node in side else root for node, root in enumerate(self.roots)]
        return self._halves[key]

    def _far_side(self, a: int, b: int) -> set[int]:
        key = (a, b)
        if key not in self._far:
            self._far[key] = self._side(a, b)
        return self._far[key]

    def _roots(self, changes: Sequence[BranchChange]) -> list[int]:
        gone = Counter((min(p.a, p.b), max(p.a, p.b)) for p in changes if p.opened)
        joined = DisjointSets(self.count)
        for a, b, _ in self.branches:
            key = (a, b) if a < b else (b, a)
            if gone.get(key):
                gone[key] -= 1
            else:
                joined.join(a, b)
        for change in changes:
            if change.siemens.real > 0.0:
                joined.join(change.a, change.b)
        return [joined.find(node) for node in range(self.count)]

    def reply(self, a: int, b: int) -> list[Scalar]:
        """Voltages for 1 A into one node and out of another, of the unchanged network."""
        key = (a, b)
        if key not in self._replies:
            right: list[Scalar] = [0.0] * (self.count + 1)
            right[a] += 1.0
            right[b] -= 1.0
            self._replies[key] = self.factor.solve(right)
        return self._replies[key]


class _Work:
    """Changes made one after the other."""

    def __init__(self, base: FactoredNetwork) -> None:
        self.base = base
        self.done: list[_Done] = []
        self.joined: dict[int, int] = {}
        self.regrouped = False
        self.cut: list[BranchChange] = []

    def _root(self, node: int) -> int:
        root = self.base.roots[node]
        while root in self.joined:
            root = self.joined[root]
        return root

    def add(self, change: BranchChange) -> None:
        first, second = self._root(change.a), self._root(change.b)
        self._make(change.a, change.b, change.siemens)
        if first != second:
            self.regrouped = True
            self.joined[second] = first
            self._make(second, self.base.count, -_TIE_S)

    def take(self, change: BranchChange) -> bool:
        """Whether it could be told what taking conductance away does."""
        if self._make(change.a, change.b, change.siemens):
            return True
        if not change.opened:
            return False
        # One of both sides keeps the tie of the island; a second tie does not hurt the other, and is taken back.
        for end in (change.b, change.a):
            self._make(end, self.base.count, _TIE_S)
            if self._make(change.a, change.b, change.siemens):
                self.regrouped = True
                self.cut.append(change)
                return True
            self.done.pop()
        return False

    def _make(self, a: int, b: int, siemens: Scalar) -> bool:
        reply = self.base.reply(a, b)
        for first, second, scale, step in self.done:
            amount = scale * (reply[first] - reply[second])
            if amount:
                reply = [value - amount * other for value, other in zip(reply, step, strict=True)]
        share = siemens * (reply[a] - reply[b])
        if not (1.0 + share).real > _CUT * abs(share):
            return False
        self.done.append(_Done(a, b, siemens / (1.0 + share), reply))
        return True
