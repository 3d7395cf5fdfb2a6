"""Two supplies feed one rail by accident.

Two sources of the same voltage on one piece of metal share the load as they please, and the stronger one feeds back
into the weaker. Supplies that are made for it (`parallel: true`), or that are kept apart by diodes, may.

Fires on sorting-gate at 2
    parts.G2={kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
    wires+={wire: 35, from: G2:V+, to: X1:8, type: control}
    wires+={wire: 36, from: G2:V-, to: X2:5, type: control}
Quiet
    G1.parallel=true
    G2.parallel=true
Not judged
    Sources outside the plan, such as the 5 V of a computer that comes along a plug-in cable: draw it as a supply.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.edits import taken_away
from wiring.design.nets import SourcePole
from wiring.design.supply.paralleled_sources import battery_chargers, culprit, one_voltage, source_connections
from wiring.findings import Mend, Number
from wiring.parts.elements import Output
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="supplies-paralleled",
    title="Two supplies feed one rail",
    signal=Signal.CAUTION,
    harm="Current flows back into the weaker source: cards and ports are damaged, or one supply carries all and trips.",
    sources=(("both", trade_practice("supplies in parallel")),),
)


def _may_share(design: Design, pole: SourcePole) -> bool:
    part = design.parts[pole.source]
    one_way = any(isinstance(e, Output) and e.one_way for e in part.elements)
    return one_way or bool(getattr(part.data, "parallel", False))


def check(design: Design) -> Judgements:
    """Every pair of main plus poles of one voltage, and of windings, on one piece of metal."""
    told: set[frozenset[str]] = set()
    chargers = battery_chargers(design.machine, design.operation)
    for connection in source_connections(design.machine, design.operation):
        first, second = connection.first, connection.second
        pair = frozenset((first.source, second.source))
        same = first.sign == second.sign and first.sign in ("+", "~") and one_voltage(first, second)
        if not (same and first.main and second.main and len(pair) == 2) or pair in told:
            continue
        charging = any(battery in pair for name in pair for battery in chargers.get(name, ()))
        if charging or (_may_share(design, first) and _may_share(design, second)):
            continue
        told.add(pair)
        conductor = None if connection.contacts else culprit(design.machine, connection)
        subject = conductor.id if conductor else (connection.contacts or (first.source,))[0].split(":")[0]
        state = f" in state {connection.state} through {', '.join(connection.contacts)}" if connection.state else ""
        yield RULE.finding(
            (subject, *sorted(pair)),
            f"{named(first.node)} and {named(second.node)} feed one rail{state}",
            conductor.place if conductor else design.place(subject),
            numbers=(Number("rail", first.volts, "V", first.source),),
            mend=(
                Mend(
                    f"Take {subject} away, or put a diode in the plus of each supply.",
                    taken_away(design, [conductor]) if conductor else (),
                ),
                "Does their maker allow them to share a rail? Then mark them `parallel: true`.",
            ),
        )
