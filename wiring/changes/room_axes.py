"""How many more of every axis a plan takes, up to the first finding."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from math import floor, isfinite

from msgspec import Struct

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import parts_of
from wiring.changes.outcome import Outcome, Unreadable, is_new, judged
from wiring.changes.wanted import Wanted
from wiring.circuit.axes import Axis
from wiring.design.design import Design
from wiring.findings import Finding
from wiring.parts.elements import Draw
from wiring.plan.fault import Refusal
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rules import OF_LOADS, OF_STOPS
from wiring.sizing.asked import requirements, sorted_by_ladder
from wiring.sizing.engine import UNITS, ladders_of
from wiring.sizing.ladder import Key

#: More than this is told as such.
MOST_AXES = 16
#: What is asked must be above a size by this share to be told without a proof.
_NEAR = 0.01
Progress = Callable[[str], None]


class AxisRoom(Struct, frozen=True):
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
        self, base: Outcome, axis: Axis, leasts: Mapping[Key, tuple[float, float, str]], told: dict[Hashable, str]
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

    def _by_supply(self) -> int:
        """How many more their supply bears by what one takes of it now, 1 at least: where the guess begins."""
        design, drive, found = self.base.design, self.parts.axis.drive, [MOST_AXES]
        bus = [(n, e) for n, e in enumerate(drive.elements) if isinstance(e, Draw) and e.name == "bus"]
        for state, row in design.supplies.get(self.parts.supply, {}).items():
            free_a = (1.0 - KEPT_FREE) * row.available_a - row.current_a
            for point, left_a in ((design.states[state], free_a), (design.peaks[state], row.limit_a - row.peak_a)):
                amps = sum(abs(point.element_current(e.kind).get((drive.name, n), 0.0)) for n, e in bus)
                if amps > 0.0 and isfinite(left_a):
                    found.append(floor(left_a / amps))
        return max(min(found), 1)

    def _guess(self) -> tuple[int, str]:
        """How many more all sizes bear, if each asks as much more of them as the others; and what one more asks.

        The latter is "" where that is a near miss.
        """
        first = self._by_supply()
        with_some = _leasts(self.added(first).design)
        found = [(MOST_AXES, "")]
        for key, (least, size, _) in self.leasts.items():
            after, _, rule = with_some.get(key, (least, size, ""))
            more = (after - least) / first
            if more > 1e-9 * least and isfinite(more) and size >= least:
                count = floor((size - least) / more + 1e-6)
                asked, unit = least + (count + 1) * more, UNITS[key[0]]
                words = f"{rule}: {key[1]} has {size:.4g} {unit} and should have {asked:.4g} {unit}"
                found.append((count, words if asked > size * (1.0 + _NEAR) else ""))
        return min(found)

    def room(self) -> AxisRoom:
        guess, words = self._guess()
        if words and 0 < guess < MOST_AXES and not self.plain(guess):
            count, limit = guess, words
        else:
            count, limit = _most(self.plain, guess)
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


def _leasts(design: Design) -> dict[Key, tuple[float, float, str]]:
    """What is asked of every size at least, the size that is there, and the rule that asks."""
    ladders = ladders_of(design)
    items = {(one.quantity, name): one for one in ladders.values() for name in one.subjects}
    asked = sorted_by_ladder(requirements(design, KEPT_FREE), items)
    rules = {key: ask.rule if (ask := one.by_least(firm=True)) else "" for key, one in asked.items()}
    return {key: (one.least(firm=True), one.ladder.present.high, rules[key]) for key, one in asked.items()}


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
