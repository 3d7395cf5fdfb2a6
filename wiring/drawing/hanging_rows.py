"""One row of a distribution: what its columns need beside each other so that no words meet."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.drawing.bands import TRIANGLE, Measure, has_heading
from wiring.drawing.hanging_columns import Columns, levels_of
from wiring.drawing.labels import mark_text, reference_width
from wiring.drawing.problem import End, Spot
from wiring.drawing.rails import Distribution, Line
from wiring.drawing.shapes import DESIGNATION, shortened, text_width, wrapped
from wiring.drawing.units import Form, Unit
from wiring.drawing.upright import WORD_LINE, Upright

#: Wide enough for most titles; longer ones are wrapped to so many characters.
_MOST_WORDS, _MOST_LINES = 15, 3
#: Least distance of columns, from a wire to its words, and between words [mm].
_LEAST, BESIDE, ROOM = 7.5, 0.8, 1.2


class Words(Struct, frozen=True):
    """The lines of words at the left of a hanging unit: the first the designation."""

    lines: tuple[str, ...]
    siblings: tuple[tuple[str, str], ...]
    width: float

    @property
    def height(self) -> float:
        """From the top of the designation to the foot of the last line."""
        return 3.8 + WORD_LINE * (len(self.lines) - 1 + len(self.siblings))


def words_of(unit: Unit, measure: Measure) -> Words:
    """What stands at a hanging unit; terminal points have their references to bridged ones alone."""
    siblings = tuple(measure.names.siblings.get(unit.id, ()))
    marks = TRIANGLE * len(measure.names.marks.get(unit.id, ()))
    reach = max((reference_width(label) for label, _ in siblings), default=0.0)
    if not has_heading(unit):
        return Words(("",), siblings, max(reach, marks))
    notes = [line for note in reversed(unit.notes) for line in wrapped(note, _MOST_WORDS)][:_MOST_LINES]
    notes = [shortened(note, _MOST_WORDS) for note in notes]
    name = mark_text(unit.part)
    first = text_width(name, DESIGNATION) + (1.5 + marks if marks else 0.0)
    return Words((name, *notes), siblings, max(first, reach, *(text_width(note) for note in notes), 0.0))


class Row:
    """One row of columns below its lines."""

    def __init__(
        self,
        made: Distribution,
        columns: Columns,
        runs: Sequence[Sequence[int]],
        measure: Measure,
        name: Callable[[Node], str],
        *,
        first: bool,
    ) -> None:
        self.first = first
        self.made, self.columns, self.measure, self.name = made, columns, measure, name
        self.order = [column for run in runs for column in run]
        self.runs = runs
        self.place = {column: n for n, column in enumerate(self.order)}
        self.upright = Upright(measure.artist)
        self.units = [unit for unit in made.hanging if columns.of_lane[unit.id, 0] in self.place]
        self.levels = levels_of(made)
        self.words = {unit.id: words_of(unit, measure) for unit in self.units}
        self.lines = [(n, line) for n, line in enumerate(made.lines) if any(self.has(tap) for tap in line.taps)]

    def has(self, spot: Spot) -> bool:
        return self.columns.of_lane[spot] in self.place

    def column(self, spot: Spot) -> int:
        return self.place[self.columns.of_lane[spot]]

    def label_width(self, wire: str) -> float:
        marks = TRIANGLE * len(self.measure.names.marks.get(f"wire {wire}", ()))
        return self.measure.names.label((wire, 0)).width + marks

    def upright_width(self, wire: str) -> float:
        marks = TRIANGLE * len(self.measure.names.marks.get(f"wire {wire}", ()))
        label = self.measure.names.label((wire, 0))
        return max(text_width(label.rest) + marks, label.stacked_width) + BESIDE

    def room_left(self, unit: Unit, lane: int) -> float:
        """What a lane needs to its left at the height of its unit."""
        if lane:
            return self.upright.left(unit) if unit.form is not Form.LANES else 2.6
        words = self.words[unit.id].width if has_heading(unit) else 0.0
        return self.upright.left(unit) + (words + ROOM if words else 0.0)

    def room_right(self, unit: Unit, lane: int) -> float:
        reach = self.upright.right(unit, lane)
        if unit.form is Form.POINTS and lane == len(unit.lanes) - 1:
            reach = max(reach, self.words[unit.id].width + BESIDE)
        return reach

    def gaps(self) -> tuple[list[float], float]:
        """The least distance of each column from the one before or the left edge, and the reach of the last."""
        left: dict[tuple[int, int], float] = {}
        right: dict[tuple[int, int], float] = {}
        below = [0.0] * len(self.order)
        tall = self.tall()
        for unit in self.units:
            level = self.levels[unit.id]
            for lane in range(len(unit.lanes)):
                at = self.column((unit.id, lane))
                left[at, level], right[at, level] = self.room_left(unit, lane), self.room_right(unit, lane)
            beside = self.height(unit) < tall[level]  # the words of its wires stand beside those of taller units
            for end, _ in self.made.below[unit.id]:
                at = self.place[self.columns.of_end[end]]
                below[at] = max(below[at], self.upright_width(end[0]) + ROOM)
                if beside:
                    right[at, level] = max(right.get((at, level), 0.0), below[at])
        depth = range(max(self.levels.values()) + 1)
        gaps = [max([_LEAST, *(left.get((0, level), 0.0) for level in depth)])]
        for n in range(1, len(self.order)):
            sides = [right.get((n - 1, level), 0.0) + left.get((n, level), 0.0) + ROOM for level in depth]
            gaps.append(max([_LEAST, below[n - 1], *sides]))
        self._widen_for_lines(gaps)
        self._widen_for_references(gaps, left)
        last = len(self.order) - 1
        reach = max([below[last], *(right.get((last, level), 0.0) for level in depth), self._references_right(last)])
        return gaps, reach

    def height(self, unit: Unit) -> float:
        """From the upper to the lower pins of a unit; references of terminal points stand between them."""
        siblings = self.words[unit.id].siblings
        more = WORD_LINE * len(siblings) + 0.5 if unit.form is Form.POINTS and siblings else 0.0
        return self.upright.height(unit) + more

    def tall(self) -> dict[int, float]:
        """The height of every level, of its symbols and of the words beside them."""
        found: dict[int, float] = {}
        for unit in self.units:
            level = self.levels[unit.id]
            words = self.words[unit.id].height if has_heading(unit) else 0.0
            found[level] = max(found.get(level, 0.0), self.height(unit), words)
        return found

    def segments(self) -> Iterator[tuple[Line, str, int, int]]:
        """Every wire along a line with the columns it runs between; -1 is the start of the row."""
        for _, line in self.lines:
            before = -1
            for wire, tap in zip(line.wires, line.taps, strict=True):
                if self.has(tap):
                    yield line, wire, before, self.column(tap)
                    before = self.column(tap)

    def label_gap(self, before: int, after: int) -> int:
        """The gap, by the column at its right, in which the label of a wire along a line has no drop to cross."""
        unit = next(u for u in self.units for n in range(len(u.lanes)) if self.column((u.id, n)) == after)
        first = self.column((unit.id, 0))
        return first if before < first else before + 1

    def _widen_for_lines(self, gaps: list[float]) -> None:
        for _, wire, before, after in self.segments():
            if before >= 0:
                at = self.label_gap(before, after)
                gaps[at] = max(gaps[at], self.label_width(wire) + 2 * ROOM)
        for spot, (end, source) in self.made.beside.items():
            if self.has(spot):
                first, last = self.column(source), self.column(spot)
                needed = self.upright_width(self.made.fed_by(source)[0]) + self.label_width(end[0]) + 3 * ROOM
                gaps[last] = max(gaps[last], needed - sum(gaps[first + 1 : last]))

    def leaving(self) -> dict[int, End]:
        """The ends that leave to references below, by column."""
        drawn = {end for end, _ in self.made.feeds.values()}
        ends = [end for unit in self.units for end, _ in self.made.below[unit.id] if end not in drawn]
        return {self.place[self.columns.of_end[end]]: end for end in ends}

    def _widen_for_references(self, gaps: list[float], left: Mapping[tuple[int, int], float]) -> None:
        """References at the foot of a run stand beside what hangs one level deeper in the next run."""
        leaving = self.leaving()
        start = 0
        for run in self.runs[:-1]:
            stop = start + len(run)
            own = [self.levels[unit.id] for unit in self.units if start <= self.column((unit.id, 0)) < stop]
            words = left.get((stop, max(own) + 1), 0.0)
            for n in range(start, stop):
                if n in leaving:
                    inside = sum(gaps[n + 1 : stop])
                    reach = reference_width(self.measure.names.target(leaving[n])) + 2.5
                    gaps[stop] = max(gaps[stop], reach - inside + words)
            start = stop

    def _references_right(self, last: int) -> float:
        leaving = self.leaving()
        widths = [0.0]
        gaps_after = 0.0
        first = len(self.order) - len(self.runs[-1])
        for n in range(last, first - 1, -1):
            if n in leaving:
                widths.append(reference_width(self.measure.names.target(leaving[n])) + 2.5 - gaps_after)
            gaps_after += _LEAST
        return max(widths)

    def onward_reach(self) -> float:
        """Room at the right for lines that go on in another place."""
        widths = [0.0]
        for _, line in self.lines:
            end = self.onward(line)
            if end is not None:
                target = self.measure.names.target(end)
                widths.append(self.label_width(end[0]) + 2 * ROOM + reference_width(target) + 1.6)
        return max(widths)

    def onward(self, line: Line) -> End | None:
        """The end at the last tap of a line in this row, where it goes on elsewhere."""
        taps = [n for n, tap in enumerate(line.taps) if self.has(tap)]
        if taps[-1] == len(line.taps) - 1:
            return line.onward
        wire = line.wires[taps[-1] + 1]
        return (wire, self.end_at(wire, line.taps[taps[-1]]))

    def end_at(self, wire: str, spot: Spot) -> int:
        return 0 if self.measure.names.spots[wire, 0] == spot else 1

    def arriving(self, line: Line) -> End | None:
        """The end by which a line arrives in this row from another one or from the trunk."""
        first = next(n for n, tap in enumerate(line.taps) if self.has(tap))
        return (
            None if first == 0 and self.first else (line.wires[first], self.end_at(line.wires[first], line.taps[first]))
        )
