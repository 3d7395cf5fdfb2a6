"""Dangerous single faults gathered by their cause, for the rules of the stop."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wiring.control.script import Moment
from wiring.control.verdicts import FaultVerdict
from wiring.design.stop_proof import dangerous_without
from wiring.plan.source import Place
from wiring.rules.bypasses import bypasses

if TYPE_CHECKING:
    from wiring.design.design import Design


@dataclass(frozen=True, slots=True)
class Cause:
    """What is dangerous about one part, cable or conductor: the stops, what stays alive, the faults in words."""

    stops: tuple[str, ...]
    alive: tuple[str, ...]
    words: tuple[str, ...]
    moment: Moment | None


def _cause_of(design: Design, subject: str) -> str:
    conductor = design.circuit.conductor.get(subject)
    return conductor.cable if conductor is not None and conductor.cable else subject


#: Contacts and devices that fail closed, and keep something alive while the stop is worked.
FAILS_CLOSED = ("weld", "held")


def is_single_channel(one: FaultVerdict) -> bool:
    """Whether a dangerous fault is a contact or device that fails closed while the stop is worked."""
    return one.fault.kind in FAILS_CLOSED and one.moment is Moment.STOP


def by_cause(design: Design, counts: Callable[[FaultVerdict], bool]) -> dict[str, Cause]:
    """The dangerous faults that count, by the part, cable or conductor to change.

    What is dangerous only because a conductor bypasses a contact is an effect of that, which has a rule of its own.
    """
    found: dict[str, Cause] = {}
    without = _without_bypasses(design)
    for name, result in design.stop_proof.results.items():
        for one in result.dangerous:
            if not counts(one) or (without is not None and one.fault.id not in without.get(name, ())):
                continue
            cause = _cause_of(design, one.fault.subjects[0])
            old = found.get(cause, Cause((), (), (), one.moment))
            found[cause] = Cause(
                tuple(dict.fromkeys((*old.stops, name))),
                tuple(dict.fromkeys((*old.alive, *one.alive))),
                tuple(dict.fromkeys((*old.words, one.fault.words))),
                old.moment,
            )
    return found


def _without_bypasses(design: Design) -> Mapping[str, frozenset[str]] | None:
    conductors = {name for bypass in bypasses(design) for name in bypass.conductors}
    return dangerous_without(design.stopping, conductors) if conductors and design.stop_proof.faults else None


def cause_place(design: Design, cause: str) -> Place:
    """Where a part, cable or conductor stands in the plan."""
    if cause in design.parts:
        return design.place(cause)
    conductor = design.circuit.conductor.get(cause)
    if conductor is None:
        conductor = next(wire for wire in design.circuit.conductors if wire.cable == cause)
    return conductor.place
