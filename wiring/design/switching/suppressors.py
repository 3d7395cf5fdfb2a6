"""What suppresses the spark of every coil: a suppressor in its part, or one that is wired across it."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.machine import Machine
from wiring.design.nets import Net
from wiring.parts.base import Part
from wiring.parts.elements import Coil
from wiring.parts.passive import Diode, Suppressor


def dc_coils(machine: Machine) -> Iterator[tuple[Part, Coil, str | None]]:
    """Every inductive DC coil that is wired at both ends, with the type of the suppressor in its part or across it.

    The type is "none" where the plan says so, None where it does not say.
    """
    return (row for row in _wired_coils(machine) if row[1].kind != "AC")


def rectified_coils(machine: Machine) -> Iterator[tuple[Part, Coil]]:
    """Every AC coil with a diode across it, which shorts every other half wave."""
    return ((part, coil) for part, coil, word in _wired_coils(machine) if coil.kind == "AC" and word == "diode")


def _wired_coils(machine: Machine) -> Iterator[tuple[Part, Coil, str | None]]:
    across = _across(machine)
    for part, element in machine.circuit.elements(Coil):
        if not isinstance(element, Coil) or not element.inductive:
            continue
        if {(part.name, element.a), (part.name, element.b)} <= machine.nets.joined:
            ends = frozenset(machine.nets.of[part.name, end] for end in (element.a, element.b))
            yield part, element, across.get(ends, getattr(part.data, "suppressor", None))


def _across(machine: Machine) -> dict[frozenset[Net], str]:
    """The type of every suppressor and diode that is a part of its own, by the nets that it lies between."""
    found: dict[frozenset[Net], str] = {}
    for part in machine.parts.values():
        if isinstance(part.data, Suppressor | Diode):
            ends = frozenset(machine.nets.of[part.name, terminal] for terminal in part.terminals)
            found.setdefault(ends, part.data.type if isinstance(part.data, Suppressor) else "diode")
    return found
