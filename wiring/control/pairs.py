"""A hidden fault, then a second one: which second fault makes it dangerous."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wiring.control.bits import mask
from wiring.control.faults import Fault
from wiring.control.inject import Case, alike, effect
from wiring.control.net import Net, build_net
from wiring.control.screen import Screen
from wiring.control.script import MUST_BE_DEAD, StopUse
from wiring.control.settle import Progress
from wiring.control.sound import Alive, SoundStop, alive_without_fault
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.solver.lowering import Lowered

#: Cases in one run, over all its sources: wide enough to serve thousands at once, narrow enough to stay in the cache.
_WIDTH = 120_000
#: Second faults named for one hidden fault.
NAMED = 3


@dataclass(frozen=True, slots=True)
class Trial:
    """Two faults at once, with the device that is worked."""

    device: str
    first: Fault
    second: Fault


def next_faults(
    lowered: Lowered,
    use: StopUse,
    sound: SoundStop,
    verdicts: Sequence[FaultVerdict],
    others: Sequence[FaultVerdict] = (),
    progress: Progress | None = None,
) -> dict[str, tuple[str, ...]]:
    """For every fault that stays unseen under a device, the second faults that then defeat the stop for certain.

    `verdicts` give first and second faults, `others` only second ones.

    Faults that may be left out by their table are neither first nor second; a second fault is not dangerous alone. A
    broken conductor counts as a first or second fault of a pair only when coils answer otherwise with the other one.
    """
    usable = [one for one in (*verdicts, *others) if _counts(one)]
    breaks = {wire.id for wire in lowered.circuit.conductors}
    rest = [one for one in usable if not breaks & set(one.fault.opened)]
    leading = {one.fault.id for one in verdicts if one.runs}
    found: dict[str, list[str]] = {}
    for whole, chosen in ((True, rest), (False, [one for one in usable if one.runs and one.traced])):
        tried = [one.fault for one in (chosen if whole else usable)]
        net = build_net(lowered, use.targets, tried)
        effects = {fault.id: effect(net, fault) for fault in tried}
        firsts = alike(net, [one.fault for one in chosen if one.fault.id in leading])
        pairs = [
            (first, second)
            for key, first in firsts.items()
            for other, second in alike(net, tried).items()
            if key != other and (first.id < second.id or other not in firsts)
        ]
        if not whole:
            pairs = [pair for pair in pairs if breaks & {path for one in pair for path in one.opened}]
        hits = _hits(net, use, sound.device, pairs, alive_without_fault(sound), progress)
        for one in chosen:
            key = effects[one.fault.id]
            if key is not None and one.fault.id in leading and firsts[key].id in hits:
                found.setdefault(one.fault.id, []).extend(hits[firsts[key].id])
    return {name: tuple(dict.fromkeys(second)) for name, second in found.items()}


def _hits(
    net: Net,
    use: StopUse,
    device: str,
    pairs: Sequence[tuple[Fault, Fault]],
    taken: Alive,
    progress: Progress | None,
) -> dict[str, list[str]]:
    """For each fault, those that are dangerous together with it, both ways round."""
    hits: dict[str, list[str]] = {}
    width = max(_WIDTH // len(net.sources), 1)
    for start in range(0, len(pairs), width):
        chunk = pairs[start : start + width]
        for hit in dangerous(net, use, [Trial(device, *pair) for pair in chunk], {device: taken}):
            hits.setdefault(hit.first.id, []).append(hit.second.id)
            hits.setdefault(hit.second.id, []).append(hit.first.id)
        if progress is not None:
            progress(start + len(chunk), len(pairs))
    return hits


def _counts(one: FaultVerdict) -> bool:
    return not one.fault.excluded and one.verdict in (Verdict.SAFE, Verdict.UNSEEN)


def dangerous(net: Net, use: StopUse, trials: Sequence[Trial], taken: Mapping[str, Alive]) -> list[Trial]:
    """The trials that leave a target of `use` alive for certain where the machine without a fault does not.

    `taken` is what that leaves alive, by device.
    """
    devices = tuple(dict.fromkeys(trial.device for trial in trials))
    if not devices:
        return []
    cases = [Case(trial.device, (trial.first, trial.second)) for trial in trials]
    screened = Screen(net, cases, replace(use, devices=devices)).play()
    of = {device: mask((n for n, case in enumerate(cases) if case.device == device), len(cases)) for device in devices}
    names = {target.name for target in use.targets}
    bits = 0
    for moment in MUST_BE_DEAD:
        for target, on in zip(net.targets, screened.seen[moment].targets, strict=True):
            if target.name in names:
                for device in devices:
                    bits |= 0 if target.name in taken[device][moment] else on[0] & of[device]
    return [trial for n, trial in enumerate(trials) if bits >> n & 1]


def with_next(verdicts: Sequence[FaultVerdict], following: Mapping[str, tuple[str, ...]]) -> list[FaultVerdict]:
    """The verdicts with the unseen faults told apart: hidden where a second fault is dangerous, else safe."""
    found = []
    for one in verdicts:
        if one.verdict in (Verdict.SAFE, Verdict.UNSEEN):
            second = following.get(one.fault.id, ())
            one = replace(one, verdict=Verdict.HIDDEN if second else Verdict.SAFE, next=second)
        found.append(one)
    return found
