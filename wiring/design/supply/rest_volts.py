"""The voltage of a source at rest, before any state is solved."""

from __future__ import annotations

from wiring.circuit.model import Circuit
from wiring.circuit.roles import Role, Roles
from wiring.parts.base import Part
from wiring.parts.elements import Input, Output
from wiring.solver.lowering import line_to_neutral_v


def rest_volts(circuit: Circuit, roles: Roles, part: Part, output: Output) -> float:
    """Voltage of an output without load [V], shape (); 0 where nothing feeds a rectifier.

    An arc or welding source stands at its open-circuit voltage; a rectifier, with the capacitor behind it, near the
    peak of the voltage that reaches its input: sqrt(2) times the effective value, less the drop of its diodes.
    """
    open_circuit = getattr(part.data, "open_circuit", None)
    if open_circuit is not None:
        return float(max(output.volts, open_circuit.volts))
    if output.ratio is None or output.volts > 0.0:
        return output.volts
    feed = next(element for element in part.of(Input) if element.name == output.input)
    return max(0.0, output.ratio * _at_input(circuit, roles, part, feed) - output.lost_v)


def _at_input(circuit: Circuit, roles: Roles, part: Part, feed: Input) -> float:
    """The highest alternating voltage whose rails reach both ends of an input."""
    ends = [set(roles.rails.get((part.name, end), ())) for end in (feed.a, feed.b)]
    found = [
        element.volts
        for rail in ends[0] & ends[1]
        if rail.role is Role.AC and rail.source in circuit.parts
        for element in circuit.parts[rail.source].of(Output)
        if element.kind == "AC"
    ]
    mains = circuit.plan.mains
    live = [any(rail.role is Role.LIVE for rail in rails) for rails in ends]
    neutral = any(rail.role is Role.NEUTRAL for rails in ends for rail in rails)
    if mains and any(live):
        found.append(line_to_neutral_v(mains) if neutral else mains.voltage.volts)
    return max(found, default=0.0)
