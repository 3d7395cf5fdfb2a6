"""The entry of the plan that a conductor's value comes from: the wire or cable itself, or its wire type."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property

from msgspec import Struct

from wiring.circuit.model import Conductor
from wiring.plan.conductors import Cable, segments
from wiring.plan.models import PlanFile
from wiring.plan.read import Reading
from wiring.plan.source import Place


class PlanOrigin(Struct, frozen=True):
    """The entry of a conductor: its section of the plan, its index there, its id, and its wire type ("" for none)."""

    section: str
    index: int
    id: str
    type: str


class PlanOrigins(Struct, frozen=True, dict=True):
    """The entries of a plan by the conductors that come from them."""

    reading: Reading
    plan: PlanFile

    @cached_property
    def of_conductor(self) -> Mapping[str, PlanOrigin]:
        """The entry of every conductor by the conductor's id; bonded ends of a shield are left out."""
        found: dict[str, PlanOrigin] = {}
        for index, wire in enumerate(self.plan.wires):
            entry = PlanOrigin("wires", index, wire.wire, wire.type or "")
            found.update({piece.name: entry for piece in segments(wire)})
        for index, cable in enumerate(self.plan.cables):
            entry = PlanOrigin("cables", index, cable.cable, cable.type or "")
            found.update({f"{cable.cable}.{core}": entry for core in cable.join})
        return found

    @cached_property
    def cables(self) -> Mapping[str, Cable]:
        """The cables of the plan by their name."""
        return {cable.cable: cable for cable in self.plan.cables}

    def cable_of(self, conductor: Conductor) -> Cable | None:
        """The cable that a core or a bonded shield belongs to."""
        return self.cables.get(conductor.cable or "")

    def is_own(self, entry: PlanOrigin, key: str) -> bool:
        """Whether an entry writes a key itself, and does not take it over from its wire type."""
        return self.reading.node(entry.section, entry.index, key) is not None

    def in_words(self, conductor: Conductor, key: str) -> str:
        """What a value comes from: `type line`, `100` (a wire), `C1` (a cable)."""
        entry = self.of_conductor.get(conductor.id)
        if entry is None:
            return conductor.id
        return entry.id if not entry.type or self.is_own(entry, key) else f"type {entry.type}"

    def value_place(self, conductors: Sequence[Conductor], key: str) -> Place:
        """Where a value is to be changed that these conductors share.

        In the wire type when all that takes it over is among them, else where the first of them writes it, else the
        first of them itself.
        """
        first = conductors[0]
        entry = self.of_conductor.get(first.id)
        if entry is None:
            return first.place
        if self.is_own(entry, key):
            at = self.reading.place(entry.section, entry.index, key)
            return at if entry.section == "wires" else first.place
        if not entry.type or self.reading.node("wire_types", entry.type, key) is None:
            return first.place
        names = {conductor.id for conductor in conductors}
        heirs = {name for name, other in self.of_conductor.items() if other.type == entry.type}
        own = {name for name in heirs if self.is_own(self.of_conductor[name], key)}
        return self.reading.place("wire_types", entry.type, key) if heirs - own <= names else first.place
