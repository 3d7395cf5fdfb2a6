"""Sparse LDLᵀ of a network's nodal matrix in pure Python, for networks that are almost a tree.

A wiring plan after minimum-degree ordering has hardly any fill, so the work is a few operations an entry and a
compiled library would cost more to load than it saves. Values may be floats or complex (symmetric, not Hermitian).

Every row keeps its conductance to ground instead of its diagonal entry. With conductances above 0 the elimination then
only adds, so nothing cancels however far apart the resistances are, and a part without ground shows as an exact zero.

Sources: elimination by minimum degree, A. George and J. W. H. Liu, "The evolution of the minimum degree ordering
algorithm", SIAM Review 31 (1989); elimination without subtraction, W. K. Grassmann, M. I. Taksar and D. P. Heyman,
Operations Research 33 (1985) 1107; entries of the inverse inside the pattern of the factor, K. Takahashi, J. Fagan and
M. Chin, "Formation of a sparse bus impedance matrix and its application to short circuit study" (1973); changed
branches, J. Sherman and W. J. Morrison, Annals of Mathematical Statistics 21 (1950). All from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from heapq import heapify, heappop, heappush

from msgspec import Struct

from wiring.solver.network import Scalar


class NotPositive(ArithmeticError):  # noqa: N818 - names what the matrix is not
    """The matrix is not positive definite; `node` is the index whose pivot failed."""

    def __init__(self, node: int) -> None:
        super().__init__(f"pivot at node {node} is not positive")
        self.node = node


class Pattern(Struct, frozen=True):
    """Elimination order and the places of the factor's entries.

    Values live in one list: `size` conductances to ground in elimination order, then the entries below the diagonal
    column by column, then one spare place that stands for whatever is grounded.
    """

    order: tuple[int, ...]
    rank: tuple[int, ...]
    rows: tuple[tuple[int, ...], ...]
    starts: tuple[int, ...]
    targets: tuple[tuple[int, ...], ...]
    flat_columns: tuple[int, ...]
    flat_rows: tuple[int, ...]
    places: tuple[dict[int, int], ...]

    @property
    def size(self) -> int:
        return len(self.order)

    @property
    def spare(self) -> int:
        return len(self.order) + len(self.flat_rows)

    def blank(self) -> list[Scalar]:
        """A network without any conductance on this pattern."""
        return [0.0] * (self.spare + 1)

    def enter(self, values: list[Scalar], a: int, b: int, siemens: Scalar) -> None:
        """Add a conductance between `a` and `b`; an index of `size` or above is ground."""
        if a == b:
            return
        size, rank = len(self.order), self.rank
        if a < size and b < size:
            first, second = rank[a], rank[b]
            values[self.places[first][second] if first < second else self.places[second][first]] -= siemens
        elif a < size or b < size:
            values[rank[min(a, b)]] += siemens

    def place(self, a: int, b: int) -> int:
        """Where entry (a, b) lives; the spare place when either index is the grounded one (`size`)."""
        if a >= self.size or b >= self.size:
            return self.spare
        first, second = self.rank[a], self.rank[b]
        if first == second:
            return first
        return self.places[min(first, second)][max(first, second)]


def pattern(size: int, edges: Iterable[tuple[int, int]]) -> Pattern:
    """Order `size` unknowns by minimum degree (ties by index) and lay out the factor.

    An end equal to or above `size` is grounded and is left out. The layout of a network that comes again is kept.
    """
    return _pattern(size, tuple(edges))


@lru_cache(maxsize=64)
def _pattern(size: int, edges: tuple[tuple[int, int], ...]) -> Pattern:
    neighbours: list[set[int]] = [set() for _ in range(size)]
    for a, b in edges:
        if a != b and a < size and b < size:
            neighbours[a].add(b)
            neighbours[b].add(a)
    order, columns = _eliminate(neighbours)
    rank = [0] * size
    for position, node in enumerate(order):
        rank[node] = position
    return _lay_out(order, rank, [tuple(sorted([rank[other] for other in near])) for near in columns])


def _eliminate(neighbours: list[set[int]]) -> tuple[list[int], list[set[int]]]:
    size = len(neighbours)
    heap = [len(near) * size + node for node, near in enumerate(neighbours)]
    heapify(heap)
    done = bytearray(size)
    order: list[int] = []
    columns: list[set[int]] = []
    while heap:
        degree, node = divmod(heappop(heap), size)
        near = neighbours[node]
        if done[node] or len(near) != degree:
            continue
        done[node] = 1
        order.append(node)
        columns.append(near)
        for other in near:
            theirs = neighbours[other]
            before = len(theirs)
            if degree > 1:
                theirs |= near
                theirs.discard(other)
            theirs.discard(node)
            if len(theirs) != before:
                heappush(heap, len(theirs) * size + other)
    return order, columns


def _lay_out(order: list[int], rank: list[int], rows: list[tuple[int, ...]]) -> Pattern:
    size = len(order)
    starts: list[int] = []
    places: list[dict[int, int]] = []
    place = size
    for column in rows:
        starts.append(place)
        places.append(dict(zip(column, range(place, place + len(column)), strict=True)))
        place += len(column)
    return Pattern(
        order=tuple(order),
        rank=tuple(rank),
        rows=tuple(rows),
        starts=tuple(starts),
        targets=tuple(_targets(column, places) for column in rows),
        flat_columns=tuple([k for k, column in enumerate(rows) for _ in column]),
        flat_rows=tuple([row for column in rows for row in column]),
        places=tuple(places),
    )


def _targets(column: tuple[int, ...], places: list[dict[int, int]]) -> tuple[int, ...]:
    """Places of the pairs (i, j), i <= j, of a column's rows: where its elimination adds."""
    found: list[int] = []
    for i, row in enumerate(column):
        found.append(row)
        below = places[row]
        found.extend([below[other] for other in column[i + 1 :]])
    return tuple(found)


