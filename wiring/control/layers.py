"""Layers of a machine in motion: found once for everything that they follow from, and with an answer of some kind where
there is no operating point."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import ClassVar, NamedTuple

from msgspec import Struct, field
from msgspec.structs import replace

from wiring.circuit.model import Inner
from wiring.effort import spend
from wiring.parts.elements import Switch
from wiring.solver.assembly import Actuator, Demand, ElementKey, Position
from wiring.solver.live_blocks import Live, LiveBlocks
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


#: Circuits with bridges, and what counts in them, that are kept.
_KEPT = 8
#: What a layer costs for each node, in steps.
_PER_NODE = 4
#: Nodes of layers that are kept with their pieces: beyond, all are found anew.
_KEPT_NODES = 200_000


class Solved(Struct, frozen=True):
    """Layers found before, by everything that they follow from, and the pieces solved for them; by frequency the blocks
    of the circuit and what of it counts, `plain` and with bridges."""

    layers: dict[Hashable, Found] = field(default_factory=dict)
    pieces: Known = field(default_factory=dict)
    blocks: dict[str, LiveBlocks] = field(default_factory=dict)
    live: dict[Hashable, Live] = field(default_factory=dict)
    plain: dict[Hashable, Lowered] = field(default_factory=dict)
    circuits: dict[Hashable, Lowered] = field(default_factory=dict)

    def make_room(self, nodes: int) -> None:
        """Forget where another layer of so many nodes would be too much."""
        if (len(self.layers) + 1) * nodes > _KEPT_NODES:
            self.forget()

    def forget(self) -> None:
        """Keep nothing: the machine is asked for something else, or there is too much of it."""
        for kept in (self.layers, self.pieces, self.live, self.plain, self.circuits):
            kept.clear()


def solved_from(running: OperatingPoint) -> Solved:
    """What was found before in any play that began with the machine running so."""
    solved: Solved = running.memory.setdefault(Solved, Solved())
    return solved


class LayeredMachine(Machine):
    """A machine that shares the layers it has `solved`. `carried`: supplies carry on in a network without operating
    point, else they let go; `doubts` says of each layer why it has none. Its layers know nothing of what can carry no
    current at their frequency, unless it is looked at `entire`."""

    entire: ClassVar[bool] = False

    def __init__(
        self, lowered: Lowered, position: Position, running: OperatingPoint, solved: Solved, carried: bool
    ) -> None:
        super().__init__(lowered, position, running, running, solved.pieces)
        self.solved, self.carried, self.whole = solved, carried, lowered
        self.doubts: dict[str, str] = {}

    def solve_layer(self, kind: str) -> Layer:
        """One layer, as it was found before when the same contacts, sources and loads stood so already."""
        key = self._standing(kind)
        known = self.solved.layers.get(key)
        if known is None:
            spend(_PER_NODE * self.whole.count)
            layer, doubt = self._solve_layer(kind)
            self.solved.make_room(self.whole.count)
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

    def _live(self, kind: str) -> Live:
        """What counts at a frequency, with the bridges that are there."""
        bridges = self.lowered.edges[len(self.whole.edges) :]
        key = kind, tuple(edge.id for edge in bridges)
        found = self.solved.live.get(key)
        if found is None:
            if kind not in self.solved.blocks:
                self.solved.blocks[kind] = LiveBlocks(self.whole, kind)
            if len(self.solved.live) > _KEPT:
                self.solved.live.clear()
            found = self.solved.live[key] = self.solved.blocks[kind].live(bridges)
        return found

    def seen(self, kind: str) -> tuple[Lowered, Position]:
        """The circuit without what can carry no current, so that one layer and all that is worked out for it serve many
        positions."""
        if self.entire:
            return super().seen(kind)
        live, position = self._live(kind), self.position
        return self._circuit(kind, live), replace(
            position,
            moved=(self.held | self.attracted) & live.actuators,
            opened=position.opened & live.paths,
            closed=position.closed & live.paths,
        )

    def _circuit(self, kind: str, live: Live) -> Lowered:
        """What of the circuit counts, with the bridges that do, and with the mains as they are where they do."""
        whole = self.whole
        sources = self.lowered.mains_sources if live.mains else whole.mains_sources
        circuits = self.solved.circuits if live.bridges else self.solved.plain
        key = kind, tuple(edge.id for edge in live.bridges), sources
        found = circuits.get(key)
        if found is None:
            if len(circuits) > _KEPT:
                circuits.clear()
            edges = (*(edge for edge in whole.edges if edge.id in live.paths), *live.bridges)
            found = circuits[key] = replace(whole, edges=edges, mains_sources=sources)
        return found

    def _wired(self, kind: str) -> int:
        """How many of the edges that a layer sees are no bridges."""
        return len(self.whole.edges) if self.entire else self._live(kind).wired

    def _standing(self, kind: str) -> Hashable:
        """Everything that a layer follows from, volts and watts to the millionth: not the fault, but what it opens,
        closes and bridges, so that one layer serves all faults that leave it as it is."""
        lowered, position = self.seen(kind)
        moved, opened, closed = position.moved, position.opened, position.closed
        if "switches" not in lowered.memory:
            lowered.memory["switches"] = _switches(lowered)
        switches, names = lowered.memory["switches"]
        return (
            kind,
            tuple(
                path not in opened and (path in closed or rests != (mover in moved)) for path, mover, rests in switches
            ),
            opened - names,
            tuple(edge.id for edge in lowered.edges[self._wired(kind) :]),
            position.off,
            tuple(key for key, demand in position.demand.items() if demand == Demand()),
            lowered.mains_sources,
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
        return unloaded_layer(*self.seen(kind), kind, self.output_v, self.known), doubt


def _switches(lowered: Lowered) -> tuple[list[tuple[str, Actuator, bool]], frozenset[str]]:
    """Every contact with what moves it and whether it is closed at rest, and their ids."""
    found = [
        (edge.id, (edge.source.part, edge.source.element.actuator), edge.source.element.closed_at_rest)
        for edge in lowered.edges
        if isinstance(edge.source, Inner) and isinstance(edge.source.element, Switch)
    ]
    return found, frozenset(path for path, _, _ in found)


def _is_open(layer: Layer) -> bool:
    return layer.solution.outcome in (Outcome.UNDECIDED, Outcome.COLLAPSED)
