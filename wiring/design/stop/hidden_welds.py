"""Contactors and relays that may fail closed unseen, so that the next fault is dangerous."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from wiring.control.inject import alike
from wiring.control.script import StopUse
from wiring.control.sound import alive_without_fault
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.design.machine import Machine
from wiring.design.stop.records import StopProof
from wiring.design.stop.reset_loops import watched
from wiring.effort import spend
from wiring.parts.switching import Coiled

#: What a pair costs before it is tried, in steps of a simulation.
_PER_PAIR = 4


class HiddenWelds(Struct, frozen=True):
    """Contacts of contactors and relays that may fail closed unseen: ids of faults, each with those of the `next` ones
    that are then dangerous, and how many pairs of them are `open`."""

    next: Mapping[str, tuple[str, ...]]
    open: int


def hidden_welds(machine: Machine, proof: StopProof) -> dict[str, HiddenWelds]:
    """By stop, the same as the hidden faults of a complete proof, tried for contactors and relays alone; what logic
    leaves open is settled in numbers, where that takes a few seconds at most. A machine that does not start again after
    a device even without a fault shows nothing there: what stands in a reset loop is seen once that is mended."""
    from wiring.control.pairs import SETTLED_STUCK, Trial, in_numbers, tried

    net = proof.net
    if net is None:
        return {}
    found: dict[str, HiddenWelds] = {}
    mirrored = watched(machine)
    history: dict[str, tuple[tuple[StopUse, int], ...]] = {}
    told: dict[tuple[tuple[StopUse, int], ...], HiddenWelds | None] = {}
    for result in proof.results.values():
        like = history[result.use.name] = (
            *history.get(result.use.name, ()),
            (result.use.unnamed, id(result.running)),
        )
        if like in told:  # stops that differ in name alone
            if (welds_of := told[like]) is not None:
                found[result.use.name] = welds_of
            continue
        trials = []
        for sound in result.sound:
            mine = {one.fault.id: one for one in result.verdicts if one.device == sound.device}
            seen = frozenset() if sound.again else mirrored
            welds = [one for one in mine.values() if _is_weld(machine, one) and _carries(mine, one)]
            firsts = alike(net, [one.fault for one in welds if one.runs and one.fault.subjects[0] not in seen])
            seconds = alike(net, [one.fault for one in welds])
            spend(_PER_PAIR * len(firsts) * len(seconds))
            trials += [
                Trial(sound.device, first, second)
                for first in firsts.values()
                for second in seconds.values()
                if first.subjects != second.subjects
            ]
        name = result.use.name
        before = found.get(name, HiddenWelds({}, 0))
        known = dict(before.next)
        trials = [one for one in trials if one.second.id not in known.get(one.first.id, ())]
        taken = {sound.device: alive_without_fault(sound) for sound in result.sound}
        certain, open_ = tried(net, result.running, result.use, trials, taken)
        dangerous, left = in_numbers(result.running, result.use, open_, taken, SETTLED_STUCK)
        for trial in (*certain, *dangerous):
            known[trial.first.id] = tuple(dict.fromkeys((*known.get(trial.first.id, ()), trial.second.id)))
        if known or left:
            found[name] = HiddenWelds(known, max(len(left), before.open))
        told[like] = found.get(name)
    return found


def _carries(verdicts: Mapping[str, FaultVerdict], one: FaultVerdict) -> bool:
    """Whether anything that counts hangs on a contact or device: it answers otherwise when that stays open."""
    kind, name = one.fault.id.split(":", 1)
    opposite = verdicts.get(f"{'stay' if kind == 'weld' else 'dead'}:{name}")
    return opposite is None or opposite.traced or not opposite.runs


def unseen_welds(proof: StopProof, hidden: Mapping[str, HiddenWelds]) -> dict[str, dict[str, tuple[str, ...]]]:
    """The same by part: contactors and relays, each with those whose failing next is dangerous."""
    part_of = {fault.id: fault.subjects[0] for fault in proof.faults}
    found: dict[str, dict[str, tuple[str, ...]]] = {}
    for name, welds in hidden.items():
        parts: dict[str, set[str]] = {}
        for first, seconds in welds.next.items():
            parts.setdefault(part_of[first], set()).update(part_of[second] for second in seconds)
        if parts:
            found[name] = {part: tuple(sorted(others)) for part, others in parts.items()}
    return found


def _is_weld(machine: Machine, one: FaultVerdict) -> bool:
    """Whether a contactor or relay fails closed, and the stop bears it."""
    fails = one.fault.kind in ("weld", "held") and one.verdict in (Verdict.SAFE, Verdict.UNSEEN)
    return fails and isinstance(machine.parts[one.fault.subjects[0]].data, Coiled)
