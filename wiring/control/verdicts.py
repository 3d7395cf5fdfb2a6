"""What a fault does to a stop, in one word, with what it leaves alive; first from the screen, then from the numbers."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from functools import reduce
from operator import and_

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.fault_record import Fault
from wiring.control.parallel_fault_simulation import SimulationResult
from wiring.control.screening import Screening
from wiring.control.script import MUST_BE_DEAD, Moment, StopUse
from wiring.control.sound import SoundStop, alive_without_fault
from wiring.solver.assembly import Actuator

#: Why logic leaves a case open.
UNREST = "contacts never come to rest"
SHORT = "a contact closes a short circuit that nothing limits"


class Verdict(StrEnum):
    """What becomes of a stop with a fault.

    Unseen: the stop still works and the machine runs on, though a coil answers otherwise; second faults are not tried
    yet. Hidden: the same, and they are tried: the next one is dangerous.
    """

    SAFE = "safe"
    UNSEEN = "unseen"
    HIDDEN = "hidden"
    DANGEROUS = "dangerous"
    UNDECIDED = "undecided"


class FaultVerdict(Struct, frozen=True):
    """One fault under one stop device. `alive` are targets that are fed at `moment`, where they must be dead.

    `runs` tells that the machine still runs and starts with it, `keeps` that it does so for certain. `traced` tells
    that coils answer otherwise than without it. `settled` tells that numbers, not only logic, say so. `next` are second
    faults that make it dangerous. `like` is the first fault that does the same to the circuit. `operators` must be
    worked while the stop is in for the danger to show; `positions` of them are to be played in numbers, all there are
    unless `partly`. `while_stopped`: the fault comes with the stop in; `later` is the same fault coming so, where that
    is not safe either.
    """

    fault: Fault
    device: str
    verdict: Verdict
    moment: Moment | None = None
    alive: tuple[str, ...] = ()
    runs: bool = False
    keeps: bool = False
    traced: bool = False
    settled: bool = False
    race: bool = False
    reason: str = ""
    next: tuple[str, ...] = ()
    like: str = ""
    operators: tuple[Actuator, ...] = ()
    positions: tuple[frozenset[Actuator], ...] = ()
    partly: bool = False
    while_stopped: bool = False
    later: FaultVerdict | None = None


class _View(Struct, frozen=True):
    """Runs of a screening seen for one stop and device: `wanted` targets by place. The first case is that without a
    fault; `bits` are all of them."""

    runs: Sequence[SimulationResult]
    wanted: tuple[int, ...]
    bits: int

    def pick(self, moment: Moment, target: int, *, sure: bool) -> int:
        """The cases in which a target is alive for certain (sure), or perhaps, in the worst order of the contacts."""
        total = 0
        for seen in self.runs:
            total |= seen.seen[moment].targets[target][0 if sure else 1]
        return total

    def differ(self, moment: Moment, target: int) -> int:
        """The cases in which the order of the contacts decides whether a target is alive."""
        first, *others = [seen.seen[moment].targets[target] for seen in self.runs]
        found = 0
        for on in others:
            found |= (first[0] ^ on[0]) | (first[1] ^ on[1])
        return found


def _view(screening: Screening, use: StopUse, device: str, while_stopped: bool) -> _View:
    names = [target.name for target in screening.net.targets]
    wanted = tuple(names.index(target.name) for target in use.targets)
    first = screening.first(device)
    runs = screening.while_stopped if while_stopped else screening.screened
    mine = [run.part(first, screening.width) for run in runs]
    return _View(mine, wanted, (1 << screening.width) - 1)


def screened_verdicts(
    screening: Screening, use: StopUse, sound: SoundStop, *, while_stopped: bool = False
) -> list[FaultVerdict]:
    """The verdicts on every fault under one device, as far as the screen can tell."""
    view = _view(screening, use, sound.device, while_stopped)
    names = [target.name for target in screening.net.targets]
    taken = alive_without_fault(sound)
    danger: dict[Moment, list[tuple[str, int, int]]] = {}
    sure = perhaps = race = 0
    for moment in MUST_BE_DEAD:
        for n in view.wanted:
            if names[n] in taken[moment]:
                continue
            certain, maybe = view.pick(moment, n, sure=True), view.pick(moment, n, sure=False)
            danger.setdefault(moment, []).append((names[n], certain, maybe))
            race |= view.differ(moment, n)
            sure, perhaps = sure | certain, perhaps | maybe
    unstable = collapsing = 0
    for screened in view.runs:
        unstable |= screened.unstable
        collapsing |= screened.collapsing
    runs, keeps = _runs(view, names, sound)
    traced = _traced(view)
    moved = screening.moved[while_stopped] >> screening.first(sound.device)
    found = []
    for fault in screening.faults:
        rank = screening.rank[fault.id]
        at = 1 << rank
        verdict = (
            Verdict.DANGEROUS
            if sure & ~collapsing & at
            else Verdict.UNDECIDED
            if (perhaps | unstable | race | moved) & at
            else Verdict.SAFE
        )
        if verdict is Verdict.SAFE and keeps & traced & at:
            verdict = Verdict.UNSEEN
        when, alive = _first(danger, at, certain=verdict is Verdict.DANGEROUS) if perhaps & at else (None, ())
        reason = UNREST if unstable & at else SHORT if collapsing & at else ""
        found.append(
            FaultVerdict(
                fault,
                sound.device,
                verdict,
                when,
                alive,
                bool(runs & at),
                bool(keeps & at),
                bool(traced & at),
                race=bool(race & at),
                reason=reason,
                like=screening.unlike[rank - 1].id if rank else "",
                while_stopped=while_stopped,
            )
        )
    return found


def _first(
    danger: dict[Moment, list[tuple[str, int, int]]], at: int, *, certain: bool
) -> tuple[Moment | None, tuple[str, ...]]:
    for moment, rows in danger.items():
        alive = tuple(name for name, sure, perhaps in rows if (sure if certain else perhaps) & at)
        if alive:
            return moment, alive
    return None, ()


def _runs(view: _View, names: list[str], sound: SoundStop) -> tuple[int, int]:
    """The cases in which everything that ran still runs, and starts again if it did so without the fault: perhaps, in
    any order of the contacts, and for certain, in each order in which the machine without a fault does so."""
    moments = (Moment.FAULT, Moment.AGAIN) if sound.again else (Moment.FAULT,)
    running = [n for n in view.wanted if names[n] in sound.running]
    runs, keeps = 0, view.bits
    for screened in view.runs:
        ons = [screened.seen[moment].targets[n] for moment in moments for n in running]
        sure, perhaps = (reduce(and_, [on[half] for on in ons], view.bits) for half in (0, 1))
        runs |= perhaps
        keeps &= sure if perhaps & 1 else view.bits
    return runs, keeps & runs


def _traced(view: _View) -> int:
    """The cases in which a coil or target answers otherwise than in the case without a fault."""
    different = 0
    for moment in (Moment.FAULT, Moment.STOP, Moment.RELEASE, Moment.AGAIN, Moment.MAINS_ON):
        sight = view.runs[0].seen[moment]
        for on in (*sight.coils, *sight.targets):
            for bits in on:
                different |= bits ^ view.bits if bits & 1 else bits
    return different


def at_worst(early: FaultVerdict, later: FaultVerdict) -> FaultVerdict:
    """The worse of a fault that comes while the machine runs and the same one coming with the stop in."""
    if early.verdict is Verdict.DANGEROUS or later.verdict not in (Verdict.DANGEROUS, Verdict.UNDECIDED):
        return early
    later = replace(later, runs=early.runs, keeps=early.keeps, traced=early.traced)
    return replace(early, later=later) if early.verdict is Verdict.UNDECIDED else later
