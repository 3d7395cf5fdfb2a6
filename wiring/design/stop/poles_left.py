"""Hazards that a stop parts from some lines of their source and leaves on others."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.machine import Machine
from wiring.design.motor.drive_outputs import joined_source
from wiring.design.stop.hazards import probes_of
from wiring.design.stop.stopping import Stopping
from wiring.parts.base import Part
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint


class PoleLeft(Struct, frozen=True):
    """A hazard of which a stop device parts some terminals from their lines and leaves `terminals` on them, by the
    conductors that end there."""

    hazard: str
    stop: str
    device: str
    terminals: tuple[Node, ...]
    conductors: tuple[str, ...]


def poles_left(stopping: Stopping) -> Iterator[PoleLeft]:
    """Every hazard that a stop removes by some of its lines only."""
    machine = stopping.machine
    if not stopping.effects:
        return
    for effect in stopping.effects:
        for name in effect.removed:
            left = left_on_lines(machine, machine.parts[name], effect.running, effect.point)
            if left:
                wires = {wire.id: None for end in left for wire in machine.circuit.conductors_at(end)}
                yield PoleLeft(name, effect.stop, effect.device, left, tuple(wires))


def left_on_lines(machine: Machine, part: Part, before: OperatingPoint, after: OperatingPoint) -> tuple[Node, ...]:
    """The terminals through which something is fed that stay on their lines, where others are parted from theirs."""
    lines = _lines(machine)
    running, stopped = _open(before), _open(after)
    probes = probes_of(part, machine.axes)
    ends = sorted({(one.part, end) for one in probes for end in (one.a, one.b)})
    fed = [end for end in ends if joined_source(machine, end, lines, running)]
    left = tuple(end for end in fed if joined_source(machine, end, lines, stopped))
    return left if len(left) < len(fed) else ()


def _lines(machine: Machine) -> set[Node]:
    """The poles that are no neutral and are not bonded to the earth."""
    nets = machine.nets
    return {
        pole.node
        for pole in nets.poles
        if pole.main and pole.sign not in ("N", "-") and not nets.bonds_at.get(nets.of[pole.node])
    }


def _open(point: OperatingPoint) -> frozenset[str]:
    """The contacts that stand open at an operating point."""
    moved, opened = point.position.moved, point.position.opened
    return frozenset(edge.id for edge in point.lowered.edges if not is_closed(edge, moved, opened))
