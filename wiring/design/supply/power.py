"""The power of a machine at work: what its supplies deliver, what is lost on the way to its loads, and what loads were
assumed to take because the plan leaves it out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cached_property
from typing import NamedTuple

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.conductor.load_drops import LoadDrop, drops_from_board, load_drops
from wiring.design.enclosure.cabinet import Cabinet
from wiring.design.machine import Machine
from wiring.design.motor.demands import Moment
from wiring.design.operation import Operation
from wiring.design.supply.paralleled_sources import battery_chargers
from wiring.design.supply.supplies import SupplyFigure, supply_figures
from wiring.parts.base import Part
from wiring.parts.drives import LogicSupply
from wiring.parts.motors import MotorEncoder
from wiring.plan.ratings import CoilRating

#: The most that a board takes from its extra-low voltage, and an encoder [A] (own choice: a large controller, a hub).
_LARGE_BOARD_A, _LARGE_ENCODER_A = 1.0, 0.3
#: The most that a coil takes whose label gives its voltage alone [W] (own choice: a brake, or a large DC contactor).
_LARGE_COIL_W = 30.0
#: Keys that may hold a coil, in words.
_COILS = {"coil": "coil power", "rated": "coil power", "supply": "supply power"}


class Assumed(NamedTuple):
    """A value left out: of which part, in words, and how much more it may take than was assumed [A] at its voltage.

    `more_a` is None where nothing bounds it, as for the work of a motor. `more_w` is the heat of that current [W].
    """

    part: str
    words: str
    more_a: float | None
    more_w: float = 0.0


def assumed_loads(machine: Machine, operation: Operation) -> Mapping[str, tuple[Assumed, ...]]:
    """By the part at whose terminals the current flows, a drive for its motors, what was assumed of its load."""
    drives = machine.topology.drive_of
    found: dict[str, list[Assumed]] = {}
    for name, words in sorted({one for state in operation.state_entries for one in _asked(operation, state)}):
        found.setdefault(drives[name].name if name in drives else name, []).append(Assumed(name, words, None))
    for part in machine.parts.values():
        for one in _electronics(part):
            found.setdefault(part.name, []).append(one)
    return {name: tuple(rows) for name, rows in found.items()}


def _asked(operation: Operation, state: str) -> Iterable[tuple[str, str]]:
    return operation.demands(state, Moment.WORK).assumed


def _electronics(part: Part) -> Iterator[Assumed]:
    for key, most_a in (("supply", _LARGE_BOARD_A), ("logic", _LARGE_BOARD_A), ("encoder", _LARGE_ENCODER_A)):
        fed = getattr(part.data, key, None)
        if isinstance(fed, LogicSupply | MotorEncoder) and fed.current is None:
            more_a = max(most_a - fed.taken_a, 0.0)
            yield Assumed(part.name, f"{key} current", more_a, more_a * fed.voltage.volts)
    for key, words in _COILS.items():
        coil = getattr(part.data, key, None)
        if isinstance(coil, CoilRating) and not coil.is_known:
            yield Assumed(part.name, words, _LARGE_COIL_W / coil.voltage.volts, _LARGE_COIL_W)


def behind(loads: Mapping[str, tuple[Assumed, ...]], nodes: Iterable[Node]) -> tuple[Assumed, ...]:
    """What was assumed of the loads at some nodes, in the order of the parts."""
    return tuple(one for name in sorted({node[0] for node in nodes}) for one in loads.get(name, ()))


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
