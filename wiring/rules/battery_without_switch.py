"""A battery cannot be parted from the machine by hand.

A battery is a supply on board: it feeds whether the plug is in or out. A disconnector, a breaker or a plug that is
pulled parts it from all that it feeds, so that work inside is work without voltage (IEC 60204-1, 5.3.1 and 5.5). A fuse
at its pole is no such device, nor a contactor, which its own control holds.

Fires on sorting-gate at GB1
    parts.GB1={kind: battery, at: outside, voltage: 24 V DC, capacity: 7 Ah, fuse: {rating: 10 A, class: gG}}
    parts.H9={kind: lamp, rated: 24 V DC 1 W}
    wires+={wire: 30, from: "GB1:+", to: H9:X1, type: control}
    wires+={wire: 31, from: "GB1:-", to: H9:X2, type: control}
Quiet
    parts.Q9={kind: disconnector, poles: 2, rated: 25 A, rated_voltage: 48 V DC, lockable: true}
    30.to=Q9:1
    wires+={wire: 32, from: Q9:2, to: H9:X1, type: control}
Not judged
    A battery that feeds nothing.
Known limits
    One pole opened counts as parted. What its charger takes back out of it is for the maker of the charger.
"""

from __future__ import annotations

from wiring.circuit.model import Edge, Inner, Node
from wiring.design.switching.main_switch import fed_parts
from wiring.parts.passive import Connector
from wiring.parts.protection import Breaker, Disconnector
from wiring.parts.storage import Battery
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="battery-without-switch",
    title="Battery cannot be switched off",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Whoever works inside works on a live source that no fuse of the building limits.",
    sources=(("iec", iec_60204("5.3.1")), ("na", nfpa_79("5.3.1"))),
)
_PARTING = (Disconnector, Breaker, Connector)


def check(design: Design) -> Judgements:
    """Every battery that feeds something past all that a hand opens."""
    for part in design.parts.values():
        if not isinstance(part.data, Battery):
            continue
        ends = [(part.name, part.data.terminals.get(end, end)) for end in ("+", "-")]
        plus, minus = (set(fed_parts(design, _joined(design, end))) for end in ends)
        fed = sorted(plus & minus)
        if fed:
            low = design.book.extra_low_voltage("DC", dry=True)
            harmless = isinstance(low, Limit) and part.data.voltage.volts <= low.value
            yield RULE.finding(
                (part.name, *fed),
                f"Nothing that a hand opens parts {part.name} from {listed(fed)}",
                design.place(part.name),
                signal=RULE.signal if harmless else Signal.WARNING,
                mend=(f"Put a lockable disconnector for direct current right behind {part.name}, in both poles.",),
            )


def _joined(design: Design, start: Node) -> set[Node]:
    """What stays joined to a pole while all that parts by hand is open."""
    bonds = {bond.id for bond in design.roles.bonds}

    def leads(edge: Edge, _: Node) -> bool:
        if isinstance(edge, Inner):
            return not isinstance(design.parts[edge.part].data, _PARTING)
        return edge.id not in bonds and edge.kind != "shield"

    return set(design.circuit.walk([start], leads))
