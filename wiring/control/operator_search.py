"""In which positions of the other operators something may be alive: all of them at once, halved until logic decides."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence, Set
from itertools import chain, combinations

from msgspec import Struct

from wiring.control.in_step import Steps
from wiring.control.operator_halves import AT_REST, Answers, Half, Named, Seen, Trials, View, looked_at
from wiring.solver.assembly import Actuator

#: Halves of one fault that may be open at once; where there are more, logic does not end, and each position is tried on
#: its own: all of them where they are no more than these for all such faults of a device, else one and two operators.
_MOST, _ALL = 64, 1024
_TWO = 2
#: Faults that are asked by which operator to halve, for all whose operators stand alike.
_ASKED = 4
#: Cases up to which a run is filled with halves that may be asked for next.
_FILL = 150


class Search(Struct, frozen=True):
    """The positions of each fault in which something is or may be alive, the fewest operators first. Of a fault that is
    `cut_off` only those with one or two operators worked."""

    seen: Mapping[str, Sequence[Seen]]
    cut_off: frozenset[str]


def search_positions(trials: Trials) -> Steps[dict[str, Search]]:
    """By device every position in which something may be alive, by halves: one operator after the other at rest and
    worked.

    What is dead wherever the other operators stand is dead in each of their positions; what is alive so is alive with
    them at rest. A fault that logic leaves open for another reason than its operators is not halved.
    """
    search = _Search(trials)
    yield from search.run()
    whole = _to_the_end(trials, search.cut_off)
    alone = yield from _each_alone(trials, sorted(search.cut_off), whole)
    search.cut_off -= whole
    for named, some in alone.items():
        known = {one.changed for one in some}
        search.found[named] = [*some, *(one for one in search.found[named] if one.certain and one.changed not in known)]
    return {device: _told(search, device, one.faults) for device, one in trials.tried.items()}


def _told(search: _Search, device: str, names: Iterable[str]) -> Search:
    """What was found under one device, the fewest operators first."""
    told = {
        name: sorted(search.found[device, name], key=lambda one: (len(one.changed), sorted(one.changed)))
        for name in names
    }
    return Search(told, frozenset(name for name in told if (device, name) in search.cut_off))


class _Search:
    """The search at work. `ahead` are open halves, each with how everything answers there.

    Where an operator changes no answer, its worked half is put off: it is looked at only when nothing comes of the
    other one, since what hangs on no operator is the same in both.
    """

    def __init__(self, trials: Trials) -> None:
        self.trials = trials
        self.found: dict[Named, list[Seen]] = {
            (device, name): [] for device, one in trials.tried.items() for name in one.faults
        }
        self.cut_off = trials.unruly()
        self.ahead: dict[Named, list[tuple[Half, Answers]]] = {}
        self.put_off: dict[Named, list[tuple[Half, Answers]]] = {}
        #: Halves that were looked at: where they are seen, None where nothing is alive.
        self.known: dict[Half, tuple[View, int] | None] = {}

    def run(self) -> Steps[None]:
        trials = self.trials
        for view, n, half in (yield from looked_at(trials, trials.whole())):
            if half.free and view.unruly >> n & 1:
                self.cut_off.add(half[:2])
            else:
                self._take(view, n, half)
        ranks = yield from _ranked(trials, chain(*self.ahead.values()))
        while self.ahead:
            parents = [one for some in self.ahead.values() for one in some]
            self.ahead = {}
            pieces = {half: _pieces(half, ranks[half[:2]]) for half, _ in parents}
            yield from self._look(pieces, ranks)
            for half, answers in parents:
                self._follow(pieces[half], answers)
            self._turn()

    def _look(self, pieces: Mapping[Half, tuple[Half, Half]], ranks: Mapping[Named, Sequence[Actuator]]) -> Steps[None]:
        """Look at pieces that are not known, and in the same run, where few are asked for, at those that come next if
        the operators in turn change nothing: a run costs as much as a hundred cases."""
        asked = [both for both in pieces.values() if both[0] not in self.known]
        found = [one for both in asked for one in both]
        room = _FILL // len(self.trials.orders) - len(found)
        while room > 0:
            asked = [_pieces(rest, ranks[rest[:2]]) for rest, _ in asked if rest.free]
            room -= 2 * len(asked)
            if not asked or room < 0:
                break
            found += [one for both in asked for one in both if one not in self.known]
        self.known.update(dict.fromkeys(found))
        seen = yield from looked_at(self.trials, found)
        self.known.update({one: (view, n) for view, n, one in seen})

    def _take(self, view: View, n: int, half: Half) -> None:
        """Note an open half that is at its end, else look further into it."""
        if view.certain >> n & 1 or not half.free:
            self.found[half[:2]].append(view.seen(n, half.changed))
        else:
            self.ahead.setdefault(half[:2], []).append((half, view.answers(n)))

    def _follow(self, pieces: Sequence[Half], answers: Answers) -> None:
        seen = [(*found, half) for half in pieces if (found := self.known[half]) is not None]
        alike = len(seen) == 2 and all(view.answers(n) == answers for view, n, _ in seen)
        for view, n, half in seen[:1] if alike else seen:
            self._take(view, n, half)
        if alike and pieces[1].free:
            self.put_off.setdefault(pieces[1][:2], []).append((pieces[1], answers))

    def _turn(self) -> None:
        """Give up what is too much, and go back to what was put off where nothing came of the rest."""
        for named in [named for named, some in self.ahead.items() if len(some) > _MOST]:
            self.cut_off.add(named)
            del self.ahead[named]
        for named in [named for named in self.put_off if named not in self.ahead]:
            if not self.found[named] and named not in self.cut_off:
                self.ahead[named] = self.put_off[named]
            del self.put_off[named]


def _ranked(trials: Trials, ahead: Iterable[tuple[Half, Answers]]) -> Steps[dict[Named, Sequence[Actuator]]]:
    """For each fault the operators in the order in which to halve: first those that leave the fewest halves open, as
    some of the faults that answer alike in the first order of the coils tell."""
    alike: dict[Hashable, list[Half]] = {}
    for half, answers in ahead:
        alike.setdefault((half.device, answers[0]), []).append(half)
    asked = {
        (piece, actuator): key
        for key, some in alike.items()
        for half in some[:_ASKED]
        for actuator in sorted(half.free)
        for piece in _pieces(half, (actuator,))
    }
    open_: dict[tuple[Hashable, Actuator], int] = {}
    seen = yield from looked_at(trials, [piece for piece, _ in asked], trials.orders[:1])
    still = {half for _, _, half in seen}
    for (piece, actuator), key in asked.items():
        open_[key, actuator] = open_.get((key, actuator), 0) + (piece in still)
    found: dict[Named, Sequence[Actuator]] = {}
    for key, some in alike.items():
        ranked = sorted(some[0].free, key=lambda actuator: (open_[key, actuator], actuator))
        found |= {half[:2]: ranked for half in some}
    return found


def _pieces(half: Half, ranked: Sequence[Actuator]) -> tuple[Half, Half]:
    """A half in two, by the first operator that it leaves free."""
    actuator = next(one for one in ranked if one in half.free)
    free = half.free - {actuator}
    return half._replace(free=free), half._replace(changed=half.changed | {actuator}, free=free)


def _to_the_end(trials: Trials, names: Set[Named]) -> set[Named]:
    """The faults of which every position can be tried for itself."""
    count = Counter(device for device, _ in names)
    return {named for named in names if count[named[0]] * 2 ** len(trials.others(named[0])) <= _ALL}


def _each_alone(trials: Trials, names: Sequence[Named], whole: Set[Named]) -> Steps[dict[Named, list[Seen]]]:
    """The open positions with none or one operator worked, where there is none of these with two, and so with all of
    them where a fault is tried as a `whole`."""
    found: dict[Named, list[Seen]] = {named: [] for named in names}
    others = {device: sorted(trials.others(device)) for device in {device for device, _ in names}}
    most = max((len(others[device]) for device, _ in whole), default=0)
    for sizes in ((0, 1), (2,), range(3, most + 1)):
        moved = {
            device: [frozenset(few) for size in sizes for few in combinations(some, size)]
            for device, some in others.items()
        }
        open_ = [named for named in names if not found[named] and (named in whole or max(sizes, default=0) <= _TWO)]
        halves = [Half(*named, changed, AT_REST) for named in open_ for changed in moved[named[0]]]
        for view, n, half in (yield from looked_at(trials, halves)):
            found[half[:2]].append(view.seen(n, half.changed))
    return found
