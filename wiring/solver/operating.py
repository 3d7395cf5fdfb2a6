"""The operating point of a whole machine: what flows and stands where, at DC and at mains frequency."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Any

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.solver.assembly import Actuator, Assembled, ElementKey, Position
from wiring.solver.lowering import Lowered
from wiring.solver.solution import Solution


class Layer(Struct, frozen=True, dict=True):
    """The answer at one frequency."""

    assembled: Assembled
    solution: Solution
    volts: tuple[complex | None, ...]

    @cached_property
    def hung(self) -> Mapping[int, int | None]:
        """For every node of a dead end the next one inwards; None where it touches nothing."""
        return dict(self.assembled.hung)

    @cached_property
    def path_a(self) -> Mapping[str, complex]:
        """Current of every conductor, contact and pole by its id."""
        pairs = zip(self.assembled.branch_keys, self.solution.branch_a, strict=True)
        return {key: current for key, current in pairs if isinstance(key, str) and current is not None}

    @cached_property
    def element_a(self) -> Mapping[ElementKey, complex]:
        """Current of every load, coil and converter output by its key."""
        assembled, solution = self.assembled, self.solution
        found: dict[ElementKey, complex] = {}
        for keys, values in (
            (assembled.branch_keys, solution.branch_a),
            (assembled.source_keys, solution.source_a),
            (assembled.power_keys, solution.power_a),
            (assembled.current_keys, solution.current_a),
        ):
            found.update(
                (key, value)
                for key, value in zip(keys, values, strict=True)
                if isinstance(key, tuple) and value is not None
            )
        return found


class OperatingPoint(Struct, frozen=True, dict=True):
    """The machine in one state. `settled` is False when contacts or supplies never came to rest: `unsettled` are they.

    `attracted` holds the coils and logic units that are on; `live` the outputs that deliver.
    """

    lowered: Lowered
    position: Position
    dc: Layer
    ac: Layer
    attracted: frozenset[Actuator]
    live: frozenset[ElementKey]
    input_w: Mapping[ElementKey, float]
    settled: bool
    unsettled: tuple[str, ...] = ()

    @cached_property
    def memory(self) -> dict[Any, Any]:
        """What was worked out before of the machine as it goes on from here; only saves time."""
        return {}

    def layer(self, kind: str) -> Layer:
        """The answer at 0 Hz (DC) or mains frequency (AC)."""
        return self.dc if kind == "DC" else self.ac

    def volts(self, node: Node, kind: str) -> complex | None:
        """Voltage of a node to earth; None where it has none."""
        return self.layer(kind).volts[self.lowered.index[node]]

    def between(self, a: Node, b: Node, kind: str) -> float:
        """Size of the voltage between two nodes [V], 0 where nothing ties them; signed at DC."""
        layer = self.layer(kind)
        first, second = layer.volts[self.lowered.index[a]], layer.volts[self.lowered.index[b]]
        if first is not None and second is not None:
            difference = first - second
        else:
            difference = _inner_difference(layer, self.lowered.index[a], self.lowered.index[b])
        return difference.real if kind == "DC" else abs(difference)

    def path_current(self, kind: str) -> Mapping[str, complex]:
        """Current of every conductor, contact and pole by its id [A], from its `a` end to its `b` end."""
        return self.layer(kind).path_a

    def element_current(self, kind: str) -> Mapping[ElementKey, complex]:
        """Current of every load, coil and converter output by its key [A]."""
        return self.layer(kind).element_a

    @property
    def residual_a(self) -> float:
        """Largest failure of Kirchhoff's current law at any node [A]."""
        return max(self.dc.solution.residual_a, self.ac.solution.residual_a)


def _inner_difference(layer: Layer, a: int, b: int) -> complex:
    at = layer.assembled.at
    hung = layer.hung
    ends = []
    for node in (a, b):
        while node not in at:
            via = hung.get(node)
            if via is None:
                return 0.0
            node = via
        ends.append(at[node])
    difference = layer.solution.between(*ends)
    return 0.0 if difference is None else difference