class Factor(Struct, frozen=True):
    """L and D of a matrix on `pattern`: unit lower triangle by places, pivots in elimination order."""

    pattern: Pattern
    pivots: tuple[Scalar, ...]
    lower: tuple[Scalar, ...]

    def solve(self, right: Sequence[Scalar]) -> list[Scalar]:
        """The solution for one right-hand side of at least `size` values; as many values come back, plus one 0.0."""
        shape = self.pattern
        x = [right[node] for node in shape.order]
        columns, rows, lower = shape.flat_columns, shape.flat_rows, self.lower
        for column, row, value in zip(columns, rows, lower, strict=True):
            x[row] -= value * x[column]
        x = [value / pivot for value, pivot in zip(x, self.pivots, strict=True)]
        for column, row, value in zip(reversed(columns), reversed(rows), reversed(lower), strict=True):
            x[column] -= value * x[row]
        answer = [x[position] for position in shape.rank]
        answer.append(0.0)
        return answer

    def selected_inverse(self) -> list[Scalar]:
        """Every entry of the inverse inside the factor's pattern, by `Pattern.place`."""
        shape = self.pattern
        size = shape.size
        inverse = shape.blank()
        for k in range(size - 1, -1, -1):
            rows, start = shape.rows[k], shape.starts[k]
            count = len(rows)
            total = 1.0 / self.pivots[k]
            if count == 1:
                value = self.lower[start - size]
                entry = -value * inverse[rows[0]]
                inverse[start] = entry
                total -= value * entry
            elif count:
                values = self.lower[start - size : start - size + count]
                entries = _times(values, shape.targets[k], inverse)
                inverse[start : start + count] = entries
                for value, entry in zip(values, entries, strict=True):
                    total -= value * entry
            inverse[k] = total
        return inverse


def _times(values: Sequence[Scalar], targets: tuple[int, ...], inverse: list[Scalar]) -> list[Scalar]:
    count = len(values)
    sums: list[Scalar] = [0.0] * count
    t = 0
    for i in range(count):
        value = values[i]
        sums[i] -= inverse[targets[t]] * value
        t += 1
        for j in range(i + 1, count):
            entry = inverse[targets[t]]
            t += 1
            sums[i] -= entry * values[j]
            sums[j] -= entry * value
    return sums


def factor(shape: Pattern, values: Sequence[Scalar]) -> Factor:
    """Factor the network whose conductances were entered into `values`.

    Raises NotPositive where a pivot's real part is not above 0: for real matrices that is the test for positive
    definite, for complex symmetric ones it holds whenever the real part is positive definite.
    """
    x = list(values)
    pivots: list[Scalar] = []
    for k, (rows, start, targets) in enumerate(zip(shape.rows, shape.starts, shape.targets, strict=True)):
        ground = pivot = x[k]
        if len(rows) == 1:
            value = x[start]
            pivot = ground - value
            if pivot.real > 0.0:
                x[start] = scaled = value / pivot
                x[rows[0]] -= scaled * ground
        elif rows:
            pivot = _update(x, start, rows, targets, ground)
        if not pivot.real > 0.0:
            raise NotPositive(shape.order[k])
        pivots.append(pivot)
    return Factor(shape, tuple(pivots), tuple(x[shape.size : shape.spare]))


def _update(x: list[Scalar], start: int, rows: tuple[int, ...], targets: tuple[int, ...], ground: Scalar) -> Scalar:
    """Eliminate one column; its pivot comes back, and nothing is touched when that is not positive."""
    count = len(rows)
    column = x[start : start + count]
    pivot = ground - sum(column)
    if not pivot.real > 0.0:
        return pivot
    t = 0
    for i in range(count):
        scaled = column[i] / pivot
        x[start + i] = scaled
        x[rows[i]] -= scaled * ground
        t += 1
        for j in range(i + 1, count):
            x[targets[t]] -= scaled * column[j]
            t += 1
    return pivot


class Patched(Struct, frozen=True):
    """A factored matrix with a few branches changed, without factoring again."""

    base: Factor
    patches: tuple[tuple[int, int, Scalar, tuple[Scalar, ...]], ...] = ()

    def change(self, a: int, b: int, siemens: Scalar) -> Patched:
        """Add `siemens` (negative to take away) between `a` and `b`; an index of `size` or above is ground.

        Raises NotPositive(a) when the change leaves a part without any path to ground.
        """
        size = self.base.pattern.size
        unit: list[Scalar] = [0.0] * (size + 1)
        ends = min(a, size), min(b, size)
        unit[ends[0]] += 1.0
        unit[ends[1]] -= 1.0
        reply = self.solve(unit)
        share = siemens * (reply[ends[0]] - reply[ends[1]])
        if not (1.0 + share).real > 1e-10 * abs(share):
            raise NotPositive(a)
        scale = siemens / (1.0 + share)
        return Patched(self.base, (*self.patches, (*ends, scale, tuple(reply))))

    def solve(self, right: Sequence[Scalar]) -> list[Scalar]:
        """As `Factor.solve`, for the changed matrix."""
        x = self.base.solve(right)
        for a, b, scale, reply in self.patches:
            amount = scale * (x[a] - x[b])
            if amount:
                x = [value - amount * step for value, step in zip(x, reply, strict=True)]
        return x
