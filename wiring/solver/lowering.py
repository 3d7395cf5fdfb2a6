"""A circuit as numbered nodes and resistances: names and places stay behind, and come back with the answer.

Zero-ohm links are merged. The incoming supply becomes sources behind the impedance that its declared prospective
short-circuit current gives, split between the conductors of the loop.
"""

from __future__ import annotations

from cmath import rect
from collections.abc import Callable, Mapping
from functools import cached_property
from math import radians
from typing import Any

from msgspec import Struct

from wiring.circuit.model import Circuit, Conductor, Inner, Node
from wiring.disjoint_sets import DisjointSets
from wiring.parts.elements import Feed, Link, Switch
from wiring.plan.site import Mains
from wiring.solver.network import Branch, VoltageSource

#: Resistance of a conductor, shape (), [ohm], above 0.
ConductorOhm = Callable[[Conductor], float]

#: Prospective current assumed for the working state when a plan gives none [A].
ASSUMED_FAULT_CURRENT_A = 1000.0
_LEAST_OHM = 1e-6
_EARTH_ELECTRODE_OHM = {"TT": 20.0, "IT": 1e6}
_LIVE_ANGLES = {
    "single-phase": {"L": 0.0, "L1": 0.0},
    "split-phase": {"L1": 0.0, "L2": 180.0, "L": 0.0},
    "three-phase": {"L1": 0.0, "L2": -120.0, "L3": 120.0, "L": 0.0},
}


class ConductingElement(Struct, frozen=True):
    """A conductor or inner path between numbered nodes."""

    id: str
    a: int
    b: int
    ohm: float
    source: Conductor | Inner


class Lowered(Struct, frozen=True, dict=True):
    """Numbers for names: `index` of every node (merged nodes share one), the edges, and the incoming supply."""

    circuit: Circuit
    index: Mapping[Node, int]
    count: int
    edges: tuple[ConductingElement, ...]
    earth: int
    mains_sources: tuple[VoltageSource, ...]
    mains_branches: tuple[Branch, ...]

    @cached_property
    def memory(self) -> dict[Any, Any]:
        """What was worked out before for a position of its contacts; only saves time."""
        return {}

    @cached_property
    def ohms(self) -> Mapping[str, float]:
        """The resistance of every edge by its id [ohm]."""
        return {edge.id: edge.ohm for edge in self.edges}


def line_to_neutral_v(mains: Mains) -> float:
    """Voltage of a line conductor to neutral, shape (), [V].

    Mains are named by the voltage between their outer lines when there are several, else by line to neutral.
    """
    divisor: float = {"single-phase": 1.0, "split-phase": 2.0, "three-phase": 3.0**0.5}[mains.system]
    return mains.voltage.volts / divisor


def prospective_a(mains: Mains | None) -> float:
    """Prospective short-circuit current at the incoming supply, shape (), [A]: what the plan states, else assumed."""
    return (mains.fault_current if mains is not None else None) or ASSUMED_FAULT_CURRENT_A


def _loop_shares(mains: Mains) -> tuple[float, float]:
    """Impedance of a line conductor and of the neutral or protective conductor back to the source [ohm]."""
    loop = (mains.voltage.volts if mains.system == "split-phase" else line_to_neutral_v(mains)) / prospective_a(mains)
    return (loop, loop) if mains.system == "three-phase" else (loop / 2, loop / 2)


def return_ohm(mains: Mains) -> float:
    """Impedance of the neutral or protective conductor back to the source of the incoming supply [ohm]."""
    return _loop_shares(mains)[1]


def _mains(
    mains: Mains | None, feeds: Mapping[str, int], earth: int, star: int
) -> tuple[list[VoltageSource], list[Branch]]:
    if mains is None:
        return [], []
    line_ohm, back_ohm = _loop_shares(mains)
    angles = _LIVE_ANGLES[mains.system]
    volts = line_to_neutral_v(mains)
    sources = [
        VoltageSource(node, star, rect(volts, radians(angles[name])), line_ohm)
        for name, node in sorted(feeds.items())
        if name in angles
    ]
    branches = [Branch(earth, star, _EARTH_ELECTRODE_OHM.get(mains.earthing or "", _LEAST_OHM))]
    if "N" in feeds:
        branches.append(Branch(feeds["N"], star, back_ohm))
    if "PE" in feeds:
        branches.append(Branch(feeds["PE"], earth, back_ohm))
    return sources, branches


def lower(circuit: Circuit, conductor_ohm: ConductorOhm) -> Lowered:
    """Number the nodes of a circuit and give every path its resistance."""
    place = {node: n for n, node in enumerate(circuit.nodes)}
    joined = DisjointSets(len(circuit.nodes))
    for path in circuit.inner:
        if isinstance(path.element, Link) and path.element.ohm == 0.0:
            joined.join(place[path.a], place[path.b])
    roots = sorted({joined.find(n) for n in range(len(circuit.nodes))})
    compact = {root: n for n, root in enumerate(roots)}
    index = {node: compact[joined.find(n)] for node, n in place.items()}
    earth, star = len(roots), len(roots) + 1
    edges = [
        ConductingElement(wire.id, index[wire.a], index[wire.b], max(conductor_ohm(wire), _LEAST_OHM), wire)
        for wire in circuit.conductors
    ]
    for path in circuit.inner:
        if not (isinstance(path.element, Link) and path.element.ohm == 0.0):
            edges.append(
                ConductingElement(path.id, index[path.a], index[path.b], max(path.element.ohm, _LEAST_OHM), path)
            )
    feeds = {
        element.conductor: index[part.name, element.terminal]
        for part, element in circuit.elements(Feed)
        if isinstance(element, Feed)
    }
    sources, branches = _mains(circuit.plan.mains, feeds, earth, star)
    return Lowered(circuit, index, len(roots) + 2, tuple(edges), earth, tuple(sources), tuple(branches))


def is_closed(
    edge: ConductingElement,
    moved: frozenset[tuple[str, str]],
    opened: frozenset[str],
    closed: frozenset[str] = frozenset(),
) -> bool:
    """Whether a path conducts: `moved` are the actuators that are not at rest, `opened` and `closed` the ids of paths
    held so; held open counts more."""
    if edge.id in opened:
        return False
    if edge.id in closed:
        return True
    if isinstance(edge.source, Inner) and isinstance(edge.source.element, Switch):
        switch = edge.source.element
        return switch.closed_at_rest != ((edge.source.part, switch.actuator) in moved)
    return True
