"""What stands ahead of every socket outlet: residual current devices, the overcurrent device, and what it shares."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from math import inf

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.design.device.overcurrent_protection import Protection
from wiring.design.earth.protective_network import behind, behind_inlet, nodes_behind
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.parts.outlet import SocketOutlet
from wiring.parts.protection import ResidualCurrentDevice
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.limits import extra_low_voltage


class Outlet(Struct, frozen=True):
    """A socket outlet above extra-low voltage. `residual_a` are the sensitivities of the residual current devices of
    the plan ahead of it [A], by name; `device` limits its current, and feeds the parts `beside` it as well.
    """

    part: Part
    data: SocketOutlet
    on_mains: bool
    residual_a: dict[str, float]
    device: Protection | None
    beside: tuple[str, ...]


def outlets(design: Design) -> Iterator[Outlet]:
    """Every socket outlet that something feeds at more than extra-low voltage."""
    found = [part for part in design.parts.values() if isinstance(part.data, SocketOutlet)]
    fed_by_mains = {part.name for part in behind_inlet(design.machine)} if found else set()
    for part in found:
        assert isinstance(part.data, SocketOutlet)
        low = extra_low_voltage(design.plan.rulebook, part.data.feeds.voltage.kind or "AC")
        if isinstance(low, NotTabled) or part.data.feeds.voltage.volts > low.value:
            yield _outlet(design, part, part.data, on_mains=part.name in fed_by_mains)


def _outlet(design: Design, part: Part, data: SocketOutlet, *, on_mains: bool) -> Outlet:
    is_behind = partial(_feeds, design, part.name)
    residual = {
        one.name: one.data.residual
        for one in design.parts.values()
        if isinstance(one.data, ResidualCurrentDevice) and is_behind(one)
    }
    device = _device(design, part)
    own = design.parts.get(device.part) if device else None
    fed = nodes_behind(design.machine, own) if own else set()
    others = (design.parts[name] for name in sorted({name for name, _ in fed} & design.parts.keys()))
    beside = tuple(other.name for other in others if _takes_power(other, fed))
    return Outlet(part, data, on_mains, residual, device, beside)


def _feeds(design: Design, outlet: str, device: Part) -> bool:
    return any(one.name == outlet for one in behind(design.machine, device))


def _device(design: Design, outlet: Part) -> Protection | None:
    """The largest device that limits what flows in a line of an outlet."""
    ends = {end for e in outlet.of(Draw) for end in (e.a, e.b)} - {"N"}
    wires = [c.id for end in sorted(ends) for c in design.circuit.conductors_at((outlet.name, end))]
    found = [one for wire in wires if (one := design.protections.get(wire)) and one.rating_a < inf]
    return max(found, key=lambda one: one.rating_a, default=None)


def _takes_power(part: Part, fed: set[Node]) -> bool:
    if isinstance(part.data, SocketOutlet):
        return False
    takers = [e for e in part.of(Draw, Input, Coil) + part.of(Resistance) if not isinstance(e, Resistance) or e.load]
    return any(not fed.isdisjoint(((part.name, e.a), (part.name, e.b))) for e in takers)
