"""From readings to causes: every single fault ranked by how well it explains all readings together.

Faults that no reading tells apart are one group.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from heapq import heappop, heappush
from itertools import combinations
from math import exp, inf, log

from msgspec import Struct, field

from wiring.powerup.causes import PRIOR, Cause, both, can_join
from wiring.powerup.predict import Predictor
from wiring.powerup.reading import EXPLAINED, Reading, look_prediction, misfit
from wiring.powerup.step import Setting

#: Faults this much worse than the best are out; groups are faults closer than `SAME`.
OUT, SAME = 9.0, 0.5
#: A cause whose misfit is this much above the best one's is out whatever its prior.
_REACH = OUT - log(min(PRIOR.values()))
_MOST_PAIRS = 150
_OF_EACH = 14

#: What is being done, how far it is, of how much.
Progress = Callable[[str, int, int], None]


class Ranked(Struct, frozen=True):
    """A cause with its misfit over all readings, its share of what remains, and the worst explained wrong reading."""

    cause: Cause
    misfit: float
    share: float
    worst: float


class Group(Struct, frozen=True):
    """Causes that the readings so far do not tell apart."""

    members: tuple[Ranked, ...]

    @property
    def share(self) -> float:
        """How likely one of them is, among all that remain."""
        return sum(one.share for one in self.members)


class Answer(Struct, frozen=True):
    """The wrong readings and the groups of causes, the likeliest first; `explained` False when no cause of the kind
    that was tried explains them, `pairs` True when two faults at once were tried."""

    wrong: tuple[Reading, ...]
    groups: tuple[Group, ...]
    explained: bool
    pairs: bool = False

    @property
    def remaining(self) -> tuple[Ranked, ...]:
        """Every cause that is still in, the likeliest first."""
        return tuple(one for group in self.groups for one in group.members)


class _Course(Struct):
    """A cause on its way through the readings: its misfit so far, that of the worst wrong reading, and the settings
    that wait for a simulation."""

    cause: Cause
    total: float = 0.0
    worst: float = 0.0
    next: int = 0
    steps: int = 0
    waiting: list[int] = field(default_factory=list)

    def take(self, readings: Sequence[Reading], values: Sequence[float]) -> None:
        """Readings of one setting, and what the cause predicts for them."""
        for reading, predicted in zip(readings, values, strict=True):
            miss = misfit(reading.line, predicted, reading.value)
            self.total += miss
            if reading.is_wrong:
                self.worst = max(self.worst, miss)


class Diagnosis:
    """Readings collected, and every cause held against them."""

    def __init__(self, predictor: Predictor) -> None:
        self.predictor = predictor
        self.readings: list[Reading] = []

    def add(self, readings: Iterable[Reading]) -> None:
        """More readings."""
        self.readings += readings

    @property
    def wrong(self) -> tuple[Reading, ...]:
        """The readings outside of their limits."""
        return tuple(reading for reading in self.readings if reading.is_wrong)

    def predict(self, cause: Cause, reading: Reading) -> float:
        """What a cause predicts for a reading."""
        found = self._predicted(cause, reading.line.setting, [reading], simulate=True)
        assert found is not None
        return found[0]

    def _predicted(
        self, cause: Cause, setting: Setting | None, readings: Sequence[Reading], *, simulate: bool
    ) -> list[float] | None:
        """What a cause predicts for readings in one position; None where only a simulation tells and none is wanted."""
        predictor = self.predictor
        if setting is None:
            return [look_prediction(cause, reading.line) for reading in readings]
        if not simulate and predictor.quick(cause, setting) is None:
            return None
        known = predictor.readings(cause, setting) if setting in predictor.by_setting else ()
        found = []
        for reading in readings:
            place = predictor.places.get(id(reading.line))
            found.append(known[place] if place is not None else predictor.read(cause, setting, [reading.line])[0])
        return found

    def answer(self, progress: Progress | None = None) -> Answer:
        """The causes, single faults first and pairs only when no single one explains the readings."""
        if not self.wrong:
            return Answer((), (), True)
        if not any(reading.is_judged for reading in self.wrong):
            return Answer(self.wrong, (), False)
        ranked = self._rank(self.predictor.causes, progress)
        if ranked and ranked[0].worst <= EXPLAINED:
            return Answer(self.wrong, _grouped(ranked), True)
        pairs = self._rank(self._pairs(ranked), progress, "two faults at once")
        if pairs and pairs[0].worst <= EXPLAINED:
            return Answer(self.wrong, _grouped(pairs), True, True)
        return Answer(self.wrong, _grouped(ranked), False, True)

    def _order(self) -> list[tuple[Setting | None, list[Reading]]]:
        """Readings by setting, the cheap ones first: looks, resistances, settings with wrong readings, then the rest;
        last the measurements that the sheet does not have, when few causes are left to compute them for."""
        by: dict[tuple[Setting | None, bool], list[Reading]] = {}
        for reading in filter(lambda one: one.is_judged, self.readings):
            line = reading.line
            extra = line.setting is not None and id(line) not in self.predictor.places
            by.setdefault((line.setting, extra), []).append(reading)

        def cost(entry: tuple[tuple[Setting | None, bool], list[Reading]]) -> tuple[bool, bool, bool, int]:
            (setting, extra), mine = entry
            wrong = any(reading.is_wrong for reading in mine)
            return extra, setting is not None and setting.mains, not wrong, len(setting.events) if setting else 0

        return [(setting, mine) for (setting, _), mine in sorted(by.items(), key=cost)]

    def _rank(self, causes: Sequence[Cause], progress: Progress | None, what: str = "single faults") -> list[Ranked]:
        """The causes that are not far behind the best, the best first.

        The cause that fits best so far goes on to the next setting, until all that are left fit worse than one that
        went through all: a cause is given up at the first readings that contradict it.
        """
        order = self._order()
        queue = [(0.0, 0, n, _Course(cause)) for n, cause in enumerate(causes)]
        through: list[_Course] = []
        best = inf
        while queue and queue[0][0] <= best + _REACH:
            _, _, n, course = heappop(queue)
            if self._advance(course, order):
                best = min(best, course.total)
                through.append(course)
                if progress:
                    progress(what, len(through), len(through) + len(queue))
            else:
                heappush(queue, (course.total, course.steps, n, course))
        return _ranked(through)

    def _advance(self, course: _Course, order: Sequence[tuple[Setting | None, list[Reading]]]) -> bool:
        """Hold a cause against the readings of its next setting; whether it has been through all.

        Settings that need a simulation come after all others.
        """
        simulate = course.next >= len(order)
        if simulate and not course.waiting:
            return True
        place = course.waiting.pop(self._cheapest(course, order)) if simulate else course.next
        course.next += 0 if simulate else 1
        course.steps += 1
        setting, readings = order[place]
        values = self._predicted(course.cause, setting, readings, simulate=simulate)
        if values is None:
            course.waiting.append(place)
        else:
            course.take(readings, values)
        return course.next >= len(order) and not course.waiting

    def _cheapest(self, course: _Course, order: Sequence[tuple[Setting | None, list[Reading]]]) -> int:
        """Which of the settings that wait for a simulation asks for the least of it."""
        cost = [self.predictor.events_to_simulate(course.cause, order[place][0]) for place in course.waiting]
        return cost.index(min(cost))

    def _pairs(self, ranked: Sequence[Ranked]) -> list[Cause]:
        """Two faults at once: each explains some of the wrong readings."""
        explaining: list[list[Cause]] = []
        for reading in filter(lambda one: one.is_judged, self.wrong):
            fits = [
                (misfit(reading.line, self.predict(cause, reading), reading.value), -cause.prior, cause.id, cause)
                for cause in self._worth(reading)
            ]
            explaining.append([entry[3] for entry in sorted(fits, key=lambda entry: entry[:3])[:_OF_EACH]])
        chosen: dict[str, Cause] = {}
        groups = [*explaining, [one.cause for one in ranked[:_OF_EACH]]]
        for first, second in combinations(groups, 2):
            for one in first:
                for other in second:
                    if one.id != other.id and can_join(one, other) and len(chosen) < _MOST_PAIRS:
                        pair = both(*sorted((one, other), key=lambda cause: cause.id))
                        chosen.setdefault(pair.id, pair)
        return list(chosen.values())

    def _worth(self, reading: Reading) -> list[Cause]:
        setting = reading.line.setting
        if setting is None:
            return [cause for cause in self.predictor.causes if cause.looks]
        known = setting in self.predictor.by_setting
        sound = self.predictor.sound(setting) if known else ()
        return [cause for cause in self.predictor.causes if not known or self.predictor.quick(cause, setting) != sound]


def _ranked(through: Sequence[_Course]) -> list[Ranked]:
    scores = [course.total - log(course.cause.prior) for course in through]
    best = min(scores, default=0.0)
    kept = [(course, exp(best - score)) for course, score in zip(through, scores, strict=True) if score <= best + OUT]
    total = sum(weight for _, weight in kept)
    found = [Ranked(course.cause, course.total, weight / total, course.worst) for course, weight in kept]
    return sorted(found, key=lambda one: (round(one.misfit, 6), -one.cause.prior, one.cause.id))


def _grouped(ranked: Sequence[Ranked]) -> tuple[Group, ...]:
    """Neighbours in the ranking that misfit alike."""
    groups: list[list[Ranked]] = []
    for one in ranked:
        if groups and one.misfit - groups[-1][0].misfit <= SAME:
            groups[-1].append(one)
        else:
            groups.append([one])
    return tuple(Group(tuple(sorted(group, key=lambda one: -one.share))) for group in groups)
