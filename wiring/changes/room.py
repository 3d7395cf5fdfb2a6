"""How much is left: the load at each supply and feed, and the axes, up to the first limit; found by solving."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from functools import cached_property
from math import inf

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import parts_of
from wiring.changes.compare import device_loads, rating_of
from wiring.changes.edits import AddEntry, AddItem, Edit
from wiring.changes.mends import new_findings
from wiring.changes.outcome import Outcome, Unreadable, is_about_stops, judged
from wiring.changes.suggest import is_new
from wiring.changes.taps import Tap, feed_taps, supply_taps
from wiring.changes.wanted import Wanted
from wiring.circuit.axes import Axis
from wiring.circuit.model import named
from wiring.design.demands import Demands, Moment
from wiring.design.design import Design
from wiring.findings import Finding
from wiring.parts.elements import Draw, Feed
from wiring.plan.fault import Refusal
from wiring.rules import SLUGS
from wiring.solver.assembly import Demand

#: The trial load's name; a plan does not use it.
_TRIAL = "TRIAL-LOAD"
#: The search ends when the limit is known to this share, or to this many watts.
_SHARE, _LEAST_W = 0.01, 0.1
#: More than this is told as such: watts times the first guess, and axes.
_DOUBLINGS, MOST_AXES = 12, 16
_TRIED = tuple(slug for slug in SLUGS if not is_about_stops(slug))
#: What a load does not change is taken over from the plan without it.
_SAME = (
    "lowered",
    "roles",
    "nets",
    "axes",
    "guards",
    "written",
    "cables",
    "power_rails",
    "power_nodes",
    "short_circuits",
)
Progress = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Room:
    """What is left at one supply or feed. `watts` more are carried without a new finding; `limit` says what comes then.

    `watts` is None where no limit was met; `used_w` is what it carries in its heaviest state.
    """

    sort: str
    name: str
    where: str
    used_w: float
    watts: float | None
    limit: str


@dataclass(frozen=True, slots=True)
class AxisRoom:
    """How many more of one axis; `limit` is the first finding with one more, "" where none came up to the most tried.

    `blocked` says what has no place for the signals or wires of one more.
    """

    motor: str
    count: int
    limit: str
    blocked: tuple[str, ...]


@dataclass(frozen=True)
class Rooms:
    """Everything that is left in a plan, and the findings that it has already."""

    base: Outcome
    supplies: tuple[Room, ...]
    feeds: tuple[Room, ...]
    axes: tuple[AxisRoom, ...]


@dataclass(frozen=True)
class _Laden(Design):
    """A design with one load that takes what is asked."""

    trial_w: float = 0.0
    key: tuple[str, int] = ("", 0)

    def demands(self, state: str, moment: Moment) -> Demands:
        asked = super().demands(state, moment)
        return Demands({**asked.demand, self.key: Demand(self.trial_w)}, asked.off, asked.assumed)


@dataclass
class _Search:
    """Loads one tap more and more until something new is found."""

    base: Outcome
    tap: Tap
    before: tuple[Finding, ...] = field(default_factory=tuple)

    @cached_property
    def design(self) -> Design:
        voltage = f"{self.tap.volts:g} V {self.tap.kind}"
        anchor = list(self.base.design.parts)[-1]
        load = f"{{kind: load, rated: {voltage} 1 W, at: machine, metal: false}}"
        ends = ((self.tap.plus, "1"), (self.tap.minus, "2"))
        edits: list[Edit] = [AddEntry(("parts",), _TRIAL, load, anchor)]
        edits += [
            AddItem(("wires",), f'{{wire: {_TRIAL}{end}, from: "{named(node)}", to: "{_TRIAL}:{end}", length: 0.1 m}}')
            for node, end in ends
        ]
        return self.base.changed(edits).design

    def laden(self, watts: float) -> Design:
        design = self.design
        n = next(n for n, e in enumerate(design.parts[_TRIAL].elements) if isinstance(e, Draw))
        found = _Laden(design.reading, design.plan, design.parts, design.circuit, design.only_state, watts, (_TRIAL, n))
        for name in _SAME:
            found.__dict__[name] = getattr(design, name)
        return found

    def fault(self, watts: float) -> str:
        """What is new at that load, "" where nothing is."""
        design = self.laden(watts)
        for finding in judged(design, _TRIED).findings:
            if is_new(finding, self.before) and not _about_trial(finding):
                return f"{finding.rule}: {finding.summary}"
        return _overrated(design, self.base.design)

    def room(self) -> Room:
        tap = self.tap
        self.before = judged(self.laden(0.0), _TRIED).findings
        watts, limit = self._largest()
        where = f"{named(tap.plus)} and {named(tap.minus)}"
        return Room(tap.sort, tap.name, where, tap.used_w, watts, limit)

    def _largest(self) -> tuple[float | None, str]:
        """Brackets the limit, first around what the ratings suggest, then by doubling; and halves the bracket."""
        low, high, limit = 0.0, inf, ""
        starts = [watts * (1.0 + side * 0.4 * _SHARE) for watts in self.tap.guesses for side in (1, -1)]
        for watts in [*starts, *(max(self.tap.volts, 1.0) * 2.0**n for n in range(_DOUBLINGS))]:
            if high < inf and watts not in starts:
                break
            if low < watts < high:
                found = self.fault(watts)
                low, high, limit = (low, watts, found) if found else (watts, high, limit)
        if high == inf:
            return None, ""
        while high - low > max(_SHARE * high, _LEAST_W):
            middle = 0.5 * (low + high)
            found = self.fault(middle)
            low, high, limit = (low, middle, found) if found else (middle, high, limit)
        return low, limit


def _about_trial(finding: Finding) -> bool:
    return all(subject.startswith(_TRIAL) for subject in finding.subjects)


def _overrated(design: Design, before: Design) -> str:
    """A device, or that of the building, that carries more than its rating and did not before."""
    loads, first = device_loads(design), device_loads(before)
    for name, load_a in loads.items():
        rating_a = rating_of(design, name)
        if rating_a is not None and load_a > rating_a >= first.get(name, 0.0):
            return f"{name} carries {load_a:.3g} A and is rated {rating_a:.3g} A"
    upstream = design.plan.mains.upstream if design.plan.mains else None
    if upstream is None:
        return ""
    now, then = _mains_a(design), _mains_a(before)
    if now > upstream.rating >= then:
        return f"the {upstream.kind} of the building carries {now:.3g} A and is rated {upstream.rating:.3g} A"
    return ""


def _mains_a(design: Design) -> float:
    """The largest current of a line of the inlet [A]."""
    ends = [(part.name, e.terminal) for part, e in design.circuit.elements(Feed) if isinstance(e, Feed)]
    wires = [wire.id for end in ends for wire in design.circuit.conductors_at(end)]
    return max((design.conductors[wire].current_a for wire in wires if wire in design.conductors), default=0.0)


class _Axes:
    """Adds copies of one axis and looks for what is new; first without the rules that a number of axes rarely moves."""

    def __init__(self, base: Outcome, axis: Axis) -> None:
        self.base, self.motor = base, axis.motors[0].name
        self.parts = parts_of(base.design, axis)
        self.before = judged(base.design, _TRIED).findings
        self.blocked = add_axes(base.design, self.parts, 1, Wanted()).unplaced

    def added(self, count: int) -> Outcome:
        return self.base.changed(add_axes(self.base.design, self.parts, count, Wanted()).edits)

    def quickly(self, count: int) -> str:
        return _first(f for f in judged(self.added(count).design, _TRIED).findings if is_new(f, self.before))

    def wholly(self, count: int) -> str:
        return _first(new_findings(self.base, self.added(count)))

    def room(self) -> AxisRoom:
        count, limit = _most(self.quickly)
        if count and self.wholly(count):
            count, limit = _most(self.wholly)
        return AxisRoom(self.motor, count, limit, self.blocked)


def _first(findings: Iterable[Finding]) -> str:
    return next((f"{finding.rule}: {finding.summary}" for finding in findings), "")


def _most(fault: Callable[[int], str]) -> tuple[int, str]:
    """The largest number without a fault, by doubling and halving, and the fault of one more."""
    low, high = 0, 1
    while not (limit := fault(high)):
        low, high = high, 2 * high
        if low >= MOST_AXES:
            return low, ""
    while high - low > 1:
        middle = (low + high) // 2
        found = fault(middle)
        low, high, limit = (low, middle, found) if found else (middle, high, limit)
    return low, limit


def room(base: Outcome, progress: Progress = lambda _: None) -> Rooms:
    """Watts left at every supply and feed, and the number left of every axis, each found by solving.

    A supply is loaded at its own terminals, a feed at the heaviest load behind its device. What a limit is: any finding
    at or above CAUTION that the plan does not have yet, a device or the building's one above its rating.
    """
    rows: dict[str, list[Room]] = {"supply": [], "feed": []}
    for tap in [*supply_taps(base.design), *feed_taps(base.design)]:
        progress(tap.name)
        try:
            rows[tap.sort].append(_Search(base, tap).room())
        except (Refusal, Unreadable):
            continue  # a list of wires in a file of its own takes no trial load
    axes = []
    for axis in base.design.axes.values():
        if axis.motors:
            progress(axis.motors[0].name)
            try:
                axes.append(_Axes(base, axis).room())
            except (Refusal, Unreadable) as error:
                axes.append(AxisRoom(axis.motors[0].name, 0, "", (str(error).splitlines()[0],)))
    return Rooms(base, tuple(rows["supply"]), tuple(rows["feed"]), tuple(axes))
