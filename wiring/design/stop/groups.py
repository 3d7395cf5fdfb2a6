"""Faults gathered by what they lead to: one story and one way to mend for all that end alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from wiring.control.fault_record import Fault
from wiring.control.numeric_simulation import Snapshot, run_script
from wiring.control.script import Moment
from wiring.control.settle import condition_of, danger_in
from wiring.control.sound import alive_without_fault
from wiring.control.story import in_short
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.design.stop.records import StopResult

_MENDS = {
    "weld": "a second contactor in series on a channel of its own, mirror contacts of both in the reset loop",
    "cores": "a cable for each channel, or a unit that finds a short between them",
    "jammed": "a monitored reset, which counts when it is let go; for a device that is held to run, one with a third "
    "position that stops when it is pressed through, and an emergency stop in reach",
    "earth": "put the stop contacts into the side that is not earthed",
    "bridge": "keep the two points apart: other terminals, or a separating plate",
    "open": "feed and return each part over conductors of its own",
}
_ALIKE = {"held": "weld", "change-over": "weld", "wires": "cores", "unmoved": "weld", "stay": "weld", "dead": "weld"}


class FaultGroup(Struct, frozen=True):
    """Faults of one verdict that leave the same alive at the same moment under the same devices.

    `how` tells one of them in a line or two; `following` names for each hidden one the next faults; `let_go` are those
    of the devices that stop by being let go.
    """

    verdict: Verdict
    left_out: str
    moment: Moment | None
    alive: tuple[str, ...]
    devices: tuple[str, ...]
    operators: tuple[str, ...]
    members: tuple[Fault, ...]
    following: Mapping[str, tuple[str, ...]]
    how: tuple[str, ...]
    mend: str
    reason: str
    race: bool
    while_stopped: bool
    let_go: frozenset[str]


def fault_groups(result: StopResult, faults: Sequence[Fault]) -> tuple[FaultGroup, ...]:
    """The faults of a stop that are not safe, the gravest first."""
    left_out = [one for word in (Verdict.DANGEROUS, Verdict.UNDECIDED) for one in result.of(word, excluded=True)]
    chosen = [*result.dangerous, *result.undecided, *result.hidden, *left_out]
    devices = _devices(result)
    found: dict[tuple[object, ...], list[FaultVerdict]] = {}
    for one in chosen:
        key = (
            one.verdict,
            one.fault.excluded,
            one.moment,
            one.alive,
            devices[one.fault.id, one.verdict],
            one.operators,
            mend_kind(one.fault),
            one.reason,
            one.race,
            one.while_stopped,
        )
        found.setdefault(key, []).append(one)
    by_id = {fault.id: fault for fault in faults}
    sound = {device: run_script(result.running, result.use, device, ()) for device in {one.device for one in chosen}}
    return tuple(_group(result, ones, devices, by_id, sound) for ones in found.values())


def mend_kind(fault: Fault) -> str:
    """The kind of fault whose mend fits."""
    return _ALIKE.get(fault.kind, fault.kind)


def _devices(result: StopResult) -> dict[tuple[str, Verdict], tuple[str, ...]]:
    """Every device that a fault has a verdict under."""
    found: dict[tuple[str, Verdict], tuple[str, ...]] = {}
    for one in result.verdicts:
        key = one.fault.id, one.verdict
        found[key] = (*found.get(key, ()), one.device)
    return found


def _group(
    result: StopResult,
    ones: Sequence[FaultVerdict],
    devices: Mapping[tuple[str, Verdict], tuple[str, ...]],
    by_id: Mapping[str, Fault],
    sound: Mapping[str, Mapping[Moment, Snapshot]],
) -> FaultGroup:
    first = ones[0]
    faults = (first.fault, *(by_id[name] for name in first.next[:1] if name in by_id))
    seen = run_script(result.running, result.use, first.device, faults, condition_of(first))
    told = next(one for one in result.sound if one.device == first.device)
    moment, alive = danger_in(seen, alive_without_fault(told))
    at = moment or first.moment or Moment.STOP
    return FaultGroup(
        first.verdict,
        first.fault.excluded,
        at,
        alive or first.alive,
        devices[first.fault.id, first.verdict],
        tuple(part for part, _ in first.operators),
        tuple(one.fault for one in ones),
        {one.fault.id: one.next for one in ones if one.next},
        in_short(first.device, faults, seen, sound[first.device], at, result.use),
        _MENDS.get(mend_kind(first.fault), ""),
        first.reason,
        first.race,
        first.while_stopped,
        result.use.let_go,
    )
