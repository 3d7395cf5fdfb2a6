"""A distribution in millimetres: the trunk at the left, its lines across, what hangs below, each level at one height.

What does not fit the width goes on in a further row, whose lines begin with references.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.drawing.bands import Measure, has_heading
from wiring.drawing.block import Block, HungTap, HungUnit, Potential, Route
from wiring.drawing.grid import MODULE, PITCH
from wiring.drawing.hanging_columns import Columns, clusters
from wiring.drawing.hanging_rows import BESIDE, ROOM, Row
from wiring.drawing.labels import reference_width
from wiring.drawing.problem import RIGHT, Spot
from wiring.drawing.rails import Distribution, Line
from wiring.drawing.shapes import DESIGNATION, Point, text_width
from wiring.drawing.units import Form, Unit
from wiring.drawing.upright import WORD_LINE
from wiring.drawing.wired import LOWER, UPPER

_DROP, _STEP, _STUB, _CLEAR = 7.5, 4.5, 2.5, 1.5
#: From a lower pin to the base line of the wire's number, and to the next thing below.
_NUMBER_DOWN, _BELOW = 5.7, 11.0
#: Terminal points have their name above them.
_NAME_UP = 2.5


class Placed(Struct, frozen=True):
    """The units, wires and names of one row in millimetres, and how far it reaches."""

    hung: tuple[HungUnit, ...]
    routes: tuple[Route, ...]
    potentials: tuple[Potential, ...]
    right: float
    bottom: float


def placed(row: Row, starts: Mapping[int, Point], left: float, rails: float) -> Placed:
    """A row whose columns begin at `left`, below lines the last of which is at `rails`; `starts` are those of lines."""
    gaps, reach = row.gaps()
    names = max((text_width(row.name(_node(row, line)), DESIGNATION) + 2.0 for _, line in row.lines), default=0.0)
    xs, x = [], left
    for n, gap in enumerate(gaps):
        x = _up(x + (gap if n else max(gap, names)))
        xs.append(x)
    return _Placing(row, starts, xs, left, rails).done(x + max(reach, row.onward_reach()))


def _node(row: Row, line: Line) -> Node:
    conductor = row.measure.names.conductors[line.start[0]]
    return conductor.a if line.start[1] == 0 else conductor.b


def _up(x: float) -> float:
    return MODULE * -(-x // MODULE)


class _Placing:
    def __init__(self, row: Row, starts: Mapping[int, Point], xs: Sequence[float], left: float, rails: float) -> None:
        self.row, self.starts, self.xs, self.left, self.rails = row, starts, xs, left, rails
        self.tops, self.bottoms = self._heights()
        self.foot = self._foot()

    def _heights(self) -> tuple[dict[str, float], dict[str, float]]:
        row = self.row
        tall = row.tall()
        top = self.rails + _DROP
        at: dict[int, float] = {}
        named = {row.levels[unit.id] for unit in row.units if unit.form is Form.POINTS}
        for level in range(max(tall) + 1):
            top += _NAME_UP if level in named and level else 0.0
            lanes = [spot[1] for spot in row.made.beside if row.levels.get(spot[0]) == level]
            top += _STUB + _STEP * max(lanes) if any(lanes) else 0.0
            at[level] = top
            top += tall.get(level, 0.0) + _BELOW
        tops = {unit.id: at[row.levels[unit.id]] for unit in row.units}
        return tops, {unit.id: tops[unit.id] + row.height(unit) for unit in row.units}

    def _foot(self) -> dict[int, float]:
        """Where the wires of every column that leave end, stepped so that their words stand clear of each other."""
        leaving = self.row.leaving()
        found: dict[int, float] = {}
        start = 0
        for run in self.row.runs:
            stop = start + len(run)
            low = max(
                max(self.bottoms[u.id], self.tops[u.id] + self.row.words[u.id].height - 3.0 if has_heading(u) else 0.0)
                for u in self.row.units
                if start <= self.row.column((u.id, 0)) < stop
            )
            last = 0.0
            for n in range(stop - 1, start - 1, -1):
                if n in leaving:
                    own = self.bottoms[self.row.measure.names.spots[leaving[n]][0]] + _BELOW + _CLEAR
                    last = found[n] = max(own, low + _STEP, last + _STEP)
            start = stop
        return found

    def done(self, right: float) -> Placed:
        hung = tuple(self._unit(unit) for unit in self.row.units)
        routes = (*self._level_routes(), *self._upright_routes())
        names = tuple(self._name(n, line) for n, line in self.row.lines)
        lowest = [*self.bottoms.values(), *(y + 2.0 for y in self.foot.values())]
        words = [self.tops[u.id] + self.row.words[u.id].height for u in self.row.units]
        return Placed(hung, routes, names, right, max(*lowest, *words) + 2.0)

    def _line_at(self, spot: Spot) -> tuple[Line, float] | None:
        for n, line in self.row.lines:
            if spot in line.taps:
                return line, self.starts[n][1]
        return None

    def _unit(self, unit: Unit) -> HungUnit:
        row = self.row
        xs = tuple(self.xs[row.column((unit.id, lane))] for lane in range(len(unit.lanes)))
        top, bottom = self.tops[unit.id], self.bottoms[unit.id]
        taps: list[HungTap] = []
        for lane in range(len(unit.lanes)):
            taps += self._upper(unit, lane, xs[lane], top)
            taps += self._lower(unit, lane, xs[lane], bottom)
        words = row.words[unit.id]
        if has_heading(unit):
            start = (xs[0] - row.upright.left(unit) - words.width - ROOM / 2, top + 3.2)
        else:
            start = (xs[-1] + BESIDE, top + 2.0 + WORD_LINE)
        return HungUnit(unit, xs, top, bottom, start, tuple(taps))

    def _upper(self, unit: Unit, lane: int, x: float, top: float) -> Iterator[HungTap]:
        spot = (unit.id, lane)
        found = self._line_at(spot)
        if found is None:
            yield from self._from_above(spot, x)
            return
        line, y = found
        at = line.taps.index(spot)
        wire = line.wires[at]
        label = self._label(line, wire, at, y)
        yield HungTap((wire, self.row.end_at(wire, spot)), UPPER, lane, (x, y), label, True)
        onward = self.row.onward(line)
        if onward and spot == [tap for tap in line.taps if self.row.has(tap)][-1]:
            start = self.xs[-1] + ROOM
            stop = start + self.row.label_width(onward[0]) + ROOM
            yield HungTap(onward, UPPER, lane, (x, y), (start, y - 1.0), True, (stop, y))
        elif at + 1 < len(line.wires):
            following = line.wires[at + 1]
            yield HungTap((following, self.row.end_at(following, spot)), UPPER, lane, (x, y))

    def _from_above(self, spot: Spot, x: float) -> Iterator[HungTap]:
        """The end of the wire from the unit above or beside, and that of one which leads on to the next beside."""
        made = self.row.made
        if spot in made.feeds:
            wire = made.feeds[spot][0][0]
            yield HungTap((wire, self.row.end_at(wire, spot)), UPPER, spot[1], (x, self._entry(spot)))
        elif spot in made.beside:
            wire = made.beside[spot][0][0]
            y = self._entry(spot)
            label = (x - ROOM - self.row.label_width(wire), y - 1.0)
            yield HungTap((wire, self.row.end_at(wire, spot)), UPPER, spot[1], (x, y), label, True)
        for end, source in made.beside.values():
            if source == spot:
                yield HungTap(end, UPPER, spot[1], (x, self._entry(spot)))

    def _entry(self, spot: Spot) -> float:
        """Where the wire that feeds a lane ends: its pin, or above that where wires lead on from it to one beside.

        Those of several lanes run above the pins, further ones higher, so that each crosses only drops to its right.
        """
        beside = self.row.made.beside
        joined = {end for spot, (_, source) in beside.items() for end in (spot, source)}
        several = spot in joined and any(name == spot[0] and lane for name, lane in joined)
        return self.tops[spot[0]] - (_STUB + _STEP * spot[1] if several else 0.0)

    def _label(self, line: Line, wire: str, at: int, y: float) -> Point | None:
        before = [tap for tap in line.taps[:at] if self.row.has(tap)]
        if not before:
            return None
        gap = self.row.label_gap(self.row.column(before[-1]), self.row.column(line.taps[at]))
        return self.xs[gap - 1] + ROOM, y - 1.0

    def _lower(self, unit: Unit, lane: int, x: float, bottom: float) -> Iterator[HungTap]:
        ends = [end for end, spot in self.row.made.below[unit.id] if spot[1] == lane]
        drawn = {end for end, _ in self.row.made.feeds.values()}
        for end in ends:
            column = self.row.place[self.row.columns.of_end[end]]
            start = (self.xs[column], bottom + (_STUB if len(ends) > 1 else 0.0))
            label = (start[0] + BESIDE, start[1] + _NUMBER_DOWN - (_STUB if len(ends) > 1 else 0.0))
            stop = None if end in drawn else (start[0], self.foot[column])
            yield HungTap(end, LOWER, lane, start, label, False, stop)

    def _level_routes(self) -> Iterator[Route]:
        for n, line in self.row.lines:
            y = self.starts[n][1]
            before = self.starts[n] if self.row.arriving(line) is None else None
            for wire, tap in zip(line.wires, line.taps, strict=True):
                if not self.row.has(tap):
                    continue
                here = (self.xs[self.row.column(tap)], y)
                if before is not None:
                    yield Route(wire, (before, here))
                before = here

    def _upright_routes(self) -> Iterator[Route]:
        for spot, (end, source) in self.row.made.feeds.items():
            if not self.row.has(spot):
                continue
            fan = sum(at[1] == source[1] for _, at in self.row.made.below[source[0]]) > 1
            x = self.xs[self.row.column(spot)]
            yield Route(end[0], ((x, self.bottoms[source[0]] + (_STUB if fan else 0.0)), (x, self._entry(spot))))

        for spot, (end, source) in self.row.made.beside.items():
            if self.row.has(spot):
                at = self._entry(spot)
                yield Route(end[0], ((self.xs[self.row.column(source)], at), (self.xs[self.row.column(spot)], at)))

    def _name(self, n: int, line: Line) -> Potential:
        y = self.starts[n][1]
        end = self.row.arriving(line)
        if end is None:
            return Potential(self.row.name(_node(self.row, line)), self.left + 0.5, y - 1.0)
        first = next(tap for tap in line.taps if self.row.has(tap))
        x = self.xs[self.row.column(first)]
        start = self.starts[n]
        arriving = HungTap(end, UPPER, first[1], (x, y), (start[0] + ROOM, y - 1.0), True, start)
        return Potential(self.row.name(_node(self.row, line)), self.left + 0.5, y - 1.0, arriving)


def rows_of(
    made: Distribution,
    columns: Columns,
    measure: Measure,
    name: Callable[[Node], str],
    trunk: Block | None,
    width: float,
) -> list[Block] | set[str]:
    """The blocks of a distribution, or the units of a run that is wider than the sheet.

    Without a trunk its lines arrive from where that stands.
    """
    runs = clusters(made, columns)
    blocks: list[Block] = []
    start = trunk
    while runs or start is not None:
        taken = _widest(made, columns, runs, measure, name, start, width)
        if not taken and start is None:
            return {u.id for u in made.hanging if columns.of_lane[u.id, 0] in runs[0]}
        blocks.append(_block(made, columns, runs[:taken], measure, name, start))
        if blocks[-1].width > width:
            return {unit.id for unit in made.hanging}
        runs, start = runs[taken:], None
    return blocks


def _widest(
    made: Distribution, columns: Columns, runs: Sequence[Sequence[int]], measure: Measure,
    name: Callable[[Node], str], start: Block | None, width: float,
) -> int:  # fmt: skip
    for count in range(len(runs), 0, -1):
        if _block(made, columns, runs[:count], measure, name, start).width <= width:
            return count
    return 0


def _block(
    made: Distribution, columns: Columns, runs: Sequence[Sequence[int]], measure: Measure,
    name: Callable[[Node], str], trunk: Block | None,
) -> Block:  # fmt: skip
    row = Row(made, columns, runs, measure, name, first=trunk is not None) if runs else None
    starts, left = _line_starts(made, measure, trunk, row)
    shown = {n for n, _ in row.lines} if row else set()
    away = _elsewhere(made, trunk, starts, shown) if trunk else ()
    left += max((reference_width(measure.names.target(p.arriving.end)) + 1.6 for p in away if p.arriving), default=0.0)
    if row is None:
        assert trunk is not None
        return replace(trunk, width=left, potentials=away)
    rails = max(starts[n][1] for n, _ in row.lines) if row.lines else PITCH
    done = placed(row, starts, left, rails)
    units = trunk.units if trunk else ()
    routes = (*(trunk.routes if trunk else ()), *done.routes)
    height = max(done.bottom, trunk.height if trunk else 0.0)
    return Block(done.right, height, units, routes, made.hanging[0].sheet, done.hung, (*away, *done.potentials))


def _line_starts(
    made: Distribution, measure: Measure, trunk: Block | None, row: Row | None
) -> tuple[dict[int, Point], float]:
    """Where every line begins, and where the columns may."""
    if trunk is None:
        assert row is not None
        arriving = {n: row.arriving(line) for n, line in row.lines}
        reach = max(reference_width(measure.names.target(end)) + 1.6 for end in arriving.values() if end)
        words = max(row.label_width(end[0]) + 2 * ROOM for end in arriving.values() if end)
        starts = {n: (reach, PITCH * (k + 1)) for k, n in enumerate(arriving)}
        return starts, reach + words
    starts = {}
    for n, line in enumerate(made.lines):
        for unit in trunk.units:
            for end, _, _, y in unit.taps:
                if end == line.start:
                    starts[n] = (unit.x + unit.width + unit.bands[RIGHT].fan, y)
    return starts, trunk.width


def _elsewhere(made: Distribution, trunk: Block, starts: Mapping[int, Point], shown: set[int]) -> tuple[Potential, ...]:
    """The lines of a trunk that all go on in another row."""
    found = []
    for n, line in enumerate(made.lines):
        if n not in shown:
            stop = (trunk.width, starts[n][1])
            found.append(Potential("", *stop, HungTap(line.start, UPPER, 0, starts[n], None, True, stop)))
    return tuple(found)
