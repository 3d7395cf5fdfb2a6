"""What an output of a card would start while no program runs."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.design.design import Design
from wiring.design.nets import Net
from wiring.design.switching.followers import Taking
from wiring.parts.base import Part
from wiring.parts.drives import Inverter
from wiring.parts.elements import Coil, Resistance
from wiring.parts.loads import Heater, ProcessSource, Pump, Valve
from wiring.parts.motors import Brake, Motor
from wiring.parts.signals import IoCard
from wiring.parts.switching import Contactor, Relay
from wiring.solver.assembly import Actuator
from wiring.solver.settling import program_outputs

_STARTED = Inverter | ProcessSource | Valve | Heater | Pump | Brake | Motor | Contactor


_SIGNAL_ENDS = ("signal input", "coil", "load", "supply input", "motor phase")


def output_ends(data: IoCard, name: str) -> list[str]:
    """The terminals between which an output of a card switches; one for a transistor output."""
    word = data.outputs[name]
    return name.split("-", 1) if word.startswith("relay") else [data.terminals.get(name, name)]


def started_on(design: Design, net: Net, card: str) -> set[str]:
    """Parts on a net that an output there would start; a relay counts by what its contacts lead to."""
    found: set[str] = set()
    for name, terminal in design.nets.members[net]:
        part = design.parts.get(name)
        if part is None or name == card or terminal not in part.terminals:
            continue
        if isinstance(part.data, _STARTED) and part.terminals[terminal].function.value in _SIGNAL_ENDS:
            found.add(name)
        elif isinstance(part.data, Relay) and terminal in ("A1", "A2"):
            following = design.operation.outputs.following()
            found |= _led_to(design, _coils(part), [following.needing(coil) for coil in _coils(part)])
    return found


def started_at_rest(design: Design, card: Part, relay: Part) -> set[str]:
    """Parts that are fed only while a relay is out, and by no other output of the card that is off with it."""
    following = design.operation.outputs.following()
    off = following.dead_without(one for one in program_outputs(design.circuit) if one[0] == card.name)
    return _led_to(design, _coils(relay), [following.barred_by(coil) - off for coil in _coils(relay)])


def _coils(relay: Part) -> set[Actuator]:
    return {(relay.name, coil.moves) for coil in relay.of(Coil)}


def _led_to(design: Design, coils: set[Actuator], follow: Iterable[frozenset[Taking]]) -> set[str]:
    """The parts that some relays start: what follows a contactor is told by the contactor."""
    following = frozenset[Taking]().union(*follow)
    movers = coils | {(t.part, t.moves) for t in following if isinstance(design.parts[t.part].data, Relay)}
    near = design.operation.outputs.following().near
    parts = ((t, design.parts[t.part]) for t in following if near[t] & movers)
    return {p.name for t, p in parts if isinstance(p.data, _STARTED) and (t.told or not isinstance(p.data, Inverter))}


def is_held(design: Design, net: Net) -> bool:
    """Whether a resistor holds the net at a rail."""
    return any(
        isinstance(edge.element, Resistance) and design.nets.poles_at.get(edge.to)
        for edge in design.nets.edges_at.get(net, ())
    )
