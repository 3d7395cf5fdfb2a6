"""A hidden fault, then a second one: which second fault makes it dangerous."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.bits import mask, places
from wiring.control.fault_record import Fault
from wiring.control.in_step import run_width
from wiring.control.inject import Case, Effect, alike, effect
from wiring.control.net import Net, build_net
from wiring.control.operator_halves import Alive
from wiring.control.parallel_fault_simulation import ParallelSimulation
from wiring.control.script import MUST_BE_DEAD, StopUse
from wiring.control.settle import Progress, pair_in_numbers, runs_on
from wiring.control.sound import SoundStop, alive_without_fault
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.control.without_volts import WithoutVolts
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import program_outputs

#: Pairs in one run at most: numbers as long as that stand at every node.
_TOGETHER = 8_000
#: Pairs that are settled in numbers, under one device: of a whole proof, and of contactors that fail closed in every
#: check. Each takes some 10 ms. Further ones stay open, are told, and keep a verdict from being clear.
SETTLED, SETTLED_STUCK = 1000, 64
#: Members of the groups in which pairs are tried, larger ones first, and the number of pairs from which it pays.
_GROUPS = (12, 3)
_WORTH_GROUPS = 200
#: Second faults named for one hidden fault.
NAMED = 3


class Trial(Struct, frozen=True):
    """Two faults at once, with the device that is worked."""

    device: str
    first: Fault
    second: Fault


class Hits(Struct, frozen=True):
    """For each fault those that are dangerous together with it, and the pairs left open; `played` ones in numbers."""

    of: Mapping[str, list[str]]
    open: Sequence[Trial]
    played: int


class Following(Struct, frozen=True):
    """For every hidden fault the next ones that are dangerous, and the pairs left open."""

    next: Mapping[str, tuple[str, ...]]
    open: tuple[Trial, ...]


def next_faults(
    running: OperatingPoint,
    use: StopUse,
    sound: SoundStop,
    verdicts: Sequence[FaultVerdict],
    others: Sequence[FaultVerdict] = (),
    progress: Progress | None = None,
) -> Following:
    """For every fault that stays unseen under a device, the second faults that then defeat the stop for certain.

    `verdicts` give first and second faults, `others` only second ones.

    Faults that may be left out by their table are neither first nor second; a second fault is not dangerous alone. A
    broken conductor counts as a first or second fault of a pair only when coils answer otherwise with the other one.
    """
    usable = [one for one in (*verdicts, *others) if _counts(one)]
    lowered = running.lowered
    left = SETTLED
    breaks = {wire.id for wire in lowered.circuit.conductors}
    rest = [one for one in usable if not breaks & set(one.fault.opened)]
    leading = {one.fault.id for one in verdicts if one.runs}
    found: dict[str, list[str]] = {}
    open_: list[Trial] = []
    stays: dict[Effect, bool] = {}
    for whole, chosen in ((True, rest), (False, [one for one in usable if one.runs and one.traced])):
        tried = [one.fault for one in (chosen if whole else usable)]
        net = build_net(lowered, use.targets, tried)
        effects = {fault.id: effect(net, fault) for fault in tried}
        firsts = alike(net, [one.fault for one in chosen if one.fault.id in leading])
        seconds = [(key, second, key not in firsts) for key, second in alike(net, tried).items()]
        pairs = [
            (first, second)
            for key, first in firsts.items()
            for other, second, only in seconds
            if (only or first.id < second.id) and key != other
        ]
        if not whole:
            broken = {fault.id for fault in tried if breaks & set(fault.opened)}
            pairs = [pair for pair in pairs if pair[0].id in broken or pair[1].id in broken]
        hits = _hits(net, use, sound.device, pairs, alive_without_fault(sound), running, left, progress)
        left -= hits.played
        for one in chosen:
            key = effects[one.fault.id]
            if key is None or one.fault.id not in leading or firsts[key].id not in hits.of:
                continue
            if key not in stays:  # where logic cannot tell which device a short circuit opens, numbers do
                stays[key] = one.keeps or one.settled or runs_on(running, use, sound, firsts[key])
            if stays[key]:
                found.setdefault(one.fault.id, []).extend(hits.of[firsts[key].id])
        open_ += hits.open
    return Following({name: tuple(dict.fromkeys(second)) for name, second in found.items()}, tuple(open_))


def _hits(
    net: Net,
    use: StopUse,
    device: str,
    pairs: Sequence[tuple[Fault, Fault]],
    taken: Alive,
    running: OperatingPoint,
    most: int,
    progress: Progress | None,
) -> Hits:
    """For each fault, those that are dangerous together with it, both ways round; what logic leaves open in numbers."""
    hits: dict[str, list[str]] = {}
    open_: list[Trial] = []

    def note(hit: Trial) -> None:
        for first, second in same[hit.first, hit.second]:
            hits.setdefault(first.id, []).append(second.id)
            hits.setdefault(second.id, []).append(first.id)

    width = run_width(net)
    same = _joint(net, _suspects(net, use, device, pairs, taken))
    pairs = list(same)
    for start in range(0, len(pairs), width):
        chunk = pairs[start : start + width]
        certain, left = tried(net, running, use, [Trial(device, *pair) for pair in chunk], {device: taken})
        open_ += left
        for hit in certain:
            note(hit)
        if progress is not None:
            progress(start + len(chunk), len(pairs))
    dangerous, left = in_numbers(running, use, open_, {device: taken}, most)
    for hit in dangerous:
        note(hit)
    return Hits(hits, left, min(len(open_), most))


Pair = tuple[Fault, Fault]


def _joint(net: Net, pairs: Sequence[Pair]) -> dict[Pair, list[Pair]]:
    """The pairs by one of those that together do the same: of two bridges that meet it counts only which three points
    they join."""
    found: dict[object, list[Pair]] = {}
    effects = {fault.id: effect(net, fault) for fault in {one.id: one for pair in pairs for one in pair}.values()}
    for pair in pairs:
        done = [effects[fault.id] for fault in pair]
        bridges = [one.bridge for one in done if one and one.bridge and not any(one._replace(bridge=None))]
        points = frozenset(node for bridge in bridges for node in bridge[:2])
        meet = len(bridges) == 2 and len(points) == 3 and all(bridge[2] for bridge in bridges)
        found.setdefault(points if meet else frozenset(fault.id for fault in pair), []).append(pair)
    return {some[0]: some for some in found.values()}


def in_numbers(
    running: OperatingPoint, use: StopUse, open_: Sequence[Trial], taken: Mapping[str, Alive], most: int
) -> tuple[list[Trial], list[Trial]]:
    """Of the pairs that logic leaves open those that are dangerous in numbers, and those that stay open: no more than
    `most` are played, those first of which more fail closed. `taken` is what each device leaves alive."""
    programs = bool(program_outputs(running.lowered.circuit))
    ranked = sorted(open_, key=_fail_closed, reverse=True)
    dangerous, left = [], ranked[most:]
    for trial in ranked[:most]:
        pair = trial.first, trial.second
        verdict = pair_in_numbers(running, use, trial.device, pair, taken[trial.device], programs)
        if verdict is Verdict.DANGEROUS:
            dangerous.append(trial)
        elif verdict is Verdict.UNDECIDED:
            left.append(trial)
    return dangerous, left


def _fail_closed(trial: Trial) -> int:
    """How many of the two fail closed: the pairs that defeat a stop most easily are settled first."""
    return sum(fault.kind in ("weld", "held", "jammed") for fault in (trial.first, trial.second))


def _counts(one: FaultVerdict) -> bool:
    return not one.fault.excluded and one.verdict in (Verdict.SAFE, Verdict.UNSEEN)


def tried(
    net: Net, running: OperatingPoint, use: StopUse, trials: Sequence[Trial], taken: Mapping[str, Alive]
) -> tuple[list[Trial], list[Trial]]:
    """The trials that leave a target of `use` alive for certain where the machine without a fault does not, and those
    that logic leaves open.

    `taken` is what that leaves alive, by device.
    """
    volts = WithoutVolts(net, running.lowered, use, running)
    certain: list[Trial] = []
    left: list[Trial] = []
    for start in range(0, len(trials), _TOGETHER):
        sure, open_ = _some_tried(net, use, trials[start : start + _TOGETHER], taken, volts)
        certain += sure
        left += open_
    return certain, left


def _some_tried(
    net: Net, use: StopUse, trials: Sequence[Trial], taken: Mapping[str, Alive], volts: WithoutVolts
) -> tuple[list[Trial], list[Trial]]:
    cases = [Case(trial.device, (trial.first, trial.second)) for trial in trials]
    sure, open_ = _alive(net, use, cases, taken)
    left = places(open_ & ~sure)
    off = {n: coils for n in left if (coils := volts.of_both(cases[n].device, *cases[n].faults))}
    if off:
        _, still = _alive(net, use, [replace(cases[n], without_volts=coils) for n, coils in off.items()], taken)
        again = [*off]
        dead = off.keys() - {again[k] for k in places(still)}
        left = [n for n in left if n not in dead]
    return [trials[n] for n in places(sure)], [trials[n] for n in left]


def _alive(net: Net, use: StopUse, cases: Sequence[Case], taken: Mapping[str, Alive]) -> tuple[int, int]:
    """The cases that leave a target of `use` alive for certain, and those that may."""
    devices = tuple(dict.fromkeys(case.device for case in cases))
    if not devices:
        return 0, 0
    screened = ParallelSimulation(net, cases, replace(use, devices=devices)).run()
    of = {device: mask((n for n, case in enumerate(cases) if case.device == device), len(cases)) for device in devices}
    names = {target.name for target in use.targets}
    sure, open_ = 0, screened.unstable
    for moment in MUST_BE_DEAD:
        for target, on in zip(net.targets, screened.seen[moment].targets, strict=True):
            if target.name in names:
                for device in devices:
                    counted = 0 if target.name in taken[device][moment] else of[device]
                    sure, open_ = sure | on[0] & counted, open_ | on[1] & counted
    return sure & ~screened.collapsing, open_


def _suspects(
    net: Net, use: StopUse, device: str, pairs: Sequence[tuple[Fault, Fault]], taken: Alive
) -> list[tuple[Fault, Fault]]:
    """The pairs of which something may be alive: groups of faults are tried with all of them perhaps, then smaller
    ones. Which pairs are dangerous does not hang on the groups, only how many need a look."""
    for size in _GROUPS:
        if len(pairs) < _WORTH_GROUPS:
            return list(pairs)
        numbered = {name: n // size for n, name in enumerate(dict.fromkeys(one.id for pair in pairs for one in pair))}
        groups: dict[tuple[int, int], list[tuple[Fault, Fault]]] = {}
        for pair in pairs:
            a, b = numbered[pair[0].id], numbered[pair[1].id]
            groups.setdefault((min(a, b), max(a, b)), []).append(pair)
        some_pairs = list(groups.values())
        cases = [
            Case(device, tuple({one.id: one for pair in some for one in pair}.values()), soft=True)
            for some in some_pairs
        ]
        width = run_width(net)
        found: list[tuple[Fault, Fault]] = []
        for start in range(0, len(cases), width):
            _, open_ = _alive(net, use, cases[start : start + width], {device: taken})
            found += [pair for n in places(open_) for pair in some_pairs[start + n]]
        pairs = found
    return list(pairs)


def with_next(verdicts: Sequence[FaultVerdict], following: Mapping[str, tuple[str, ...]]) -> list[FaultVerdict]:
    """The verdicts with the unseen faults told apart: hidden where a second fault is dangerous, else safe."""
    found = []
    for one in verdicts:
        if one.verdict in (Verdict.SAFE, Verdict.UNSEEN):
            second = following.get(one.fault.id, ())
            one = replace(one, verdict=Verdict.HIDDEN if second else Verdict.SAFE, next=second)
        found.append(one)
    return found
