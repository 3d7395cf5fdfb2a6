"""Ways through wiring ducts: from any point of a duct to any other, along the middle lines of the ducts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
from itertools import combinations, pairwise

from msgspec import Struct

from wiring.cabinet.records import DuctPiece

#: Ducts that end so near to each other are joined [mm].
_JOINED = 1.0


class Point(Struct, frozen=True):
    """A place on the middle line of a duct, `at` in its running direction, with the way to it from outside."""

    duct: int
    at: float
    reach: float = 0.0


class Piece(Struct, frozen=True):
    """A piece of a duct that a way runs through."""

    duct: str
    start: float
    end: float


class Way(Struct, frozen=True):
    """A way through ducts [mm] with the pieces that it runs through."""

    length: float
    pieces: tuple[Piece, ...]


class DuctNet:
    """Ducts that cross or touch, as a net of their middle lines."""

    def __init__(self, ducts: Sequence[DuctPiece]) -> None:
        self.ducts = ducts
        self._nodes: list[list[tuple[float, int]]] = [[] for _ in ducts]
        self._near: list[list[tuple[float, int]]] = []
        for (one, first), (two, second) in combinations(enumerate(ducts), 2):
            met = _meeting(first, second)
            if met is not None:
                node = len(self._near)
                self._near.append([])
                self._nodes[one].append((met[0], node))
                self._nodes[two].append((met[1], node))
        for nodes in self._nodes:
            nodes.sort()
            for (start, a), (end, b) in pairwise(nodes):
                self._near[a].append((end - start, b))
                self._near[b].append((end - start, a))
        self._found: dict[int, tuple[list[float], list[int]]] = {}

    def beside(self, x: float, y: float, upwards: bool) -> Point | None:
        """The nearest duct across straight above or below a point; None where none runs there."""
        found = []
        for n, duct in enumerate(self.ducts):
            away = (duct.middle - y) if upwards else (y - duct.middle)
            if duct.run == "across" and away >= 0 and duct.ends[0] - _JOINED <= x <= duct.ends[1] + _JOINED:
                found.append((away, n))
        return Point(min(found)[1], x, min(found)[0]) if found else None

    def nearest(self, x: float, y: float) -> Point | None:
        """The point of any duct's middle line that is nearest to a point, measured across and upwards."""
        found = []
        for n, duct in enumerate(self.ducts):
            along, aside = (x, y) if duct.run == "across" else (y, x)
            at = min(max(along, duct.ends[0]), duct.ends[1])
            found.append((abs(along - at) + abs(aside - duct.middle), n, at))
        return Point(min(found)[1], min(found)[2], min(found)[0]) if found else None

    def way(self, one: Point, two: Point) -> Way | None:
        """The shortest way between two points with what it takes to reach them; None where no ducts join them."""
        reach = one.reach + two.reach
        if one.duct == two.duct:
            return Way(abs(one.at - two.at) + reach, (self._piece(one.duct, one.at, two.at),))
        best: tuple[float, int, int] | None = None
        for start, a in self._nodes[one.duct]:
            distances = self._from(a)[0]
            for end, b in self._nodes[two.duct]:
                length = abs(one.at - start) + distances[b] + abs(end - two.at)
                if best is None or length < best[0]:
                    best = (length, a, b)
        if best is None or best[0] == float("inf"):
            return None
        return Way(best[0] + reach, tuple(self._pieces(one, two, best[1], best[2])))

    def _piece(self, duct: int, start: float, end: float) -> Piece:
        return Piece(self.ducts[duct].name, min(start, end), max(start, end))

    def _pieces(self, one: Point, two: Point, first: int, last: int) -> Iterator[Piece]:
        before = self._from(first)[1]
        chain = [last]
        while chain[-1] != first:
            chain.append(before[chain[-1]])
        chain.reverse()
        yield self._piece(one.duct, one.at, self._at(one.duct, first))
        for a, b in pairwise(chain):
            duct = next(n for n, nodes in enumerate(self._nodes) if {a, b} <= {node for _, node in nodes})
            yield self._piece(duct, self._at(duct, a), self._at(duct, b))
        yield self._piece(two.duct, self._at(two.duct, last), two.at)

    def _at(self, duct: int, node: int) -> float:
        return next(at for at, one in self._nodes[duct] if one == node)

    def _from(self, start: int) -> tuple[list[float], list[int]]:
        """Distance of every node from one, and the node before each on the way (Dijkstra)."""
        if start not in self._found:
            far = [float("inf")] * len(self._near)
            before = [-1] * len(self._near)
            far[start] = 0.0
            queue = [(0.0, start)]
            while queue:
                length, node = heappop(queue)
                for step, other in self._near[node] if length <= far[node] else ():
                    if length + step < far[other] - 1e-9:
                        far[other], before[other] = length + step, node
                        heappush(queue, (far[other], other))
            self._found[start] = (far, before)
        return self._found[start]


def _meeting(one: DuctPiece, two: DuctPiece) -> tuple[float, float] | None:
    """Where two ducts meet, along each of them; None where they do not."""
    if one.run == two.run:
        joints = [(a, b) for a in one.ends for b in two.ends if abs(a - b) <= _JOINED]
        return joints[0] if joints and abs(one.middle - two.middle) <= _JOINED else None
    return (two.middle, one.middle) if _touches(one, two) and _touches(two, one) else None


def _touches(one: DuctPiece, two: DuctPiece) -> bool:
    """Whether the middle line of `two` crosses `one` or what its end may reach into."""
    slack = two.width / 2 + _JOINED
    return one.ends[0] - slack <= two.middle <= one.ends[1] + slack
