"""How many more of every axis a plan takes, up to the first finding."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from math import floor, isfinite

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import AxisParts, parts_of
from wiring.changes.outcome import Outcome, Unreadable, is_new, judged
from wiring.changes.wanted import Wanted
from wiring.circuit.axes import Axis
from wiring.design.design import Design
from wiring.findings import Finding
from wiring.parts.elements import Draw
from wiring.plan.fault import Refusal
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rules import OF_LOADS, OF_STOPS
from wiring.solver.operating import OperatingPoint

#: More than this is told as such.
MOST_AXES = 16
Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class AxisRoom:
    """How many more of one axis; `limit` is the first finding with one more, "" where none came up to the most tried.

    `blocked` says what has no place for the signals or wires of one more.
    """

    motor: str
    count: int
    limit: str
    blocked: tuple[str, ...]


class _Axes:
    """Adds copies of one axis and looks for what is new; first without the rules that a number of axes rarely moves."""

    def __init__(self, base: Outcome, axis: Axis) -> None:
        self.base, self.motor = base, axis.motors[0].name
        self.parts = parts_of(self.base.design, axis)
        self.blocked = add_axes(self.base.design, self.parts, 1, Wanted()).unplaced
        self.outcomes: dict[int, Outcome] = {}

    def added(self, count: int) -> Outcome:
        if count not in self.outcomes:
            edits = add_axes(self.base.design, self.parts, count, Wanted()).edits
            self.outcomes[count] = self.base.changed(edits)
        return self.outcomes[count]

    def _new(self, count: int, slugs: Sequence[str]) -> str:
        found = judged(self.added(count).design, slugs).findings
        return next((_words(finding) for finding in found if is_new(finding, self.base.judged.findings)), "")

    def plain(self, count: int) -> str:
        """What is new with so many more, as far as no stop is played through."""
        return self._new(count, OF_LOADS)

    def of_stops(self, count: int) -> str:
        """What is new about stops with so many more."""
        return self._new(count, OF_STOPS)

    def wholly(self, count: int) -> str:
        return self.of_stops(count) or self.plain(count)

    def room(self) -> AxisRoom:
        count, limit = _most(self.plain, _guess(self.base.design, self.parts))
        if count and self.of_stops(count):
            count, limit = _most(self.wholly, 1)
        return AxisRoom(self.motor, count, limit, self.blocked)


def _words(finding: Finding) -> str:
    return f"{finding.rule}: {finding.summary}"


def _most(fault: Callable[[int], str], guess: int) -> tuple[int, str]:
    """The largest number without a fault and the fault of one more, sought from a guess on by doubling and halving."""
    low, high, limit = 0, MOST_AXES + 1, ""
    number, step = min(max(guess, 1), MOST_AXES), 1
    while high - low > 1:
        found = fault(number)
        low, high, limit = (low, number, found) if found else (number, high, limit)
        number = (low + high) // 2 if limit else min(low + step, MOST_AXES)
        step *= 2
    return low, limit


def _guess(design: Design, parts: AxisParts) -> int:
    """How many more the supply bears if each takes what this one takes; 1 where the mains feed it."""
    found = []
    for state, row in design.supplies.get(parts.supply, {}).items():
        free_a = (1.0 - KEPT_FREE) * row.available_a - row.current_a
        for point, spare_a in ((design.states[state], free_a), (design.peaks[state], row.limit_a - row.peak_a)):
            taken_a = _taken(parts, point)
            if taken_a > 0.0 and isfinite(spare_a):
                found.append(floor(spare_a / taken_a))
    return min(found, default=1)


def _taken(parts: AxisParts, point: OperatingPoint) -> float:
    """Current that the drive takes from its bus [A]."""
    drive = parts.axis.drive
    elements = enumerate(drive.elements)
    keys = [(drive.name, n) for n, one in elements if isinstance(one, Draw) and one.name == "bus"]
    amps = [abs(point.element_current(kind).get(key, 0.0)) for key in keys for kind in ("DC", "AC")]
    return max(amps, default=0.0)


def axis_rooms(base: Outcome, progress: Progress = lambda _: None) -> Iterator[AxisRoom]:
    """The number left of every axis that has a motor, each found by adding them and judging the plan."""
    for axis in base.design.axes.values():
        if not axis.motors:
            continue
        motor = axis.motors[0].name
        progress(motor)
        try:
            yield _Axes(base, axis).room()
        except (Refusal, Unreadable) as error:
            yield AxisRoom(motor, 0, "", (str(error).splitlines()[0],))
