"""Coils and units that hold themselves as they are, in or out: nothing in a plan says which it is while the machine
runs, and every mixture of them is a start of its own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, combinations, count
from math import comb

from msgspec.structs import replace

from wiring.control.bits import places
from wiring.control.inject import Case
from wiring.control.net import Net
from wiring.control.parallel_fault_simulation import MomentState, ParallelSimulation
from wiring.control.script import StopUse
from wiring.effort import spend
from wiring.solver.assembly import Actuator

#: Coils that are tried in every mixture; of more, some in which any two of them stand in every way, and, of not too
#: many, what is one away from the state.
_EVERY, _ONE = 10, 60
#: Mixtures that are looked at in numbers, and those that are all of them starts; of more, so many that any two coils
#: stand in every way that they ever do.
_PLAYED, _STARTS = 128, 16
Coils = frozenset[Actuator]


def mixtures(net: Net, use: StopUse) -> tuple[Coils, tuple[Coils, ...]]:
    """The coils and units that may be in as well as out, and every set of them that is in together, the others out,
    with the whole machine running on; without that of the state itself."""
    movers = {path.moved_by for path in net.paths}
    coils = frozenset(actuator for actuator in _actuators(net) if actuator in movers)
    if not coils or not use.devices:
        return frozenset(), ()
    either = replace(use, out=use.out - coils, either=coils)
    rest = _sights(net, use, [either])
    on = dict(zip(_actuators(net), rest.coils, strict=True))
    surely = frozenset(coil for coil in coils if on[coil][0] & 1)
    free, needed = _needed(net, use, either, sorted(coil for coil in coils - surely if on[coil][1] & 1))
    now = free - use.out
    always = surely | needed
    spend(len(free) * len(coils))
    tried = [some for some in dict.fromkeys(_subsets(sorted(free), now)) if some != now]
    starts = [replace(use, out=(use.out | coils) - always - some) for some in tried]
    seen = _sights(net, use, [use, *starts])
    stays = dict(zip(_actuators(net), seen.coils, strict=True))
    found = [
        tried[n - 1]
        for n in _running(seen, len(tried) + 1)
        if all(stays[coil][1] >> n & 1 for coil in needed | tried[n - 1])
        and not any(stays[coil][0] >> n & 1 for coil in free - tried[n - 1])
    ]
    return free, tuple(found if len(found) <= _PLAYED else _in_twos(found, sorted(free), now))


def as_starts(found: Sequence[Coils], free: Coils, now: Coils) -> Sequence[Coils]:
    """Of mixtures of the coils that are `free` those to start from, `now` beside them."""
    return found if len(found) <= _STARTS else _in_twos(found, sorted(free), now)


def _actuators(net: Net) -> list[Actuator]:
    return [coil.actuator for coil in net.coils] + [unit.outputs for unit in net.units]


def _sights(net: Net, use: StopUse, starts: Sequence[StopUse]) -> MomentState:
    """The machine at rest from several starts, each a case."""
    cases = [Case(use.devices[0], ())] * len(starts)
    return ParallelSimulation(net, cases, use, [(one, 1) for one in starts]).running()


def _running(seen: MomentState, count: int) -> list[int]:
    """The cases in which everything may be alive that is so in the first one."""
    runs = (1 << count) - 2
    for _, perhaps in seen.targets:
        runs &= perhaps if perhaps & 1 else runs
    return places(runs)


def _needed(net: Net, use: StopUse, either: StopUse, held: Sequence[Actuator]) -> tuple[Coils, Coils]:
    """Of coils that hold themselves those without which the machine may run on however the others stand, and those
    without which it does not."""
    spend(len(held) * len(either.either))
    without = [replace(either, out=either.out | {coil}, either=either.either - {coil}) for coil in held]
    runs = _running(_sights(net, use, [use, *without]), len(held) + 1)
    free = frozenset(held[n - 1] for n in runs)
    return free, frozenset(held) - free


def _subsets(coils: Sequence[Actuator], now: Coils) -> Iterator[Coils]:
    if len(coils) <= _EVERY:
        yield from map(frozenset, chain.from_iterable(combinations(coils, n) for n in range(len(coils) + 1)))
        return
    yield from (frozenset(), frozenset(coils))
    wide = next(n for n in count(2, 2) if comb(n, n // 2) >= len(coils))
    words = list(zip(coils, combinations(range(wide), wide // 2), strict=False))  # no word holds another
    for place in range(wide):
        yield frozenset(coil for coil, word in words if place in word)
    if len(coils) <= _ONE:
        yield from (now ^ {coil} for coil in coils)


def _in_twos(found: Sequence[Coils], coils: Sequence[Actuator], now: Coils) -> list[Coils]:
    """Some of the sets, in which any two coils stand in every way in which they do in any of them, or `now`."""

    def ways(some: Coils) -> set[tuple[tuple[Actuator, bool], ...]]:
        return set(combinations([(coil, coil in some) for coil in coils], min(2, len(coils))))

    shown, chosen = ways(now), list[Coils]()
    left = {some: ways(some) for some in found}
    while any(left[some] - shown for some in left):
        new = max(left, key=lambda some: len(left[some] - shown))
        chosen.append(new)
        shown |= left.pop(new)
    return chosen
