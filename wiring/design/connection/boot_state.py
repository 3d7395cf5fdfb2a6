"""What an output of a card would start while no program runs."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.nets import Net
from wiring.parts.base import Part
from wiring.parts.drives import Inverter
from wiring.parts.elements import Resistance, Switch
from wiring.parts.loads import Heater, ProcessSource, Pump, Valve
from wiring.parts.motors import Brake, Motor
from wiring.parts.signals import IoCard
from wiring.parts.switching import Contactor, Relay

_STARTED = Inverter | ProcessSource | Valve | Heater | Pump | Brake | Motor | Contactor


_SIGNAL_ENDS = ("signal input", "coil", "load", "supply input", "motor phase")


def output_ends(data: IoCard, name: str) -> list[str]:
    """The terminals between which an output of a card switches; one for a transistor output."""
    word = data.outputs[name]
    return name.split("-", 1) if word.startswith("relay") else [data.terminals.get(name, name)]


def started_on(design: Design, net: Net, card: str, *, deeper: bool = True) -> set[str]:
    """Parts on a net that an output there would start; a relay counts by what its contacts lead to."""
    found: set[str] = set()
    for name, terminal in design.nets.members[net]:
        part = design.parts.get(name)
        if part is None or name == card or terminal not in part.terminals:
            continue
        if isinstance(part.data, _STARTED) and part.terminals[terminal].function.value in _SIGNAL_ENDS:
            found.add(name)
        elif deeper and isinstance(part.data, Relay) and terminal in ("A1", "A2"):
            found |= behind_relay(design, part, card)
    return found


def behind_relay(design: Design, relay: Part, card: str, *, at_rest: bool = False) -> set[str]:
    """Parts that its contacts lead to; with `at_rest` those that its break contacts alone lead to."""
    nets = {
        design.nets.of[relay.name, end]
        for switch in relay.of(Switch)
        if (switch.closed_at_rest or not at_rest)
        for end in (switch.a, switch.b)
    }
    live = [net for net in nets if not design.nets.is_at_source(net)]
    return {name for net in live for name in started_on(design, net, card, deeper=False)}


def is_held(design: Design, net: Net) -> bool:
    """Whether a resistor holds the net at a rail."""
    return any(
        isinstance(edge.element, Resistance) and design.nets.poles_at.get(edge.to)
        for edge in design.nets.edges_at.get(net, ())
    )
