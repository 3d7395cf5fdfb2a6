"""The operating point for thousands of faults: exact enough for a meter, and mains solved once for all faults on DC.

A fault on the DC side changes the mains side only through what the supplies draw. Where contacts and live supplies are
the same and the powers alike, the mains side of an earlier fault serves.
"""

from __future__ import annotations

from collections.abc import MutableMapping
from math import log2
from typing import TYPE_CHECKING

from msgspec.structs import replace

from wiring.parts.elements import Coil, Logic, Switch
from wiring.parts.switching import Coiled
from wiring.solver.assembly import Position
from wiring.solver.lowering import Lowered
from wiring.solver.operating import Layer, OperatingPoint
from wiring.solver.settling import Machine

if TYPE_CHECKING:
    from wiring.design.design import Design

_SETTLED = 1e-6
#: Powers within the same eighth of a doubling count as alike.
_STEPS = 8


class _QuickMachine(Machine):
    def __init__(
        self,
        lowered: Lowered,
        position: Position,
        start: OperatingPoint,
        warm: OperatingPoint,
        owner: Quick,
    ) -> None:
        super().__init__(lowered, position, start, warm)
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
    conductors and contacts on the mains side. `latching` is set where a coil may hold itself, so that the coils of the
    sound machine must not be taken as a start."""

    def __init__(
        self,
        layers: MutableMapping[object, Layer],
        tag: str,
        mains_paths: frozenset[str],
        latching: bool,
    ) -> None:
        self.layers, self.tag, self.mains_paths, self.latching = layers, tag, mains_paths, latching

    def __call__(
        self, lowered: Lowered, position: Position, start: OperatingPoint, near: OperatingPoint | None
    ) -> OperatingPoint:
        """The operating point of a machine in a position, coming from `start`; `near` is the sound machine there."""
        if near is not None and not self.latching:
            logic = {(part.name, unit.outputs) for part, unit in lowered.circuit.elements(Logic)}
            attracted = (near.attracted - logic) | (start.attracted & logic)
            machine = _QuickMachine(lowered, position, replace(near, attracted=attracted), near, self)
            point = machine.settle()
            if _would_come(machine, point, start):
                return point
        return _QuickMachine(lowered, position, start, near or start, self).settle()


def _would_come(machine: Machine, point: OperatingPoint, start: OperatingPoint) -> bool:
    """Whether the coils stand as they would, coming from `start`: what came on is above its pick-up, what fell is below
    its drop-out."""
    for key, coil in machine.coils.items():
        actuator = (key[0], coil.moves)
        if actuator in machine.held or key[0] in machine.position.off:
            continue
        volts = abs(point.between((key[0], coil.a), (key[0], coil.b), coil.kind or "DC"))
        on, was = actuator in point.attracted, actuator in start.attracted
        if (on and not was and volts < coil.pick_up_v) or (was and not on and volts >= coil.drop_out_v):
            return False
    return True


def may_latch(design: Design) -> bool:
    """Whether a make contact of a contactor or relay touches the net of a coil of one, so that it may hold on."""
    nets = design.nets.of
    devices = [part for part in design.parts.values() if isinstance(part.data, Coiled)]
    coils = {
        nets[part.name, end]
        for part in devices
        for coil in part.elements
        if isinstance(coil, Coil)
        for end in (coil.a, coil.b)
    }
    return any(
        nets[part.name, end] in coils
        for part in devices
        for contact in part.elements
        if isinstance(contact, Switch) and not contact.closed_at_rest
        for end in (contact.a, contact.b)
    )
