"""One block of a sheet: a problem laid out on the grid and measured in millimetres from its upper left corner."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.drawing.bands import Band, Measure
from wiring.drawing.grid import MODULE, PITCH, Grid, Item, LaneRow, Piece
from wiring.drawing.problem import LEFT, RIGHT, End, Problem
from wiring.drawing.shapes import Point
from wiring.drawing.tracks import Run, Track, assign, passing, turning
from wiring.drawing.units import Form, Unit


class PlacedUnit(Struct, frozen=True):
    """A unit at x, its lanes at `ys`. `taps` are the wire ends: (end, side, lane, y)."""

    unit: Unit
    x: float
    width: float
    ys: tuple[float, ...]
    taps: tuple[tuple[End, int, int, float], ...]
    bands: tuple[Band, Band]
    top: float
    bottom: float


class Route(Struct, frozen=True):
    """The line of a wire from its first end to its second, or from one end to a reference."""

    wire: str
    points: tuple[Point, ...]


class HungTap(Struct, frozen=True):
    """A wire end at a hanging unit: its lane, its side (0 above, 1 below) and where the line of the wire begins.

    `label` is where its words begin, beside an upright line or, with `level`, over a level one. A wire that leaves runs
    on to `reference`.
    """

    end: End
    side: int
    lane: int
    at: Point
    label: Point | None = None
    level: bool = False
    reference: Point | None = None


class HungUnit(Struct, frozen=True):
    """A unit that hangs on a line: its lanes at `xs`, its pins at `top` and `bottom`, its words from `words` on."""

    unit: Unit
    xs: tuple[float, ...]
    top: float
    bottom: float
    words: Point
    taps: tuple[HungTap, ...]


class Potential(Struct, frozen=True):
    """The name of a line, from x on over the line at y; a line that arrives from another place has its reference."""

    name: str
    x: float
    y: float
    arriving: HungTap | None = None


class Block(Struct, frozen=True):
    """A block of `width` x `height` mm."""

    width: float
    height: float
    units: tuple[PlacedUnit, ...]
    routes: tuple[Route, ...]
    sheet: str
    hung: tuple[HungUnit, ...] = ()
    potentials: tuple[Potential, ...] = ()


class _Geometry:
    """Turns the rows and columns of a grid into coordinates."""

    def __init__(self, problem: Problem, grid: Grid, measure: Measure) -> None:
        self.problem, self.grid, self.measure = problem, grid, measure
        self.stubs = {stub.end for stub in problem.stubs}
        self.open = {stub.end for stub in problem.stubs if stub.open}
        self.rows = grid.rows_of()
        self.channels = grid.channels()
        self.links = {piece.wire for pieces in self.channels for piece in pieces if self._is_link(piece)}
        self.tracks = [self._tracks(pieces) for pieces in self.channels]
        self.bands = {
            item.unit.id: (self._band(item, LEFT), self._band(item, RIGHT))
            for items in grid.columns
            for item in items
            if item.unit is not None
        }
        self._across()

    def _band(self, item: Item, side: int) -> Band:
        assert item.unit is not None
        return self.measure.band(item, side, self.stubs, self.open)

    def _is_link(self, piece: Piece) -> bool:
        """Whether a wire joins two terminals of one unit with no other wire between: it is drawn right at them."""
        (column, one, side), (other, two, other_side) = piece.a, piece.b
        if (column, side) != (other, other_side) or one[1] > 1 or two[1] > 1:
            return False
        spots = self.measure.names.spots
        if spots[one][0] != spots[two][0]:
            return False
        low, high = sorted((self.rows[piece.a], self.rows[piece.b]))
        return not any(
            low < row < high
            for (at, end, where), row in self.rows.items()
            if (at, where) == (column, side) and end[1] < 2 and spots[end][0] == spots[one][0]
        )

    def _tracks(self, pieces: Sequence[Piece]) -> dict[int, list[Track]]:
        runs: list[Run] = []
        for n, piece in enumerate(pieces):
            if piece.wire in self.links:
                continue
            one, two = float(self.rows[piece.a]), float(self.rows[piece.b])
            if piece.kind == "pass":
                left, right = (one, two) if piece.a[2] == RIGHT else (two, one)
                if left != right:
                    runs.append(passing(n, left, right))
            else:
                runs.append(turning(n, one, two, left=piece.kind == "left"))
        found: dict[int, list[Track]] = {}
        for track in assign(runs):
            found.setdefault(track.run.wire, []).append(track)
        return found

    def _channel_width(self, channel: int) -> float:
        tracks = [track.track for found in self.tracks[channel].values() for track in found]
        if tracks:
            return (max(tracks) + 2) * MODULE
        return MODULE if self.channels[channel] else 0.0

    def _across(self) -> None:
        """The x of every column's left pins, of both its edges, and of every channel's left edge."""
        self.pin_x: list[float] = []
        self.edges: list[tuple[float, float]] = []
        self.channel_x: list[float] = [0.0]
        x = self._channel_width(0)
        for column, items in enumerate(self.grid.columns):
            units = [item.unit for item in items if item.unit is not None]
            left = max((self.bands[unit.id][LEFT].width for unit in units), default=0.0)
            right = max((self._reach(unit) for unit in units), default=0.0)
            start = x
            self.pin_x.append(x + left)
            x += left + right + (MODULE if units else 0.0)
            self.edges.append((start, x))
            self.channel_x.append(x)
            x += self._channel_width(column + 1)
        self.width = x

    def _reach(self, unit: Unit) -> float:
        """What a unit takes to the right of its left pins."""
        band = self.bands[unit.id][RIGHT].width
        return max(self.measure.width(unit) + band, self.measure.words_width(unit))

    def y(self, row: float) -> float:
        return row * PITCH

    def end_x(self, key: tuple[int, End, int]) -> float:
        """Where a wire end meets the outside of its fan, a shield its ring; the edge of the column for a slot."""
        column, end, side = key
        if end[1] > 1:
            return self.edges[column][side]
        unit_id, lane = self.measure.names.spots[end]
        band = self.bands[unit_id][side]
        unit = next(item.unit for item in self.grid.columns[column] if item.unit and item.unit.id == unit_id)
        is_tap = unit.form is not Form.BOND and unit.is_tap(lane)
        away = band.fan + (band.label + band.ring / 2 if is_tap else 0.0)
        pin = self.pin_x[column]
        return pin - away if side == LEFT else pin + self.measure.width(unit) + away

    def _piece_points(self, channel: int, n: int, piece: Piece) -> list[Point]:
        """The corners of a piece from its first to its second end."""
        ya, yb = self.rows[piece.a], self.rows[piece.b]
        start, stop = (self.end_x(piece.a), self.y(ya)), (self.end_x(piece.b), self.y(yb))
        tracks = self.tracks[channel].get(n, [])
        xs = [self.channel_x[channel] + (track.track + 1) * MODULE for track in tracks]
        if not tracks:
            return [start, stop]
        if len(tracks) == 1:
            return [start, (xs[0], start[1]), (xs[0], stop[1]), stop]
        first, second = (0, 1) if (piece.a[2] == RIGHT) == bool(tracks[0].run.left) else (1, 0)
        run = tracks[first].run
        half = run.low if run.high == ya else run.high
        y = self.y(half)
        return [start, (xs[first], start[1]), (xs[first], y), (xs[second], y), (xs[second], stop[1]), stop]

    def routes(self) -> list[Route]:
        points: dict[str, list[list[Point]]] = {}
        for channel, pieces in enumerate(self.channels):
            for n, piece in enumerate(pieces):
                points.setdefault(piece.wire, []).append(self._piece_points(channel, n, piece))
        for column, items in enumerate(self.grid.columns):
            for item in items:
                if item.unit is None:
                    slot = item.lanes[0].ends[LEFT][0]
                    y = self.y(item.lanes[0].row)
                    points[slot[0]].append([(self.edges[column][0], y), (self.edges[column][1], y)])
        return [Route(wire, tuple(_chain(pieces))) for wire, pieces in points.items()]

    def placed(self, column: int, item: Item) -> PlacedUnit:
        assert item.unit is not None
        unit = item.unit
        taps = []
        for n, lane in enumerate(item.lanes):
            for side in (LEFT, RIGHT):
                taps += [(end, side, n, self.y(lane.row + k)) for k, end in enumerate(lane.ends[side])]
        last = item.lanes[-1]
        ys = tuple(self.y(row) for row in _by_index(item.lanes))
        lanes_unit = unit if not _moved(item) else _reordered(unit, item.lanes)
        top = self.y(item.lanes[0].row - item.head)
        bottom = self.y(last.row + last.rows + item.tail - 1)
        return PlacedUnit(
            lanes_unit, self.pin_x[column], self.measure.width(unit), ys, tuple(taps), self.bands[unit.id], top, bottom
        )

    def block(self) -> Block:
        units = [
            self.placed(column, item)
            for column, items in enumerate(self.grid.columns)
            for item in items
            if item.unit is not None
        ]
        height = max(unit.bottom for unit in units) + PITCH
        return Block(self.width, height, tuple(units), tuple(self.routes()), self.problem.units[0].sheet)


def _by_index(lanes: Sequence[LaneRow]) -> list[int]:
    return [lane.row for lane in lanes]


def _moved(item: Item) -> bool:
    return [lane.index for lane in item.lanes] != list(range(len(item.lanes)))


def _reordered(unit: Unit, lanes: Sequence[LaneRow]) -> Unit:
    return replace(unit, lanes=tuple(unit.lanes[lane.index] for lane in lanes))


def _chain(pieces: list[list[Point]]) -> list[Point]:
    """Pieces joined end to end to one line, without points in the middle of a straight stroke."""
    rest = [list(piece) for piece in pieces]
    line = rest.pop(0)
    while rest:
        for piece in rest:
            if _same(piece[0], line[-1]):
                line += piece[1:]
            elif _same(piece[-1], line[-1]):
                line += piece[-2::-1]
            elif _same(piece[-1], line[0]):
                line = piece[:-1] + line
            elif _same(piece[0], line[0]):
                line = piece[:0:-1] + line
            else:
                continue
            rest.remove(piece)
            break
        else:
            raise AssertionError("the pieces of a wire do not meet")
    return straightened(line)


def _same(a: Point, b: Point) -> bool:
    return abs(a[0] - b[0]) < 1e-6 and abs(a[1] - b[1]) < 1e-6


def straightened(line: list[Point]) -> list[Point]:
    """A chain of points without those in the middle of a straight stroke."""
    kept = [line[0]]
    for n in range(1, len(line) - 1):
        a, b, c = kept[-1], line[n], line[n + 1]
        level = abs(a[1] - b[1]) < 1e-6 and abs(b[1] - c[1]) < 1e-6
        upright = abs(a[0] - b[0]) < 1e-6 and abs(b[0] - c[0]) < 1e-6
        if not (level or upright) and not _same(a, b):
            kept.append(b)
    return [*kept, line[-1]]


def block_of(problem: Problem, grid: Grid, measure: Measure) -> Block:
    """The block of a grid whose rows are set."""
    return _Geometry(problem, grid, measure).block()
