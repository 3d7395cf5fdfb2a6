"""The cable of the building that leads to the machine: how it is laid, and its impedance."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.circuit.model import Node
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.elements import Feed
from wiring.plan.site import BuildingFeed, Mains
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.insulation import ASSUMED, highest_temperature
from wiring.rulebooks.laying import Laying
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.voltage_drop_formulas import REACTANCE_OHM_PER_M
from wiring.solver.operating import OperatingPoint

#: Air temperature of a building where the plan gives none [°C]: that of its tables.
_BUILDING_C = tabled("common", "building_air").value


def feed_insulation_c(machine: Machine, feed: BuildingFeed) -> float:
    """Highest temperature of the conductors of a feed [°C], the lowest common one where its insulation is not given."""
    return highest_temperature(feed.insulation or ASSUMED[machine.plan.rulebook]).value


def feed_laying(machine: Machine, mains: Mains, feed: BuildingFeed) -> Laying:
    """How a feed lies, in the terms of the tables of the building."""
    own = 3 if mains.system == "three-phase" else 2
    circuits = 1 + (feed.grouped_with or 0)
    inlet = machine.parts.get(mains.inlet or "")
    return Laying(
        "conduit",
        _BUILDING_C if feed.ambient is None else feed.ambient,
        "feed",
        cores=own,
        loaded_circuits=circuits,
        loaded_conductors=own * circuits if machine.plan.rulebook == "na" else own,
        terminal_c=inlet.data.terminal_temperature if inlet else None,
        given_method=feed.method or "",
    )


def feed_ohm(machine: Machine) -> complex | None:
    """Impedance of one conductor of the feed at the highest temperature of its insulation [ohm].

    None where the plan gives no feed with a size and a length. Source: IEC 60364-5-52 annex G, which takes the
    resistance in normal service.
    """
    mains = machine.plan.mains
    feed = mains.feed if mains else None
    if feed is None or feed.size is None or feed.length is None:
        return None
    per_m = machine.book.resistance_ohm_per_m(feed.size, "2", feed_insulation_c(machine, feed))
    return complex(per_m.value, REACTANCE_OHM_PER_M) * feed.length if isinstance(per_m, Limit) else None


def current_into(machine: Machine, point: OperatingPoint, node: Node) -> complex:
    """Current that enters the machine at a terminal of its inlet [A], over all that is joined to it without loss."""
    index, current = point.lowered.index, point.path_current("AC")
    total = 0j
    for joined in (other for other in machine.circuit.nodes if index[other] == index[node]):
        for edge in machine.circuit.edges_at[joined]:
            total += (1.0 if edge.a == joined else -1.0) * current.get(edge.id, 0.0)
    return total


def line_currents(machine: Machine, operation: Operation) -> Mapping[str, float]:
    """The largest current of a line at the inlet by state [A]; empty for a machine that no mains enter."""
    nodes = [(part.name, feed.terminal) for part, feed in machine.circuit.elements(Feed) if feed.conductor != "PE"]
    points = operation.loaded if nodes else {}
    return {state: max(abs(current_into(machine, point, node)) for node in nodes) for state, point in points.items()}


def feed_current(machine: Machine, operation: Operation) -> float:
    """The largest current of a conductor of the feed over the states of the machine [A]."""
    return max(line_currents(machine, operation).values(), default=0.0)
