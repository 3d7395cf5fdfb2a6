"""Lengths of conductors along the ducts, where the plan says where the parts of the cabinet stand.

A length that a wire or cable gives itself wins; that of a wire type is a default, in whose place the way comes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil
from typing import TYPE_CHECKING

from msgspec.structs import replace

from wiring.cabinet.positions import has_positions
from wiring.circuit.model import Circuit, Conductor
from wiring.design.plan_origin import PlanOrigins
from wiring.plan.read import Reading

if TYPE_CHECKING:
    from wiring.cabinet.lengths import Course
    from wiring.design.machine import Machine


def with_lengths(circuit: Circuit, reading: Reading) -> Circuit:
    """The circuit with the lengths of its way for every conductor that gives none itself, in whole centimetres."""
    if not has_positions(circuit):
        return circuit
    return replace(circuit, conductors=tuple(_laid(circuit, PlanOrigins(reading, circuit.plan))))


def _laid(circuit: Circuit, origins: PlanOrigins) -> Iterator[Conductor]:
    from wiring.cabinet.given import given_layout
    from wiring.cabinet.lengths import Courses

    courses = Courses(given_layout(circuit), circuit).of
    for conductor in circuit.conductors:
        entry = origins.of_conductor.get(conductor.id)
        if entry is None or origins.is_own(entry, "length"):
            yield conductor
            continue
        mates = [conductor] if conductor.cable is None else circuit.cables[conductor.cable]
        cuts = [course.cut for mate in mates if (course := courses.get(mate.id)) and course.cut is not None]
        yield replace(conductor, length_m=ceil(max(cuts) / 10.0) / 100.0) if cuts else conductor


#: What a given length may be short of the way before it is told: a bent wire lies anywhere in its duct [mm].
_LET_PASS_MM = 5.0


def short_of_way(machine: Machine, courses: Mapping[str, Course]) -> Iterator[tuple[str, Conductor, Course]]:
    """The conductors that give a length themselves which is less than their way; a cable once, by its first core."""
    told: set[str] = set()
    for name, course in courses.items():
        conductor, entry = machine.circuit.conductor[name], machine.origins.of_conductor.get(name)
        subject = conductor.cable or name
        if conductor.length_m is None or entry is None or subject in told:
            continue
        if machine.origins.is_own(entry, "length") and 1000 * conductor.length_m < course.least - _LET_PASS_MM:
            told.add(subject)
            yield subject, conductor, course
