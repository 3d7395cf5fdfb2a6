"""Conductors in parallel: which of them lie between the same two terminals, and how they share a current."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from wiring.circuit.model import Circuit, Conductor, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.conductor.wire_resistance import conductor_ohm
from wiring.rulebooks.book import Rulebook
from wiring.rulebooks.limits import tabled

#: Currents in parallel conductors are unequal when two differ by more than this share of what each should carry.
UNEQUAL_ABOVE = tabled("common", "parallel_difference").value


class Parallel(Struct, frozen=True):
    """Conductors between the same two terminals. `shares` of their common current by id add up to 1.

    They are the inverse of the resistances, and empty where `missing` names a length or size that they rest on.
    """

    names: tuple[str, ...]
    shares: Mapping[str, float]
    missing: str = ""

    @property
    def difference(self) -> float:
        """The largest difference of two currents, as a share of what each would carry if all were equal."""
        values = self.shares.values()
        return (max(values) - min(values)) * len(values) if values else 0.0


def find_parallel(circuit: Circuit, book: Rulebook, ambient_c: float) -> Mapping[str, Parallel]:
    """For every conductor that has others in parallel: all of them, itself included. Not for shields and earths."""
    pairs: dict[frozenset[Node], list[Conductor]] = {}
    for conductor in circuit.conductors:
        if conductor.kind != "shield" and not any(is_earth_point(circuit, end) for end in conductor.ends):
            pairs.setdefault(frozenset(conductor.ends), []).append(conductor)
    groups = (_parallel(mates, book, ambient_c) for mates in pairs.values() if len(mates) > 1)
    return {name: group for group in groups for name in group.names}


def _parallel(mates: list[Conductor], book: Rulebook, ambient_c: float) -> Parallel:
    names = tuple(one.id for one in mates)
    missing = _missing(mates)
    if missing:
        return Parallel(names, {}, missing)
    siemens = {one.id: 1.0 / max(conductor_ohm(book, one, ambient_c), 1e-12) for one in mates}
    total = sum(siemens.values())
    return Parallel(names, {name: value / total for name, value in siemens.items()})


def _missing(mates: list[Conductor]) -> str:
    unsized = [one.id for one in mates if one.size is None]
    if unsized:
        return f"the size of {', '.join(unsized)} (`size`)"
    unknown = [one.id for one in mates if one.length_m is None]
    one_cable = mates[0].cable is not None and len({one.cable for one in mates}) == 1
    return f"the length of {', '.join(unknown)} (`length`)" if unknown and not one_cable else ""
