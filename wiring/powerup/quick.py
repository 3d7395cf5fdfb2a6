"""The operating point for thousands of faults: exact enough for a meter, and mains solved once for all faults on DC.

A fault on the DC side changes the mains side only through what the supplies draw. Where contacts and live supplies are
the same and the powers alike, the mains side of an earlier fault serves.
"""

from __future__ import annotations

from collections.abc import MutableMapping
from dataclasses import replace
from math import log2

from wiring.solver.assembly import Position
from wiring.solver.lowering import Lowered
from wiring.solver.operating import Layer, Machine, OperatingPoint

_ROUNDS = 40
_SETTLED = 1e-6
#: Powers within the same eighth of a doubling count as alike.
_STEPS = 8


class _QuickMachine(Machine):
    def __init__(
        self,
        lowered: Lowered,
        position: Position,
        start: OperatingPoint,
        owner: Quick,
    ) -> None:
        super().__init__(lowered, position, start, start)
        self.layers, self.tag, self.mains_paths = owner.layers, owner.tag, owner.mains_paths
        self.plain = not any(output.kind == "AC" for output in self.outputs.values())

    def solve_layer(self, kind: str) -> Layer:
        """A layer; that of the mains from an earlier fault where nothing of it differs."""
        if kind != "AC" or not self.plain:
            return super().solve_layer(kind)
        key = self._key()
        if key not in self.layers:
            self.layers[key] = super().solve_layer(kind)
        return self.layers[key]

    def _draw_inputs(self, layer: Layer, kind: str) -> bool:
        before = dict(self.input_w)
        changed = super()._draw_inputs(layer, kind)
        return changed and any(
            abs(watts - before[key]) > _SETTLED * max(watts, 1.0) for key, watts in self.input_w.items()
        )

    def _key(self) -> object:
        position = self.position
        drawn = tuple(
            (key, round(_STEPS * log2(watts + 1.0)))
            for key, watts in sorted(self.input_w.items())
            if self.inputs[key].kind == "AC"
        )
        watts = tuple(sorted((key, demand.watts or 0.0) for key, demand in position.demand.items()))
        paths = (position.opened & self.mains_paths, position.closed & self.mains_paths)
        standing = (self.held | self.attracted, paths, position.off)
        return self.tag, bool(self.lowered.mains_sources), standing, drawn, watts


class Quick:
    """Solves like `operate`; `layers` are shared by all faults with the same `tag`. `mains_paths` are the ids of the
    conductors and contacts on the mains side."""

    def __init__(self, layers: MutableMapping[object, Layer], tag: str, mains_paths: frozenset[str]) -> None:
        self.layers, self.tag, self.mains_paths = layers, tag, mains_paths

    def __call__(self, lowered: Lowered, position: Position, start: OperatingPoint) -> OperatingPoint:
        """The operating point of a machine in a position, coming from `start`."""
        machine = _QuickMachine(lowered, position, start, self)
        changed: list[str] = []
        for _ in range(_ROUNDS):
            dc, ac = machine.solve_layers()
            changed = machine.step(dc, ac)
            if not changed:
                break
        return OperatingPoint(
            lowered,
            replace(position, moved=machine.held | machine.attracted),
            dc,
            ac,
            frozenset(machine.attracted),
            frozenset(machine.output_v),
            dict(machine.input_w),
            not changed,
            tuple(sorted(set(changed))),
        )
