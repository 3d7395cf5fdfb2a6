"""Which position of the other operators makes a fault dangerous, where the screen with all of them free is open."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence

from msgspec.structs import replace

from wiring.control.bits import mask
from wiring.control.in_step import Steps, Wanted
from wiring.control.inject import TOGETHER, Case, Order
from wiring.control.net import Net
from wiring.control.operator_halves import AT_REST, Changed, Seen, Trials, Tried
from wiring.control.operator_search import Search, search_positions
from wiring.control.script import Moment, StopUse
from wiring.control.sound import SoundStop, alive_without_fault
from wiring.control.verdicts import SHORT, UNREST, FaultVerdict, Verdict
from wiring.control.without_volts import LetGo, none_lets_go

#: Why a fault stays open whatever numbers say of the positions that were tried.
TOO_MANY = "it may take three or more other operators at once, in more positions than are tried"


def in_positions(
    net: Net,
    use: StopUse,
    verdicts: Mapping[str, Sequence[FaultVerdict]],
    sounds: Sequence[SoundStop],
    orders: Sequence[Order] = (TOGETHER,),
    *,
    while_stopped: bool = False,
    let_go: LetGo = none_lets_go,
) -> Steps[dict[str, list[FaultVerdict]]]:
    """The verdicts by device, the undecided ones tried in every position of the other operators, in the same runs;
    coils that volts `let_go` are off meanwhile.

    What is certain in any of these is dangerous, with its operators; what stays open keeps the positions to be played
    in numbers; what is alive in none is safe. All faults come while the machine runs, or `while_stopped`.
    """
    tried = {}
    for sound in sounds:
        some = verdicts[sound.device]
        open_ = {one.like or one.fault.id: (one.fault,) for one in some if one.verdict is Verdict.UNDECIDED}
        if open_:
            # A main switch that stands apart is at rest in the screen, and free here.
            unruly = frozenset(one.like or one.fault.id for one in some if one.reason and not use.apart)
            off = {name: coils for name, (fault,) in open_.items() if (coils := let_go(sound.device, fault))}
            tried[sound.device] = Tried(open_, alive_without_fault(sound), unruly & open_.keys() - off.keys(), off)
    if not tried:
        return {device: list(some) for device, some in verdicts.items()}
    search = yield from search_positions(Trials(net, use, tried, orders, while_stopped=while_stopped))
    return {
        device: [_decided(one, search[device]) if one.verdict is Verdict.UNDECIDED else one for one in some]
        for device, some in verdicts.items()
    }


def runs_at_rest(
    net: Net, use: StopUse, verdicts: Mapping[str, Sequence[FaultVerdict]], sounds: Sequence[SoundStop], order: Order
) -> Steps[dict[str, list[FaultVerdict]]]:
    """The verdicts by device with `runs` as it is with nobody at the other operators, where it was open with hands
    anywhere."""
    open_ = {
        (device, one.like or one.fault.id): one.fault
        for device, some in verdicts.items()
        for one in some
        if one.runs and not one.keeps
    }
    places = {named: n for n, named in enumerate(open_)}
    if not places:
        return {device: list(some) for device, some in verdicts.items()}
    cases = [Case(device, (fault,), order) for (device, _), fault in open_.items()]
    [result] = yield [Wanted(net, use, cases)]
    seen = result.seen
    running = (1 << len(cases)) - 1
    for sound in sounds:
        others = mask((n for n, case in enumerate(cases) if case.device != sound.device), len(cases))
        for moment in (Moment.FAULT, Moment.AGAIN) if sound.again else (Moment.FAULT,):
            for target, (_, perhaps) in zip(net.targets, seen[moment].targets, strict=True):
                running &= perhaps | others if target.name in sound.running else running

    def at_rest(device: str, one: FaultVerdict) -> FaultVerdict:
        if not one.runs or one.keeps:
            return one
        return replace(one, runs=bool(running >> places[device, one.like or one.fault.id] & 1))

    return {device: [at_rest(device, one) for one in some] for device, some in verdicts.items()}


def _decided(one: FaultVerdict, search: Search) -> FaultVerdict:
    name = one.like or one.fault.id
    seen = search.seen[name]
    # Where logic does not end at all, positions of two operators stand for more of them.
    logical = not any(item.race or item.restless or item.short for item in seen)
    partly = name in search.cut_off and logical
    if not seen:
        word = Verdict.UNSEEN if one.runs and one.traced else Verdict.SAFE
        if not partly:
            return replace(one, verdict=word, moment=None, alive=(), reason="", race=False)
        return replace(one, reason=TOO_MANY, partly=True)
    certain = next((item for item in seen if item.certain), None)
    hit = certain or seen[0]
    moment, alive = hit.first
    return replace(
        one,
        verdict=Verdict.DANGEROUS if certain else Verdict.UNDECIDED,
        moment=moment,
        alive=alive,
        reason=UNREST if hit.restless else SHORT if hit.short else "",
        race=hit.race,
        operators=tuple(sorted(hit.changed)),
        positions=() if certain else _unlike(seen),
        partly=partly,
    )


def _unlike(seen: Sequence[Seen]) -> tuple[Changed, ...]:
    """The first position of each that answer alike."""
    found: dict[Hashable, Changed] = {}
    for item in seen:
        found.setdefault(item.answers, item.changed)
    return tuple(found.values())


def plays(one: FaultVerdict) -> Iterator[Changed]:
    """The positions of the operators in which a verdict is played in numbers."""
    yield from one.positions or (frozenset(one.operators) if one.operators else AT_REST,)
