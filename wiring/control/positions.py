"""Which position of the other operators makes a fault dangerous, where the screen with all of them free is open."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from wiring.control.fault_record import Fault
from wiring.control.inject import TOGETHER, Case, Order
from wiring.control.net import Net
from wiring.control.parallel_fault_simulation import ParallelSimulation, SimulationResult
from wiring.control.script import MUST_BE_DEAD, Moment, StopUse
from wiring.control.sound import AT_REST, Changed, SoundStop, alive_without_fault, pair_positions, single_positions
from wiring.control.verdicts import SHORT, UNREST, FaultVerdict, Verdict

#: Cases in one run, over all its sources.
_WIDTH = 120_000
_TOO_MANY = "it may take three or more other operators at once"


@dataclass(frozen=True, slots=True)
class _Seen:
    """What one position of the operators does with a fault: certain or open, when, what is alive, what answers."""

    changed: Changed
    certain: bool
    race: bool
    moment: Moment | None
    alive: tuple[str, ...]
    reason: str
    answers: Hashable


def in_positions(
    net: Net, use: StopUse, verdicts: Sequence[FaultVerdict], sound: SoundStop, orders: Sequence[Order] = (TOGETHER,)
) -> list[FaultVerdict]:
    """The verdicts with the undecided ones tried with the operators at rest, then each worked, then two and all.

    What is certain in any of these is dangerous, with its operators; what stays open keeps the positions to be played
    in numbers; what is alive in none is safe.
    """
    open_ = {one.like or one.fault.id: one.fault for one in verdicts if one.verdict is Verdict.UNDECIDED}
    told: dict[str, list[_Seen]] = {}
    for positions in (single_positions, pair_positions):
        left = {name: fault for name, fault in open_.items() if not told.get(name)}
        told.update(_tried(net, use, left, sound, positions(use, sound.device), orders))
    few = len(single_positions(use, sound.device)) <= 3
    found = []
    for one in verdicts:
        if one.verdict is Verdict.UNDECIDED:
            one = _decided(one, told[one.like or one.fault.id], few=few)
        found.append(one)
    return found


def _decided(one: FaultVerdict, seen: Sequence[_Seen], *, few: bool) -> FaultVerdict:
    if not seen:
        word = Verdict.UNSEEN if one.runs and one.traced else Verdict.SAFE
        if few:
            return replace(one, verdict=word, moment=None, alive=(), reason="", race=False)
        return replace(one, reason=_TOO_MANY, settled=True)
    certain = next((item for item in seen if item.certain), None)
    hit = certain or seen[0]
    return replace(
        one,
        verdict=Verdict.DANGEROUS if certain else Verdict.UNDECIDED,
        moment=hit.moment,
        alive=hit.alive,
        reason=hit.reason,
        race=hit.race,
        operators=tuple(sorted(hit.changed)),
        positions=() if certain else _unlike(seen),
    )


def _unlike(seen: Sequence[_Seen]) -> tuple[Changed, ...]:
    """The first position of each that answer alike."""
    found: dict[Hashable, Changed] = {}
    for item in seen:
        found.setdefault(item.answers, item.changed)
    return tuple(found.values())


def _tried(
    net: Net,
    use: StopUse,
    faults: Mapping[str, Fault],
    sound: SoundStop,
    positions: Sequence[Changed],
    orders: Sequence[Order],
) -> dict[str, list[_Seen]]:
    """For every fault, the positions in which something is or may be alive that must be dead."""
    found: dict[str, list[_Seen]] = {name: [] for name in faults}
    if not positions:
        return found
    width = max(_WIDTH // max(len(net.sources), 1) // len(positions), 1)
    names = list(faults)
    for start in range(0, len(names), width):
        chunk = names[start : start + width]
        cases = [(name, changed) for name in chunk for changed in positions]
        runs = [
            ParallelSimulation(
                net, [Case(sound.device, (faults[name],), order, changed) for name, changed in cases], use
            ).run()
            for order in orders
        ]
        judge = _judge(net, use, sound, runs)
        for n, (name, changed) in enumerate(cases):
            seen = judge(n, changed)
            if seen is not None:
                found[name].append(seen)
    return found


def _judge(
    net: Net, use: StopUse, sound: SoundStop, runs: Sequence[SimulationResult]
) -> Callable[[int, Changed], _Seen | None]:
    taken = alive_without_fault(sound)
    wanted = {target.name for target in use.targets}
    rows = [
        (moment, target.name, [run.seen[moment].targets[n] for run in runs])
        for moment in MUST_BE_DEAD
        for n, target in enumerate(net.targets)
        if target.name in wanted and target.name not in taken[moment]
    ]

    def at(n: int, changed: Changed) -> _Seen | None:
        restless = any(run.unstable >> n & 1 for run in runs)
        short = any(run.collapsing >> n & 1 for run in runs)
        sure = [(moment, name) for moment, name, ons in rows if any(on[0] >> n & 1 for on in ons)]
        open_ = [(moment, name) for moment, name, ons in rows if any(on[1] >> n & 1 for on in ons)]
        race = any(len({(on[0] >> n & 1, on[1] >> n & 1) for on in ons}) > 1 for _, _, ons in rows)
        if not open_ and not restless and not short and not race:
            return None
        certain = bool(sure) and not short
        told = sure if certain else open_
        first = told[0][0] if told else None
        alive = tuple(name for moment, name in told if moment is first)
        answers = tuple(run.answers(n) for run in runs)
        return _Seen(changed, certain, race, first, alive, UNREST if restless else SHORT if short else "", answers)

    return at


def plays(one: FaultVerdict) -> Iterator[Changed]:
    """The positions of the operators in which a verdict is played in numbers."""
    yield from one.positions or (frozenset(one.operators) if one.operators else AT_REST,)
