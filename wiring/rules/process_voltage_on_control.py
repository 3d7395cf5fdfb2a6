"""The voltage of a process, or of the mains, reaches a control input without a barrier.

Arc, welding and hot-wire sources stand far above extra-low voltage, at no load above all. A card, a sensor or a drive
signal must not be tied to them by metal, through contacts, or by a divider of resistors: only through an `isolator`.

Fires on hot-wire at A1
    G4.open_circuit=120 V DC
    parts.A1={kind: io-card, inputs: {I1: sink}, input_voltage: 24 V DC, input_type: 3, common: COM}
    wires+={wire: 23, from: E1:1, to: A1:I1, type: control}
    wires+={wire: 24, from: E1:2, to: A1:COM, type: control}
Quiet
    parts.T1={kind: isolator, input_voltage: 150 V DC, output_voltage: 24 V DC}
    23.to=T1:IN+
    24.to=T1:IN-
    wires+={wire: 25, from: T1:OUT+, to: A1:I1, type: control}
    wires+={wire: 26, from: T1:OUT-, to: A1:COM, type: control}
Not judged
    Whether a barrier withstands the pulses of an arc that starts by high frequency.
"""

from __future__ import annotations

from wiring.circuit.model import Node, named
from wiring.design.connection.signal_ends import bears_voltage, wired_signals
from wiring.design.nets import Reached
from wiring.findings import Number
from wiring.parts.loads import ProcessSource
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.steps import rounded_up
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="process-voltage-on-control",
    title="Process or mains voltage reaches control",
    signal=Signal.DANGER,
    harm="Card, computer and whoever touches them take the voltage of the process: a deadly shock.",
    sources=(("iec", iec_60204("6.4, 9.1.1")), ("na", nfpa_79("6.4, 9.1.1"))),
)


def check(design: Design) -> Judgements:
    """Every signal terminal; one finding for each control part and source, and isolators by their own rating."""
    limits = {kind: design.book.extra_low_voltage(kind, dry=True) for kind in ("AC", "DC")}
    high = {kind: limit for kind, limit in limits.items() if isinstance(limit, Limit)}
    if not any(pole.kind in high and pole.volts > high[pole.kind].value for pole in design.nets.poles):
        return
    told: set[tuple[str, str]] = set()
    for part, node in wired_signals(design):
        for seen in design.nets.reach(node).sources:
            key = (part.name, seen.pole.source)
            limit = high.get(seen.pole.kind)
            if limit is None or seen.pole.volts <= limit.value or key in told or bears_voltage(part, seen):
                continue
            if seen.pole.main and seen.pole.sign != "N" and seen.pole.node[0] != part.name:
                told.add(key)
                yield _finding(design, node, seen, limit)


def _finding(design: Design, node: Node, seen: Reached, limit: Limit) -> Judgement:
    wires = design.circuit.conductors_at(node)
    source = design.parts[seen.pole.node[0]]
    what = "process" if isinstance(source.data, ProcessSource) else "supply"
    through = f" through {', '.join(seen.parts)}" if seen.parts else ""
    return RULE.finding(
        (node[0], source.name, *(wire.id for wire in wires)),
        f"{named(node)} is tied to {named(seen.pole.node)}{through}, a {what} of {seen.pole.volts:.3g} V "
        f"{seen.pole.kind}, without a barrier",
        wires[0].place if wires else design.place(node[0]),
        numbers=(Number("source", seen.pole.volts, "V", f"{seen.pole.kind}, at no load"),),
        limit=limit,
        mend=(
            f"Put an isolator rated {rounded_up(seen.pole.volts):.3g} V or more between {source.name} and "
            f"{named(node)}.",
        ),
        holds=scope("pair", f"{node[0]}|{source.name}"),
    )
