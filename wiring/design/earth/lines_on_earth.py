"""Conductors that lead a live pole of a source onto the protective earth, or onto a case that should be on it."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.machine import Machine
from wiring.design.motor.drive_outputs import joined_source, never_closed
from wiring.design.nets import SourcePole
from wiring.design.operation import Operation
from wiring.rulebooks.citation import Limit


class LineOnEarth(Struct, frozen=True):
    """A conductor that joins the earth terminal of a part to a live pole; `volts` are those of the source."""

    conductor: Conductor
    earth: Node
    source: str
    volts: float


def lines_on_earth(machine: Machine, operation: Operation) -> Iterator[LineOnEarth]:
    """Every conductor with an earth terminal at one end of which the other end reaches a live pole, over contacts that
    some state closes: a line of the mains, or a pole of a source whose other pole is bonded."""
    poles = {pole.node: pole for pole in machine.nets.poles if pole.main and _is_live(machine, pole)}
    open_ = never_closed(operation)
    for wire in machine.circuit.conductors:
        ends = [end for end in wire.ends if is_earth_point(machine.circuit, end)]
        if len(ends) != 1 or wire.kind == "shield":
            continue
        hit = joined_source(machine, wire.other(ends[0]), set(poles), open_)
        if hit is not None:
            yield LineOnEarth(wire, ends[0], poles[hit].source, poles[hit].volts)


def _is_live(machine: Machine, pole: SourcePole) -> bool:
    """Whether a pole must not touch the earth: a line of the mains, or what stands above extra-low voltage against the
    bonded pole of its source."""
    if pole.sign == "N":
        return False
    if pole.sign not in ("+", "-", "~"):
        return True
    low = machine.book.extra_low_voltage(pole.kind)
    others = [one for one in machine.nets.poles if one.source == pole.source and one.main and one.node != pole.node]
    above = not isinstance(low, Limit) or pole.volts > low.value
    return above and any(_is_bonded(machine, one, pole) for one in others)


def _is_bonded(machine: Machine, one: SourcePole, pole: SourcePole) -> bool:
    net = machine.nets.of[one.node]
    return net != machine.nets.of[pole.node] and bool(machine.nets.bonds_at.get(net))
