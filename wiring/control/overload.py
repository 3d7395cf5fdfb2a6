"""What a fault makes of a circuit: bridges as conductors, and the devices that open when they carry too much."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from wiring.circuit.model import Circuit, Inner, Node
from wiring.control.fault_record import EARTH, Fault
from wiring.control.faults import earth_node
from wiring.parts.elements import Link, Pole
from wiring.parts.protection import device_rating
from wiring.solver.lowering import ConductingElement, Lowered, prospective_a
from wiring.solver.network import VoltageSource
from wiring.solver.operating import Layer, OperatingPoint

_BRIDGE_OHM = 1e-3
#: A protective device opens at this multiple of its rating (own choice, above every conventional tripping current).
BLOWS_AT = 2.0
#: A conductor of the mains that carries this share of the prospective current is in a short circuit (own choice).
SHORTED_AT = 0.2


def with_bridges(lowered: Lowered, faults: Sequence[Fault]) -> Lowered:
    """The circuit with the bridges of some faults as conductors of their own."""
    edges = []
    for fault in faults:
        if fault.bridge is None:
            continue
        ends = [_real(lowered.circuit, node) for node in fault.bridge]
        first, second = ends
        if first is None or second is None or lowered.index[first] == lowered.index[second]:
            continue
        link = Inner(fault.id, Link(first[1], second[1], _BRIDGE_OHM), first, second)
        edges.append(ConductingElement(fault.id, lowered.index[first], lowered.index[second], _BRIDGE_OHM, link))
    return replace(lowered, edges=(*lowered.edges, *edges)) if edges else lowered


def _real(circuit: Circuit, node: Node) -> Node | None:
    return earth_node(circuit) if node == EARTH else node


def trips_at(circuit: Circuit) -> dict[str, float]:
    """Current at which every pole of a protective device opens [A]."""
    found = {}
    for part, pole in circuit.elements(Pole):
        rating = device_rating(part)
        if rating:
            found[f"{part.name}:{pole.name}"] = BLOWS_AT * rating
    return found


def most_overloaded(point: OperatingPoint, limits: Mapping[str, float]) -> str:
    """The path that carries most above its limit, by its id; empty when none does. `limits` in ampere by path."""
    worst, over = "", 1.0
    for kind in ("DC", "AC"):
        currents = point.path_current(kind)
        for path, limit in limits.items():
            share = abs(currents.get(path, 0.0)) / limit
            if share > over:
                worst, over = path, share
    return worst


def shorted_mains(lowered: Lowered, ac: Layer) -> tuple[VoltageSource, ...]:
    """The conductors of the mains that feed a short circuit which nothing in the machine opens: the device ahead of it
    does."""
    limit = SHORTED_AT * prospective_a(lowered.circuit.plan.mains)
    sources = lowered.mains_sources
    amps = zip(sources, ac.solution.source_a[: len(sources)], strict=True)
    return tuple(source for source, current in amps if current is not None and abs(current) > limit)
