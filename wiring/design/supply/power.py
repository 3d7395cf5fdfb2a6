"""The power of a machine at work: what its supplies deliver, and what is lost on the way to its loads."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from wiring.design.conductor.load_drops import LoadDrop, drops_from_board, load_drops
from wiring.design.enclosure.cabinet import Cabinet
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.supply.assumed_loads import Assumed, assumed_loads
from wiring.design.supply.paralleled_sources import battery_chargers
from wiring.design.supply.supplies import SupplyFigure, supply_figures


class Power(Struct, frozen=True, dict=True):
    """Supplies and loads in every state."""

    machine: Machine
    operation: Operation
    cabinet: Cabinet

    @cached_property
    def supplies(self) -> Mapping[str, Mapping[str, SupplyFigure]]:
        """For every supply and state: current, peak, what is available after derating."""
        return supply_figures(self.machine, self.operation, self.cabinet.inside)

    @cached_property
    def budgeted(self) -> Mapping[str, Mapping[str, SupplyFigure]]:
        """The same without chargers beside their battery: at their limit by nature, as the battery gives the rest."""
        chargers = battery_chargers(self.machine, self.operation)
        return {name: rows for name, rows in self.supplies.items() if name not in chargers}

    @cached_property
    def assumed(self) -> Mapping[str, tuple[Assumed, ...]]:
        """By part what its load was assumed to take for want of data."""
        return assumed_loads(self.machine, self.operation)

    @cached_property
    def drops(self) -> Mapping[str, LoadDrop]:
        """What every load loses on the way from its source and back."""
        return load_drops(self.machine, self.operation)

    @cached_property
    def drops_from_board(self) -> Mapping[str, LoadDrop]:
        """What every load on the mains loses on the way from the panel board of the building and back."""
        return drops_from_board(self.machine, self.operation)
