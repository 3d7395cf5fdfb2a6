"""The verdict in numbers, where logic leaves it open or reports a danger."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from msgspec.structs import replace

from wiring.control.condition import Condition
from wiring.control.fault_record import Fault
from wiring.control.inject import TOGETHER, Order
from wiring.control.numeric_simulation import Snapshot, run_either_way, run_script
from wiring.control.operator_halves import Alive
from wiring.control.positions import TOO_MANY, plays
from wiring.control.script import MUST_BE_DEAD, Moment, StopUse
from wiring.control.sound import SoundStop, alive_without_fault
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.solver.operating import OperatingPoint


def settled(
    verdict: FaultVerdict,
    use: StopUse,
    sound: SoundStop,
    running: OperatingPoint,
    programs: bool,
    orders: Sequence[Order] = (TOGETHER,),
) -> FaultVerdict:
    """The same fault played in numbers: in every order of contacts, and with outputs of programs on and off."""
    taken = alive_without_fault(sound)
    every_order, orders = orders, orders if verdict.race else orders[:1]
    stopped = verdict.while_stopped
    conditions = [
        Condition(order, changed=changed, while_stopped=stopped) for changed in plays(verdict) for order in orders
    ]
    if programs:
        conditions += [
            Condition(outputs_on=False, changed=changed, while_stopped=stopped) for changed in plays(verdict)
        ]
    played = _played(running, use, verdict.device, (verdict.fault,), conditions)
    outcomes = [seen for _, seen in played]
    reason = _restless(outcomes)
    hits = [(danger_in(seen, taken), seen) for seen in outcomes]
    hit, doubt, place = _worst(hits)
    own_race = verdict.race and not sound.faster  # that of the machine itself is told without a fault
    race = own_race and len({danger[1] for danger, _ in hits[: len(orders)]}) > 1
    runs = verdict.runs if stopped else _runs(outcomes[0], sound)
    word = Verdict.SAFE if hit[0] is None else Verdict.UNDECIDED if doubt else Verdict.DANGEROUS
    if word is Verdict.SAFE and (reason or verdict.partly):
        word, reason = Verdict.UNDECIDED, reason or TOO_MANY
    if word is Verdict.SAFE and verdict.later is not None:
        later = replace(verdict.later, runs=runs)
        return settled(later, use, sound, running, programs, every_order)
    if word is Verdict.SAFE and runs and verdict.traced:
        word = Verdict.UNSEEN
    return replace(
        verdict,
        verdict=word,
        moment=hit[0],
        alive=hit[1],
        runs=runs,
        settled=True,
        race=race,
        reason=reason or doubt,
        operators=tuple(sorted(played[place][0].changed)) if hit[0] is not None else (),
        positions=(),
        later=None,
    )


def _runs(seen: Seen, sound: SoundStop) -> bool:
    """Whether everything that ran still runs, and starts again if it did so without the fault."""
    moments = (Moment.FAULT, Moment.AGAIN) if sound.again else (Moment.FAULT,)
    return all(set(sound.running) <= set(seen[moment].alive) for moment in moments)


def runs_on(running: OperatingPoint, use: StopUse, sound: SoundStop, fault: Fault) -> bool:
    """Whether the machine runs on with a fault, and starts again, in numbers: so that nobody sees it."""
    return _runs(run_script(running, use, sound.device, (fault,)), sound)


def condition_of(verdict: FaultVerdict) -> Condition:
    """What a run assumes to show a verdict: which operators are worked, and when the fault comes."""
    return Condition(changed=frozenset(verdict.operators), while_stopped=verdict.while_stopped)


def pair_in_numbers(
    running: OperatingPoint, use: StopUse, device: str, pair: Sequence[Fault], taken: Alive, programs: bool
) -> Verdict:
    """Whether two faults together defeat a stop, outputs of programs on and, where that is safe, off: dangerous, safe
    or undecided."""
    outcomes: list[Seen] = []
    for condition in (Condition(), *([Condition(outputs_on=False)] if programs else [])):
        outcomes += [seen for _, seen in _played(running, use, device, pair, [condition])]
        hit, doubt, _ = _worst([(danger_in(seen, taken), seen) for seen in outcomes])
        if hit[0] is not None and not doubt:
            return Verdict.DANGEROUS
    return Verdict.UNDECIDED if hit[0] is not None or _restless(outcomes) else Verdict.SAFE


Seen = Mapping[Moment, Snapshot]


def _played(
    running: OperatingPoint, use: StopUse, device: str, faults: Sequence[Fault], conditions: Sequence[Condition]
) -> list[tuple[Condition, Seen]]:
    """The sequence under each condition; where a network had no operating point, with its supplies letting go too."""

    def play(some: Iterable[Condition]) -> list[tuple[Condition, Seen]]:
        return [
            (as_played, seen) for one in some for as_played, seen in run_either_way(running, use, device, faults, one)
        ]

    outcomes = play(conditions)
    if any(shot.doubt for _, seen in outcomes for shot in seen.values()):
        outcomes += play(replace(one, carried=False) for one in conditions)
    return outcomes


def _restless(outcomes: Sequence[Seen]) -> str:
    """Why something never came to rest; empty where everything did."""
    return next((shot.reason for seen in outcomes for shot in seen.values() if shot.reason), "")


Danger = tuple[Moment | None, tuple[str, ...]]


def _worst(hits: Sequence[tuple[Danger, Seen]]) -> tuple[Danger, str, int]:
    """The first danger that is beyond doubt, else the first, with the doubt about it and its place.

    A network without operating point is looked at with its supplies carrying on and with them letting go: what is dead
    both times is dead, what is alive in one of them is open.
    """
    found: tuple[Danger, str, int] = ((None, ()), "", 0)
    for n, (danger, seen) in enumerate(hits):
        moment = danger[0]
        if moment is None:
            continue
        steady = any(name in seen[moment].steady for name in danger[1])
        doubt = _doubt_before(seen, moment) or ("" if steady else seen[moment].reason)
        if not doubt:
            return danger, "", n
        if found[0][0] is None:
            found = danger, doubt, n
    return found


def _doubt_before(seen: Seen, moment: Moment) -> str:
    """Why a network had no operating point, at some moment up to the one in question."""
    for at, shot in seen.items():
        if shot.doubt:
            return shot.doubt
        if at is moment:
            break
    return ""


def danger_in(seen: Seen, taken: Alive | None = None) -> Danger:
    """The first moment at which something is alive that must be dead, and what; `taken` is not counted."""
    for moment in MUST_BE_DEAD:
        alive = tuple(name for name in seen[moment].alive if taken is None or name not in taken[moment])
        if alive:
            return moment, alive
    return None, ()


Progress = Callable[[int, int], None]


def settle_all(
    verdicts: Sequence[FaultVerdict],
    use: StopUse,
    sounds: Sequence[SoundStop],
    running: OperatingPoint,
    programs: bool,
    progress: Progress | None = None,
    orders: Sequence[Order] = (TOGETHER,),
) -> list[FaultVerdict]:
    """Play in numbers what the screen left undecided, and every danger that it reports, under every device.

    Faults that do the same to the circuit are played once: they differ by the length of a conductor.
    """
    found = list(verdicts)
    sound_of = {sound.device: sound for sound in sounds}
    alike: dict[str, dict[str, list[int]]] = {}
    for n, verdict in enumerate(verdicts):
        if _needs_numbers(verdict):
            alike.setdefault(verdict.like or verdict.fault.id, {}).setdefault(verdict.device, []).append(n)
    done, open_ = 0, sum(len(by_device) for by_device in alike.values())
    for by_device in alike.values():
        for device, places in by_device.items():
            played = settled(found[places[0]], use, sound_of[device], running, programs, orders)
            for n in places:
                found[n] = replace(played, fault=found[n].fault)
            done += 1
            if progress is not None:
                progress(done, open_)
    return found


def _needs_numbers(verdict: FaultVerdict) -> bool:
    return verdict.verdict in (Verdict.DANGEROUS, Verdict.UNDECIDED)


def ids(verdicts: Iterable[FaultVerdict], *words: Verdict) -> tuple[str, ...]:
    """The ids of the faults with one of some verdicts, each once, in order."""
    return tuple(dict.fromkeys(one.fault.id for one in verdicts if one.verdict in words))
