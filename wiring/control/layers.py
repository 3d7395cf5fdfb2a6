"""Layers of a machine in motion: found once for everything that they follow from, and with an answer of some kind where
there is no operating point."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import NamedTuple

from msgspec import Struct, field
from msgspec.structs import replace

from wiring.circuit.model import Inner
from wiring.parts.elements import Switch
from wiring.solver.assembly import Demand, ElementKey, Position
from wiring.solver.lowering import Lowered
from wiring.solver.operating import Layer, OperatingPoint
from wiring.solver.piecewise import Known
from wiring.solver.settling import Machine, unloaded_layer
from wiring.solver.solution import Outcome


class Found(NamedTuple):
    """A layer with what its inputs draw [W], what its loads ask for, and why it is open to doubt."""

    layer: Layer
    drawn: Mapping[ElementKey, float]
    demand: Mapping[ElementKey, Demand]
    doubt: str


class Solved(Struct, frozen=True):
    """Layers found before, by everything that they follow from, and the pieces solved for them."""

    layers: dict[Hashable, Found] = field(default_factory=dict)
    pieces: Known = field(default_factory=dict)

    def forget(self) -> None:
        """Keep nothing: the machine is asked for something else, or there is too much of it."""
        self.layers.clear()
        self.pieces.clear()


def solved_from(running: OperatingPoint) -> Solved:
    """What was found before in any play that began with the machine running so."""
    solved: Solved = running.memory.setdefault(Solved, Solved())
    return solved


class LayeredMachine(Machine):
    """A machine that shares the layers it has `solved`. `carried`: supplies carry on in a network without operating
    point, else they let go; `doubts` says of each layer why it has none."""

    def __init__(
        self, lowered: Lowered, position: Position, running: OperatingPoint, solved: Solved, carried: bool
    ) -> None:
        super().__init__(lowered, position, running, running, solved.pieces)
        self.solved, self.carried = solved, carried
        self.switches = [
            (edge.id, (edge.source.part, edge.source.element.actuator), edge.source.element.closed_at_rest)
            for edge in lowered.edges
            if isinstance(edge.source, Inner) and isinstance(edge.source.element, Switch)
        ]
        self.wired = len(lowered.edges)
        self.doubts: dict[str, str] = {}

    def solve_layer(self, kind: str) -> Layer:
        """One layer, as it was found before when the same contacts, sources and loads stood so already."""
        key = self._standing(kind)
        known = self.solved.layers.get(key)
        if known is None:
            layer, doubt = self._solve_layer(kind)
            drawn = {n: self.input_w[n] for n, e in self.inputs.items() if (n[0], e.name, kind) in self.fed_by}
            known = self.solved.layers[key] = Found(layer, drawn, self.position.demand, doubt)
        self.input_w.update(known.drawn)
        self.position = replace(self.position, demand=known.demand)
        if known.doubt and not self.carried:
            self._let_go(kind)
        self.last[kind], self.doubts[kind] = known.layer, known.doubt
        return known.layer

    def _let_go(self, kind: str) -> None:
        """Switch off every supply that draws from a layer without operating point."""
        supplies = {key[0] for key, element in self.inputs.items() if element.kind == kind}
        self.position = replace(self.position, off=self.position.off | supplies)
        self.output_v = {key: volts for key, volts in self.output_v.items() if key[0] not in supplies}

    def _standing(self, kind: str) -> Hashable:
        """Everything that a layer follows from, volts and watts to the millionth: not the fault, but what it opens,
        closes and bridges, so that one layer serves all faults that leave it as it is."""
        position = self.position
        moved, opened = self.held | self.attracted, position.opened
        return (
            kind,
            tuple(
                path not in opened and (path in position.closed or rests != (actuator in moved))
                for path, actuator, rests in self.switches
            ),
            opened.difference(path for path, _, _ in self.switches),
            tuple(edge.id for edge in self.lowered.edges[self.wired :]),
            position.off,
            tuple(key for key, demand in position.demand.items() if demand == Demand()),
            self.lowered.mains_sources,
            tuple((key, round(abs(volts), 6)) for key, volts in sorted(self.output_v.items())),
            tuple((key, round(watts, 6)) for key, watts in sorted(self.input_w.items())) if kind == "AC" else (),
        )

    def _solve_layer(self, kind: str) -> tuple[Layer, str]:
        """One layer, and why it is open to doubt. Loads of constant power that leave it without an operating point draw
        nothing from then on: volts then stand rather too high, and what is fed is told as fed. Where supplies ask for
        more than there is, they are looked at without what they draw: those with too few volts even then let go."""
        layer = super().solve_layer(kind)
        if _is_open(layer):
            pairs = zip(layer.assembled.power_keys, layer.solution.power_a, strict=True)
            idle = {key: Demand() for key, amps in pairs if amps is None}
            self.position = replace(self.position, demand={**self.position.demand, **idle})
            layer = super().solve_layer(kind)
        if not _is_open(layer):
            return layer, ""
        doubt = f"the {kind} network has no operating point ({layer.solution.reason or layer.solution.outcome})"
        position = replace(self.position, moved=self.held | self.attracted)
        return unloaded_layer(self.lowered, kind, position, self.output_v, self.known), doubt


def _is_open(layer: Layer) -> bool:
    return layer.solution.outcome in (Outcome.UNDECIDED, Outcome.COLLAPSED)
