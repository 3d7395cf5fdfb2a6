"""Coils that never come to rest in a state of the plan, and those of which the faster one wins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import product

from msgspec import Struct

from wiring.design.switching.reachable import Reachability, Stand
from wiring.parts.switching import Coiled
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import program_outputs

#: Coils whose positions are all tried; a ring of more is taken as one that never rests (own choice).
_MOST_TRIED = 8


class Unrest(Struct, frozen=True):
    """Coils of `parts` that no round of a `state` brings to rest; `rests` where some position of them stays."""

    state: str
    parts: tuple[str, ...]
    rests: bool


def unrests(reachable: Reachability, states: Mapping[str, OperatingPoint]) -> Iterator[Unrest]:
    """Each group of coils in the first state that has it; none where a program would have to switch both on."""
    known: set[tuple[str, ...]] = set()
    programs = program_outputs(reachable.machine.circuit)
    for state, point in states.items():
        turning = tuple(own for own in _turning(reachable, point) if not _by_program(reachable, own, programs))
        names = tuple(part for part, _ in turning)
        if names and names not in known:
            known.add(names)
            yield Unrest(state, names, _can_rest(reachable, point, turning))


def _turning(reachable: Reachability, point: OperatingPoint) -> Iterator[Actuator]:
    for own, (part, coil) in reachable.coils.items():
        if isinstance(part.data, Coiled) and f"{part.name}:{coil.name}" in point.unsettled:
            yield own


def _by_program(reachable: Reachability, own: Actuator, programs: frozenset[Actuator]) -> bool:
    part, coil = reachable.coils[own]
    return not reachable.fed(part, coil, Stand(reachable.everything - programs, out=frozenset((own,))))


def _can_rest(reachable: Reachability, point: OperatingPoint, turning: tuple[Actuator, ...]) -> bool:
    """Whether some of the coils in and the others out stays so."""
    around = (point.attracted | point.position.moved) - set(turning)
    if len(turning) > _MOST_TRIED:
        return False
    for stood in product((True, False), repeat=len(turning)):
        held = around | {own for own, is_in in zip(turning, stood, strict=True) if is_in}
        stands = Stand(held, held=held)
        if all(
            reachable.fed(*reachable.coils[own], stands) == is_in for own, is_in in zip(turning, stood, strict=True)
        ):
            return True
    return False
