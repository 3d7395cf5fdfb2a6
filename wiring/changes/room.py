"""How much is left: the load at each supply and feed, and the axes, up to the first limit; found by solving.

Where a limit may lie is read off first: a network answers a load nearly in proportion. Below that place the plan is
solved and judged; above it as well, where the limit is none that is read off exactly. What was read off wrongly is
searched by halving.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import inf

from msgspec import Struct, field
from msgspec.structs import replace

from wiring.changes.compare import Key, Values, values
from wiring.changes.outcome import Outcome, Unreadable
from wiring.changes.room_axes import AxisRoom, axis_rooms
from wiring.changes.taps import Tap, feed_taps, supply_taps
from wiring.changes.trial import Trials
from wiring.circuit.model import named
from wiring.design.design import Design
from wiring.plan.fault import Refusal
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rules import OF_LOADS

#: The search ends when the limit is known to this share, or to this many watts.
_SHARE, _LEAST_W = 0.01, 0.1
#: So far beside the place that was read off it is tried.
_BESIDE = 0.4 * _SHARE
#: More than this is told as such: watts times the first guess.
_DOUBLINGS = 12
Progress = Callable[[str], None]


class Room(Struct, frozen=True):
    """What is left at one supply or feed. `watts` more are carried without a new finding; `limit` says what comes then.

    `watts` is None where no limit was met; `used_w` is what it carries in its heaviest state, `average_w` with every
    axis weighed by its duty, `peak_w` with every moving axis accelerating (None at AC, where that is not solved).
    """

    sort: str
    name: str
    where: str
    used_w: float
    average_w: float
    peak_w: float | None
    watts: float | None
    limit: str

    @property
    def peaks(self) -> bool:
        """Whether its peak stands out from its heaviest state."""
        return self.peak_w is not None and self.peak_w > 1.01 * self.used_w

    @property
    def left_w(self) -> float | None:
        """`watts` to the figures that the search knows, downwards."""
        if self.watts is None:
            return None
        step = 0.1 if self.watts < 10.0 else 1.0 if self.watts < 200.0 else 5.0
        return step * int(self.watts / step + 1e-9)


class Rooms(Struct, frozen=True):
    """Everything that is left in a plan, and `base` with the findings that it has already, stops left out.

    `untried` says why supplies and feeds could not be loaded, "" where they were.
    """

    base: Outcome
    supplies: tuple[Room, ...]
    feeds: tuple[Room, ...]
    axes: tuple[AxisRoom, ...]
    untried: str = ""


class _Search(Struct):
    """Loads one tap: the largest load without anything new, the smallest with, and what is new then."""

    trials: Trials
    tap: Tap
    number: int
    low: float = 0.0
    high: float = inf
    limit: str = ""
    solved: dict[float, Design] = field(default_factory=dict)

    def attempt(self, watts: float) -> None:
        """Solves and judges a load that lies between the bounds and beside both of them."""
        if not self.low + 0.5 * _BESIDE * watts < watts < self.high * (1.0 - 0.5 * _BESIDE):
            return
        design = self.solved.get(watts) or self.trials.laden(self.number, watts)
        self.solved[watts] = design
        found = self.trials.fault(design)
        if found:
            self.high, self.limit = watts, found
        else:
            self.low = watts

    def beside(self, watts: float) -> None:
        """Tries both sides of a place."""
        self.attempt(watts * (1.0 - _BESIDE))
        self.attempt(watts * (1.0 + _BESIDE))

    @property
    def is_wide(self) -> bool:
        """Whether the bounds are farther apart than a limit must be known."""
        return self.high < inf and self.high - self.low > max(_SHARE * self.high, _LEAST_W)

    def below(self, place: Crossing) -> None:
        """Tries the near side of a place, and the far side where the limit there is not read off exactly."""
        if place.watts - self.low > _SHARE * place.watts:
            self.attempt(place.watts * (1.0 - _BESIDE))
        if not place.limit:
            self.attempt(place.watts * (1.0 + _BESIDE))
        elif self.low < place.watts < self.high:
            self.high, self.limit = place.watts, place.limit

    def room(self) -> Room:
        tap = self.tap
        self._bracket()
        while self.is_wide:
            for guess in self._crossings(self.low, self.high)[:1]:
                self.beside(guess.watts)
            if self.is_wide:
                self.attempt(0.5 * (self.low + self.high))
        where = f"{named(tap.plus)} and {named(tap.minus)}"
        watts = None if self.high == inf else self.low
        return Room(tap.sort, tap.name, where, tap.used_w, tap.average_w, tap.peak_w, watts, self.limit)

    def _bracket(self) -> None:
        """Finds a load at which something is new: near where the figures point, else by doubling."""
        start = min(self.tap.guesses, default=self.tap.volts) * (1.0 - _SHARE)
        self.solved[start] = self.trials.laden(self.number, start)
        for place in self._crossings(0.0, start):
            if place.watts <= 0.5 * start:
                continue
            if 0.0 < place.watts - start <= _SHARE * place.watts:  # what is solved already lies near enough
                self.attempt(start)
            self.below(place)
            if self.high < inf and self.low > 0.0:
                return
        self.attempt(start)
        if self.high < inf:
            return
        for n in range(_DOUBLINGS):
            self.attempt(max(self.tap.volts, 1.0) * 2.0**n)
            if self.high < inf:
                return

    def _crossings(self, first: float, then: float) -> list[Crossing]:
        """Where figures would meet their limits if they grew as they do between two loads, rising."""
        if (first and first not in self.solved) or then not in self.solved:
            return []
        before = values(self.solved[first]) if first else self.trials.values
        found = crossings(before, values(self.solved[then]), then - first)
        places = {Crossing(first + one.watts, one.limit) for one in found}
        return sorted(one for one in places if self.low < one.watts < self.high)


class Crossing(Struct, frozen=True, order=True):
    """A load at which a figure meets its limit [W]; `limit` says so where that alone is a limit, else it is ""."""

    watts: float
    limit: str = ""


def crossings(first: Values, then: Values, step: float) -> Iterator[Crossing]:
    """The multiples of `step` at which figures meet their limits, growing as they do from the first to the others."""
    for key, (value, limit) in then.items():
        before = first.get(key, (None, None))[0]
        if value is None or limit is None or before is None:
            continue
        rise, section = value - before, key[0]
        if section == "voltage":
            rise, before, limit = -rise, -before, -limit
        if section == "points" or rise <= 0.0:
            continue
        for share in (1.0 - KEPT_FREE, 1.0) if section == "supply" else (1.0,):
            if (at := step * (share * limit - before) / rise) > 0.0:
                yield Crossing(at, _limit(key, share, limit))


def _limit(key: Key, share: float, limit: float) -> str:
    """What a figure that meets its limit means, where no other figure decides with it."""
    section, name, state, _ = key
    if section == "supply" and share < 1.0:
        return f"supply-headroom-small: {name} has {100 * KEPT_FREE:.3g} % headroom in state {state}"
    return f"{name} carries {limit:.3g} A and is rated {limit:.3g} A" if section == "device" else ""


def room(base: Outcome, progress: Progress = lambda _: None) -> Rooms:
    """Watts left at every supply and feed, and the number left of every axis, each found by solving.

    A supply is loaded at its own terminals, a feed at the heaviest load behind its device. What a limit is: any finding
    at or above CAUTION that the plan does not have yet, a device or the building's one above its rating.
    """
    base = replace(base, slugs=OF_LOADS)
    rows: dict[str, list[Room]] = {"supply": [], "feed": []}
    untried = ""
    try:
        for row in _loaded(base, progress):
            rows[row.sort].append(row)
    except (Refusal, Unreadable) as error:
        untried = str(error).splitlines()[0]
    axes = axis_rooms(base, progress)
    return Rooms(base, tuple(rows["supply"]), tuple(rows["feed"]), tuple(axes), untried)


def _loaded(base: Outcome, progress: Progress) -> Iterator[Room]:
    taps = [*supply_taps(base.design), *feed_taps(base.design)]
    trials = Trials(base, taps)
    for number, tap in enumerate(taps):
        progress(tap.name)
        yield _Search(trials, tap, number).room()
