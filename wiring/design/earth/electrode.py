"""The electrode of a TT system against the residual current devices behind it, and what none of them guards."""

from __future__ import annotations

from collections.abc import Collection
from math import inf

from wiring.circuit.model import Edge, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.device.devices import UPSTREAM
from wiring.design.fault.disconnection import electrode_ohm
from wiring.parts.elements import Feed, Link, Pole, Switch
from wiring.parts.passive import Metalwork
from wiring.parts.protection import ResidualCurrentDevice
from wiring.plan.site import BuildingRcd
from wiring.rulebooks.devices import clears

#: The device of the building among the parts.
BUILDING = "the residual current device of the building"
#: A circuit that distributes is switched off within this time in a TT system: IEC 60364-4-41, 411.3.2.4 (from memory).
_DISTRIBUTED_S = 1.0


def residual_currents(design: Design) -> dict[str, float]:
    """The residual current [A] of every device, that of the building by its words."""
    found = {
        part.name: part.data.residual for part in design.parts.values() if isinstance(part.data, ResidualCurrentDevice)
    }
    mains = design.plan.mains
    if mains is not None and isinstance(mains.rcd, BuildingRcd) and mains.rcd.residual is not None:
        found[BUILDING] = mains.rcd.residual
    return found


def has_metal(design: Design) -> bool:
    """Whether the cabinet is of metal, or has some that is earthed."""
    material = design.plan.enclosure.material if design.plan.enclosure else None
    places = (part.data.at for part in design.parts.values() if isinstance(part.data, Metalwork))
    metalwork = any(place in ("cabinet", "door") for place in places)
    return metalwork or material not in (None, "plastic")


def opens_by_overcurrent(design: Design) -> bool:
    """Whether the device in front of the machine opens in time on what the electrode lets pass."""
    device, mains = design.short_circuits.known.get(UPSTREAM), design.plan.mains
    ohm = electrode_ohm(design.machine)
    if device is None or mains is None or ohm is None:
        return False
    return clears(device, earth_fault_a(design), False).max_s <= _DISTRIBUTED_S


def earth_fault_a(design: Design) -> float:
    """What a fault to earth drives through the electrode [A], at the voltage of a line to earth."""
    ohm, inlets = electrode_ohm(design.machine), {part.name for part, _ in design.circuit.elements(Feed)}
    volts = max((level.earth_v for level in design.levels.values() if level.source in inlets), default=0.0)
    return volts / ohm if ohm else inf


def unguarded(design: Design) -> tuple[str, ...]:
    """The parts that lead the mains on, ahead of every residual current device of the machine."""
    circuit = design.circuit
    starts = [(part.name, feed.terminal) for part, feed in circuit.elements(Feed) if _is_live(feed)]

    def leads(edge: Edge, far: Node) -> bool:
        return not is_earth_point(circuit, far) and (not isinstance(edge, Inner) or _passes(design, edge))

    reached = {name for name, _ in circuit.walk(starts, leads)}
    leading = {name for name in reached & design.parts.keys() if design.parts[name].of(Feed, Pole, Switch)}
    return tuple(sorted(leading - _residual(design, leading)))


def _is_live(feed: object) -> bool:
    return isinstance(feed, Feed) and feed.conductor != "PE"


def _residual(design: Design, names: Collection[str]) -> set[str]:
    return {name for name in names if isinstance(design.parts[name].data, ResidualCurrentDevice)}


def _passes(design: Design, edge: Inner) -> bool:
    passes = isinstance(edge.element, Pole | Switch | Link)
    return passes and not isinstance(design.parts[edge.part].data, ResidualCurrentDevice)
