"""Coils and stop relays that keep a machine dead in every state: what hangs on them is judged as if they worked."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.design.machine import Machine
from wiring.design.supply.given_voltages import voltages_given
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Logic, Switch
from wiring.parts.switching import Coiled
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint


def dead_control(machine: Machine, points: Iterable[OperatingPoint]) -> frozenset[Actuator]:
    """The stop relays that no state picks up, and the coils that no position of other contacts can pick up.

    Of coils that lock one another out, none counts: both at once would be a state that the machine never has.
    """
    attracted = frozenset[Actuator]().union(*(point.attracted for point in points))
    relays = {(part.name, logic.outputs) for part, logic in machine.circuit.elements(Logic)} - attracted
    coils = {
        (part.name, coil.moves): (part, coil)
        for part, coil in machine.circuit.elements(Coil)
        if isinstance(part.data, Coiled) and (part.name, coil.moves) not in attracted
    }
    dead = {actuator: pair for actuator, pair in coils.items() if not _can_pick_up(machine, *pair)}
    names = {part for part, _ in dead}
    locked = {actuator for actuator, (part, coil) in dead.items() if _breaks_before(machine, part, coil) & names}
    return frozenset(relays | (dead.keys() - locked))


def _can_pick_up(machine: Machine, part: Part, coil: Coil) -> bool:
    return any(one.volts >= coil.pick_up_v * (1 - 1e-9) for one in voltages_given(machine, part, coil))


def _breaks_before(machine: Machine, part: Part, coil: Coil) -> set[str]:
    """The parts whose break contacts stand between a coil and its sources."""
    nets = machine.nets
    inside = (
        net for net in nets.spread(nets.of[part.name, end] for end in (coil.a, coil.b)) if not nets.is_at_source(net)
    )
    return {
        edge.part
        for net in inside
        for edge in nets.edges_at.get(net, ())
        if isinstance(edge.element, Switch) and edge.element.closed_at_rest and edge.part != part.name
    }
