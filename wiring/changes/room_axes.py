"""How many more of every axis a plan takes, up to the first thing that is new with one more.

What its supply bears is read off the solved plan, or what every size bears off the requirements of two; there it is
judged with one axis more than that. What is added mends nothing, so with one less only the rules that spoke are asked
again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import cache

from msgspec import Struct
from msgspec.structs import replace

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import find_axis, parts_of
from wiring.changes.axis_guess import Leasts, guessed, leasts_of
from wiring.changes.outcome import Judged, Outcome, Unreadable, brought, judged
from wiring.changes.wanted import Wanted
from wiring.circuit.axes import Axis
from wiring.findings import Finding
from wiring.plan.fault import Refusal
from wiring.rules import OF_LOADS, OF_STOPS
from wiring.rules.run import tell

#: More than this is told as such.
MOST_AXES = 16
#: So many are added to read off what all sizes bear.
_FEW = 2
Progress = Callable[[str], None]


class AxisRoom(Struct, frozen=True):
    """How many more of one axis; `limit` is the first finding with one more, "" where none came up to the most tried.

    `blocked` says what has no place for the signals or wires of one more. Where that alone ends it, `borne` is how many
    all sizes bear, and `then` what would be new with one more than those.
    """

    motor: str
    count: int
    limit: str
    blocked: tuple[str, ...] = ()
    borne: int | None = None
    then: str = ""


class _Axes:
    """Adds copies of one axis and looks for what is new."""

    def __init__(self, base: Outcome, axis: Axis, leasts: Callable[[], Leasts]) -> None:
        self.base, self.motor, self.leasts = base, axis.motors[0].name, leasts
        self.parts = parts_of(base.design, axis)
        self.outcomes: dict[int, Outcome] = {}
        #: The rules that spoke with so many more.
        self.spoken: dict[int, tuple[str, ...]] = {}

    def added(self, count: int) -> Outcome:
        if count not in self.outcomes:
            edits = add_axes(self.base.design, self.parts, count, Wanted()).edits
            self.outcomes[count] = self.base.changed(edits)
        return self.outcomes[count]

    def of_loads(self, count: int) -> str:
        """What is new with so many more, as far as no stop is played through; asked of the rules that spoke above."""
        above = [more for more in self.spoken if more > count]
        told = tell(self.added(count).design, self.spoken[min(above)] if above else OF_LOADS)
        self.spoken[count] = tuple(slug for slug in OF_LOADS if any(slug == one.rule for one in told.findings))
        return _first_new(judged(self.added(count).design, self.spoken[count]), self.base)

    def of_stops(self, count: int) -> str:
        """What is new about stops with so many more."""
        return _new_about_stops(self.base, self.added(count))

    def _places(self) -> tuple[int, tuple[Finding, ...]]:
        """How many more find a place for all their signals and wires, and what one more than that does not find."""
        for count in range(1, MOST_AXES + 1):
            missing = add_axes(self.base.design, self.parts, count, Wanted()).missing
            if missing:
                return count - 1, missing
        return MOST_AXES, ()

    def _start(self) -> int:
        """One more than what the supplies bear, or else than what all sizes do: where the search begins."""
        borne = guessed(self.base.design, self.parts)
        if borne is None:
            borne = self.leasts().borne(leasts_of(self.added(_FEW).design), _FEW, MOST_AXES)
        return min(borne + 1, MOST_AXES)

    def room(self) -> AxisRoom:
        borne, then = _most(self.of_loads, self._start())
        places, missing = self._places()
        blocked = tuple(finding.summary for finding in missing) if places <= borne else ()
        if places < borne:
            return AxisRoom(self.motor, places, _words(missing[0]), blocked, borne, then)
        return AxisRoom(self.motor, borne, then, blocked)

    def with_stops(self, found: AxisRoom) -> AxisRoom:
        """What a number of them comes to where what is new about stops counts too."""
        if not self.of_stops(1):
            return found
        count, limit = _most(lambda more: self.of_stops(more) or self.of_loads(more), 1)
        return replace(found, count=count, limit=limit, blocked=(), borne=None, then="")


def _first_new(after: Judged, base: Outcome) -> str:
    return next((_words(one) for one in brought(base.judged, after)), "") if after.findings else ""


def _new_about_stops(base: Outcome, after: Outcome) -> str:
    """What is new about stops; the plan itself is asked by the rules that speak then alone."""
    after = replace(after, slugs=OF_STOPS)
    return _first_new(after.judged, base.judged_beside(after))


def _words(finding: Finding) -> str:
    return f"{finding.rule}: {finding.summary}"


def _most(fault: Callable[[int], str], start: int) -> tuple[int, str]:
    """The largest number without a fault and the fault of one more, sought from a start on by doubling and halving."""
    low, high, limit = 0, MOST_AXES + 1, ""
    number, step = start, 1
    while high - low > 1:
        found = fault(number)
        low, high, limit = (low, number, found) if found else (number, high, limit)
        if limit and low:
            number = (low + high) // 2
        else:
            number = max(number - step, 1) if found else min(number + step, MOST_AXES)
        step *= 2
    return low, limit


class _Machine:
    """All axes of a plan."""

    def __init__(self, base: Outcome, progress: Progress) -> None:
        self.base, self.progress = base, progress
        self.leasts = cache(lambda: leasts_of(base.design))
        self.axes: dict[str, _Axes] = {}

    def rooms(self) -> list[AxisRoom]:
        rows = [self._row(axis) for axis in self.base.design.axes.values() if axis.motors]
        growing = [row for row in rows if row.count]
        if not growing or not self._of_stops([row.motor for row in growing]):
            return rows
        return [self.axes[row.motor].with_stops(row) if row.count else row for row in rows]

    def _row(self, axis: Axis) -> AxisRoom:
        motor = axis.motors[0].name
        self.progress(motor)
        try:
            self.axes[motor] = _Axes(self.base, axis, self.leasts)
            return self.axes[motor].room()
        except (Refusal, Unreadable) as error:
            return AxisRoom(motor, 0, "", (str(error).splitlines()[0],))

    def _of_stops(self, motors: Sequence[str]) -> bool:
        """Whether one more of each of these brings anything about stops: all at once, for none mends what another
        brings."""
        self.progress("stops")
        outcome = self.base
        for motor in motors:
            parts = parts_of(outcome.design, find_axis(outcome.design, motor))
            outcome = outcome.changed(add_axes(outcome.design, parts, 1, Wanted()).edits)
        return bool(_new_about_stops(self.base, outcome))


def axis_rooms(base: Outcome, progress: Progress = lambda _: None) -> list[AxisRoom]:
    """The number left of every axis that has a motor, each found by adding them and judging the plan."""
    return _Machine(base, progress).rooms()
