"""How many more of every axis a plan takes, up to the first finding."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import floor, isfinite

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import parts_of
from wiring.changes.outcome import Outcome, Unreadable, is_new, judged
from wiring.changes.wanted import Wanted
from wiring.circuit.axes import Axis
from wiring.design.design import Design
from wiring.findings import Finding
from wiring.plan.fault import Refusal
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rules import OF_LOADS, OF_STOPS
from wiring.sizing.asked import requirements, sorted_by_ladder
from wiring.sizing.engine import ladders_of
from wiring.sizing.ladder import Key

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

    def __init__(
        self, base: Outcome, axis: Axis, leasts: Mapping[Key, tuple[float, float]], told: dict[Hashable, str]
    ) -> None:
        self.leasts, self.told = leasts, told
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

    def stops(self, fault: Callable[[int], str]) -> str:
        """What one more brings about stops; axes with drives of one kind on one supply are asked once."""
        drive = self.parts.axis.drive
        key = (self.parts.supply, drive.kind, drive.library, tuple(sorted(self.states())))
        if key not in self.told:
            self.told[key] = fault(1)
        return self.told[key]

    def states(self) -> set[str]:
        """The states that name its motor."""
        return {state for state, entries in self.base.design.plan.states.items() if self.motor in entries}

    def wholly(self, count: int) -> str:
        return self.of_stops(count) or self.plain(count)

    def _guess(self) -> int:
        """How many more all sizes bear, if each asks as much more of them as the first does."""
        with_one = _leasts(self.added(1).design)
        found = [MOST_AXES]
        for key, (least, size) in self.leasts.items():
            more = with_one.get(key, (least, size))[0] - least
            if more > 1e-9 * least and isfinite(more) and size >= least:
                found.append(floor((size - least) / more + 1e-6))
        return min(found)

    def room(self) -> AxisRoom:
        count, limit = _most(self.plain, self._guess())
        if count and self.stops(self.of_stops):
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


def _leasts(design: Design) -> dict[Key, tuple[float, float]]:
    """What is asked of every size at least, and the size that is there."""
    ladders = ladders_of(design)
    items = {(one.quantity, name): one for one in ladders.values() for name in one.subjects}
    asked = sorted_by_ladder(requirements(design, KEPT_FREE), items)
    return {key: (one.least(firm=True), one.ladder.present.high) for key, one in asked.items()}


def axis_rooms(base: Outcome, progress: Progress = lambda _: None) -> Iterator[AxisRoom]:
    """The number left of every axis that has a motor, each found by adding them and judging the plan."""
    leasts, told = _leasts(base.design), dict[Hashable, str]()
    for axis in base.design.axes.values():
        if not axis.motors:
            continue
        motor = axis.motors[0].name
        progress(motor)
        try:
            yield _Axes(base, axis, leasts, told).room()
        except (Refusal, Unreadable) as error:
            yield AxisRoom(motor, 0, "", (str(error).splitlines()[0],))
