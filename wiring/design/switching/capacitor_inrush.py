"""Contacts of a DC rail that close onto empty capacitors: reservoirs, and those on the bus of every drive.

An empty capacitor is a short circuit at the first moment. The capacitors on the other side of the contact are full and
have no limit of current, so what flows is the voltage over the resistance of the wires, whatever the supply gives.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.fault.paths import MAINS
from wiring.design.fault.records import Short, ShortCircuits
from wiring.design.machine import Machine
from wiring.design.nets import Net
from wiring.design.switching.inrush import contacts_before
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.parts.passive import Resistor
from wiring.parts.sources import Capacitor


class CapacitorInrush(Struct, frozen=True):
    """A contact, the parts behind it whose capacitors it fills, the peak [A] and the resistance that sets it [ohm]."""

    contact: str
    parts: tuple[str, ...]
    source: str
    volts: float
    ohm: float
    amps: float


def _capacitor_ends(part: Part) -> Iterator[str]:
    if isinstance(part.data, Capacitor):
        yield from ("+", "-")
    elif isinstance(part.data, Drive):
        for element in part.of(Draw):
            if element.name == "bus" and element.kind == "DC":
                yield from (element.a, element.b)


def _charging(machine: Machine, faults: ShortCircuits) -> dict[Net, set[int]]:
    """By the net of one end of every resistor, the sources that reach its other end."""
    hot, nets = faults.paths.hot, machine.nets
    found: dict[Net, set[int]] = {}
    for part in machine.parts.values():
        if isinstance(part.data, Resistor):
            first, second = ((part.name, terminal) for terminal in part.terminals)
            for end, other in ((first, second), (second, first)):
                if end in nets.of and other in hot and nets.of.get(other) != nets.of[end]:
                    found.setdefault(nets.of[end], set()).add(hot[other].origin)
    return found


def _behind(machine: Machine, faults: ShortCircuits) -> dict[str, list[tuple[str, Node, Short]]]:
    """Parts with capacitors behind each contact, each with the far end of the contact and the short at the part."""
    found: dict[str, list[tuple[str, Node, Short]]] = {}
    shorts = faults.to_return
    for part in machine.parts.values():
        for end in _capacitor_ends(part):
            short = shorts.get((part.name, end))
            if short is not None and short.dc and short.origin.part != MAINS:
                for contact, far in contacts_before(faults.paths, (part.name, end)).items():
                    found.setdefault(contact, []).append((part.name, far, short))
    return found


def capacitor_inrushes(machine: Machine, faults: ShortCircuits) -> tuple[CapacitorInrush, ...]:
    """Every contact that closes onto capacitors, by its part; drives behind one contact fill theirs at once."""
    found = []
    charging = _charging(machine, faults)
    hot, nets = faults.paths.hot, machine.nets
    for contact, rows in sorted(_behind(machine, faults).items()):
        far = rows[0][1]
        own = faults.to_return.get(far)
        if own is None or hot[far].origin in charging.get(nets.of[far], set()):
            continue  # a resistor leads round the contact, so the capacitors are full when it closes
        siemens = min(sum(1.0 / short.cold_ohm for _, _, short in rows), 1.0 / own.cold_ohm)
        parts = tuple(sorted({name for name, _, _ in rows}))
        found.append(CapacitorInrush(contact, parts, own.origin.part, own.volts, 1.0 / siemens, own.volts * siemens))
    return tuple(found)
