"""Dangerous single faults gathered by their cause, for the rules of the stop."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.blame import conductors_to_blame
from wiring.control.script import Moment
from wiring.control.verdicts import FaultVerdict
from wiring.design.stop.bypasses import bypasses
from wiring.design.stop.proof import dangerous_without
from wiring.design.stop.records import StopResult
from wiring.design.stop.stopping import Stopping
from wiring.findings import Cause as Because
from wiring.plan.source import Place


class Cause(Struct, frozen=True):
    """What is dangerous about one part, cable or conductor: the stops, what stays alive, the faults in words.

    `bypasses` are conductors past contacts without which it would not be dangerous, `blamed` those without which the
    machine runs as before and bears it; `too_many` tells that no terminal would be left bare without any of these.
    """

    subject: str
    stops: tuple[str, ...]
    alive: tuple[str, ...]
    words: tuple[str, ...]
    moment: Moment | None
    bypasses: tuple[str, ...] = ()
    blamed: tuple[str, ...] = ()
    too_many: tuple[str, ...] = ()


def together(causes: Sequence[Cause]) -> Cause:
    """What is dangerous about one subject, told in parts, as one."""
    first = causes[0]
    return replace(
        first,
        stops=tuple(dict.fromkeys(stop for one in causes for stop in one.stops)),
        alive=tuple(dict.fromkeys(name for one in causes for name in one.alive)),
        words=tuple(dict.fromkeys(words for one in causes for words in one.words)),
        blamed=tuple(dict.fromkeys(name for one in causes for name in one.blamed)),
        too_many=tuple(dict.fromkeys(name for one in causes for name in one.too_many)),
    )


def _cause_of(stopping: Stopping, subject: str) -> str:
    conductor = stopping.machine.circuit.conductor.get(subject)
    return conductor.cable if conductor is not None and conductor.cable else subject


#: Contacts and devices that fail closed, and keep something alive while the stop is worked.
FAILS_CLOSED = ("weld", "held")


def is_single_channel(one: FaultVerdict) -> bool:
    """Whether a dangerous fault is a contact or device that fails closed while the stop is worked."""
    return one.fault.kind in FAILS_CLOSED and one.moment is Moment.STOP


def causes(stopping: Stopping, counts: Callable[[FaultVerdict], bool]) -> list[Cause]:
    """The dangerous faults that count, by the part, cable or conductor to change.

    What is dangerous only because conductors bypass contacts is a cause of its own beside the rest of its subject.
    """
    by_ends = {name for bypass in bypasses(stopping.machine) for name in bypass.conductors}
    bypassing = tuple(sorted(by_ends | {one.conductor for one in stopping.past_contacts}))
    without = dangerous_without(stopping, bypassing) if bypassing and stopping.proof.faults else None
    found: dict[tuple[str, bool], list[Cause]] = {}
    for name, result in stopping.proof.results.items():
        chosen = [one for one in result.dangerous if counts(one)]
        blamed = _blamed(stopping, result, chosen)
        for one in chosen:
            alone = without is None or one.fault.id in without.get(name, ())
            words = one.fault.words + result.use.while_
            subject = _cause_of(stopping, one.fault.subjects[0])
            by = () if alone else bypassing
            wires = blamed.get((one.fault.id, one.device), ())
            extra = tuple(wire for wire in wires if not _bare_ends(stopping, wire))
            cause = Cause(subject, (result.use.name,), one.alive, (words,), one.moment, by, wires, extra)
            found.setdefault((subject, alone), []).append(cause)
    return [together(rows) for rows in found.values()]


def _blamed(
    stopping: Stopping, result: StopResult, chosen: Sequence[FaultVerdict]
) -> dict[tuple[str, str], tuple[str, ...]]:
    """The conductors to blame for dangerous faults, by fault and device."""
    found: dict[tuple[str, str], tuple[str, ...]] = {}
    for sound in result.sound:
        mine = [one.fault for one in chosen if one.device == sound.device and not one.operators]
        if mine:
            wires = conductors_to_blame(stopping.machine.lowered, result.use, sound, mine)
            found |= {(fault, sound.device): _likeliest(stopping, names) for fault, names in wires.items()}
    return found


def _bare_ends(stopping: Stopping, wire: str) -> int:
    """How many terminals a conductor would leave without any other."""
    circuit = stopping.machine.circuit
    return sum(len(circuit.conductors_at(end)) < 2 for end in circuit.conductor[wire].ends)


def _likeliest(stopping: Stopping, wires: Sequence[str]) -> tuple[str, ...]:
    """Those that are likeliest too many or led wrong: whose taking away leaves fewest terminals bare."""
    least = min((_bare_ends(stopping, wire) for wire in wires), default=0)
    return tuple(wire for wire in wires if _bare_ends(stopping, wire) == least)


def blame_words(cause: Cause) -> str:
    """The end of a sentence that names the conductors to blame; empty where there is none."""
    if not cause.blamed:
        return ""
    return f"; conductor {' or '.join(cause.blamed[:3])} makes it so"


def to_blame(stopping: Stopping, cause: Cause) -> tuple[Because, ...]:
    """The conductors to blame, the first three, where they stand in the plan."""
    remark = "to blame: without it the stop bears the fault"
    return tuple(Because(cause_place(stopping, name), remark) for name in cause.blamed[:3])


def cause_place(stopping: Stopping, cause: str) -> Place:
    """Where a part, cable or conductor stands in the plan."""
    if cause in stopping.machine.parts:
        return stopping.machine.place(cause)
    conductor = stopping.machine.circuit.conductor.get(cause)
    if conductor is None:
        conductor = next(wire for wire in stopping.machine.circuit.conductors if wire.cable == cause)
    return conductor.place
