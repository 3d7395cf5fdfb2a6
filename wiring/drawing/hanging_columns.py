"""The columns of a distribution: one for every wire that runs down, in an order in which nothing has to cross."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import permutations

from msgspec import Struct, field

from wiring.drawing.problem import End, Spot
from wiring.drawing.rails import Distribution

#: Of so many lines every order is tried; that one more unit hangs is worth fewer crossings than this.
_MOST_ORDERED, _WORTH = 4, 4


class Columns(Struct):
    """Columns from left to right; the column of every hanging lane and of every end that leaves downwards."""

    order: list[int] = field(default_factory=list)
    of_lane: dict[Spot, int] = field(default_factory=dict)
    of_end: dict[End, int] = field(default_factory=dict)

    def new(self, after: int | None = None, before: int | None = None) -> int:
        """A fresh column beside another one, or at the right."""
        column = len(self.order)
        if after is not None:
            self.order.insert(self.order.index(after) + 1, column)
        elif before is not None:
            self.order.insert(self.order.index(before), column)
        else:
            self.order.append(column)
        return column


def _feeders_first(names: Sequence[str], edges: Iterable[tuple[str, str]]) -> list[str]:
    """The names so that every edge leads forwards; edges that would close a ring are left out."""
    behind: dict[str, set[str]] = {name: set() for name in names}

    def reaches(start: str, end: str) -> bool:
        return start == end or any(reaches(following, end) for following in behind[start])

    for a, b in edges:
        if not reaches(b, a):
            behind[a].add(b)
    rest, done = list(names), []
    while rest:
        free = next(name for name in rest if not any(name in behind[other] for other in rest))
        done.append(free)
        rest.remove(free)
    return done


def levels_of(made: Distribution) -> dict[str, int]:
    """How deep every unit hangs: 0 on a line, one below the deepest that feeds it."""
    levels = {unit.id: 0 for unit in made.hanging}
    for _ in made.hanging:
        for spot, (_, source) in made.feeds.items():
            levels[spot[0]] = max(levels[spot[0]], levels[source[0]] + 1)
        for spot, (_, source) in made.beside.items():
            levels[spot[0]] = max(levels[spot[0]], levels[source[0]])
    return levels


def columns_of(made: Distribution) -> Columns:
    """A column for every lane: that of the wire which feeds it, or one of its own.

    What hangs on lower lines alone comes first, so that these end before drops from upper lines would cross them; or
    the lines take another order in which more can hang, or drops cross fewer lines.
    """
    lines = range(len(made.lines))
    orders = [tuple(reversed(lines)), *(permutations(lines) if len(lines) <= _MOST_ORDERED else ())]
    tried = [_in_order(made, order) for order in orders]
    return min(tried, key=lambda one: _crossed(made, one) + _WORTH * len(unfit(made, one)))


def _crossed(made: Distribution, found: Columns) -> int:
    """How often drops from lines cross those below them."""
    at = {column: n for n, column in enumerate(found.order)}
    places = [[at[found.of_lane[spot]] for spot in line.taps] for line in made.lines]
    return sum(n < max(lower) for k, own in enumerate(places) for n in own for lower in places[k + 1 :])


def _in_order(made: Distribution, order: Sequence[int]) -> Columns:
    found = Columns()
    upper: dict[str, int] = {}
    for n, line in enumerate(made.lines):
        for spot in line.taps:
            upper.setdefault(spot[0], n)
    names = sorted((unit.id for unit in made.hanging), key=lambda name: order.index(upper.get(name, 0)))
    along = [
        (a[0], b[0]) for line in made.lines for a, b in zip(line.taps, line.taps[1:], strict=False) if a[0] != b[0]
    ]
    down = [(source[0], spot[0]) for spot, (_, source) in made.feeds.items()]
    along += [(source[0], spot[0]) for spot, (_, source) in made.beside.items()]
    units = {unit.id: unit for unit in made.hanging}
    for name in _feeders_first(names, [*down, *along]):
        _place_lanes(found, made, name, len(units[name].lanes))
    return found


def _place_lanes(found: Columns, made: Distribution, name: str, count: int) -> None:
    known = [found.of_end[made.feeds[name, lane][0]] if (name, lane) in made.feeds else None for lane in range(count)]
    last = next((_last_of(found, made.beside[name, n][1][0]) for n in range(count) if (name, n) in made.beside), None)
    for lane, column in enumerate(known):
        if column is None:
            following = next((other for other in known[lane + 1 :] if other is not None), None)
            column = found.new(last) if last is not None else found.new(before=following)
        found.of_lane[name, lane] = column
        last = column
        ends = _main_first(made, name, lane)
        found.of_end |= dict.fromkeys(ends[:1], column)
        for end in ends[1:]:  # at the first of several lanes to the left, so that what all lanes feed stands together
            outwards = lane == 0 and count > 1
            found.of_end[end] = found.new(before=column) if outwards else found.new(last)
            last = last if outwards else found.of_end[end]


def _last_of(found: Columns, name: str) -> int:
    """The rightmost column of a unit and of what leaves it is left to those that follow; this is that of its lanes."""
    return max((column for spot, column in found.of_lane.items() if spot[0] == name), key=found.order.index)


def _main_first(made: Distribution, name: str, lane: int) -> list[End]:
    """The ends that leave a lane downwards, first the one to the unit that most lanes lead to."""
    fed = {source: spot[0] for spot, source in made.feeds.items()}
    lanes = [fed[pair] for pair in made.below[name] if pair in fed]
    ends = [pair for pair in made.below[name] if pair[1][1] == lane]
    return [end for end, _ in sorted(ends, key=lambda pair: -lanes.count(fed.get(pair, "")))]


def unfit(made: Distribution, found: Columns) -> set[str]:
    """Units whose columns are not side by side in the order of their lanes, and taps left of the one before them.

    What ends above a unit may stand between its columns.
    """
    levels = levels_of(made)
    at = {column: n for n, column in enumerate(found.order)}
    wrong: set[str] = set()
    drops = _drops(made, found, at, levels)
    for unit in made.hanging:
        own = [at[found.of_lane[unit.id, lane]] for lane in range(len(unit.lanes))]
        slots = {at[found.of_end[end]] for end, _ in made.below[unit.id]}
        among = set(range(own[0], own[-1] + 1)) - set(own) - slots
        if own != sorted(set(own)) or any(n in among and depth >= levels[unit.id] for n, depth in drops):
            wrong.add(unit.id)
    for line in made.lines:
        places = [at[found.of_lane[spot]] for spot in line.taps]
        wrong |= {spot[0] for spot, one, two in zip(line.taps[1:], places, places[1:], strict=False) if two <= one}
    return wrong | _hidden(made, found, at, levels)


def _drops(
    made: Distribution, found: Columns, at: Mapping[int, int], levels: Mapping[str, int]
) -> list[tuple[int, int]]:
    """How deep what hangs and what leaves it reaches, each with its place."""
    fed = {end: levels[spot[0]] for spot, (end, _) in made.feeds.items()}
    foot = max(levels.values(), default=0) + 1
    drops = [(at[column], levels[spot[0]]) for spot, column in found.of_lane.items()]
    return drops + [(at[found.of_end[end]], fed.get(end, foot)) for ends in made.below.values() for end, _ in ends]


def _hidden(made: Distribution, found: Columns, at: Mapping[int, int], levels: Mapping[str, int]) -> set[str]:
    """Units fed from beside that hang deeper than their neighbour, or behind a wire that runs down between them."""
    drops = [(at[column], levels[spot[0]]) for spot, column in found.of_lane.items()]
    drops += [(at[found.of_end[end]], levels[name] + 1) for name, ends in made.below.items() for end, _ in ends]
    wrong = set()
    for spot, (_, source) in made.beside.items():
        level = levels[source[0]]
        first, last = at[_last_of(found, source[0])], at[found.of_lane[spot[0], 0]]
        if levels[spot[0]] != level or any(first < n < last and depth <= level for n, depth in drops):
            wrong.add(spot[0])
    return wrong


def clusters(made: Distribution, found: Columns) -> list[list[int]]:
    """The columns in runs that some unit holds together."""
    at = {column: n for n, column in enumerate(found.order)}
    joined = set()
    for unit in made.hanging:
        own = [at[found.of_lane[unit.id, lane]] for lane in range(len(unit.lanes))]
        own += [at[found.of_end[end]] for end, _ in made.below[unit.id]]
        joined |= set(range(min(own), max(own)))
    for spot, (_, source) in made.beside.items():
        joined |= set(range(at[found.of_lane[source]], at[found.of_lane[spot]]))
    runs: list[list[int]] = [[]]
    for n, column in enumerate(found.order):
        if n and n - 1 not in joined:
            runs.append([])
        runs[-1].append(column)
    return [run for run in runs if run]
