"""Conductors that must stay apart are one piece of metal.

Plus and return of one supply, line and neutral, two rails of different voltage, a rail and the mains, a signal output
and a rail: what joins them is a short circuit, or puts a voltage where nothing is made for it. Joints through contacts
that are closed at once in a state count. Returns of rails may be joined, and rails may be stacked in series.

Fires on screw-axis at 6.1
    parts.G1={kind: supply, class: II, input: 230 V AC, output: 24 V DC, rated: 5 A}
    wires+={wire: 12, from: G1:V+, to: D1:V+, type: rail}
Quiet
    12=
Not judged
    Contacts that no state of the plan closes at once.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.edits import taken_away
from wiring.design.nets import SourcePole
from wiring.design.supply.paralleled_sources import (
    SourceConnection,
    battery_chargers,
    culprit,
    joining_parts,
    one_voltage,
    source_connections,
)
from wiring.findings import Mend, Number, Scope
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="rails-joined",
    title="Rails that must stay apart are joined",
    signal=Signal.WARNING,
    gravest=Signal.DANGER,
    harm="A short circuit at power-on, or parts that get a voltage they were not made for and burn.",
    sources=(("iec", iec_60204("13.1.3")), ("na", nfpa_79("13.1.3"))),
)


def _is_mains(pole: SourcePole) -> bool:
    """Whether a pole is a conductor of the incoming supply."""
    return pole.sign[0] in "LN"


def _fault(first: SourcePole, second: SourcePole) -> tuple[Signal, str] | None:
    """What is wrong with two poles on one piece of metal; None when nothing, or when another rule tells it."""
    if _is_mains(first) and _is_mains(second):
        return (Signal.WARNING, "is a short circuit of the mains") if first.sign != second.sign else None
    if _is_mains(first) or _is_mains(second):
        return Signal.DANGER, "puts mains voltage on a separate rail"
    if first.source == second.source:
        return (Signal.WARNING, "is a short circuit") if first.node != second.node else None
    signs = {first.sign, second.sign}
    if signs == {"+"} and first.main and second.main:
        return None if one_voltage(first, second) else (Signal.WARNING, "joins two different voltages")
    if signs == {"+"}:
        return Signal.CAUTION, "lets a signal output work against another source"
    return (Signal.WARNING, "joins a winding and a rail") if "~" in signs and len(signs) > 1 else None


def _told(pole: SourcePole) -> str:
    kind = "" if _is_mains(pole) else f", {pole.volts:.3g} V {pole.kind}"
    return f"{named(pole.node)} ({'mains' if _is_mains(pole) else 'rail'}{kind})"


def check(design: Design) -> Judgements:
    """Every pair of poles that metal joins, the first of each cause; and lines on the protective earth."""
    chargers = battery_chargers(design.machine, design.operation)
    causes: dict[object, list[SourceConnection]] = {}
    for connection in source_connections(design.machine, design.operation):
        first, second = connection.first.source, connection.second.source
        if second in chargers.get(first, ()) or first in chargers.get(second, ()):
            continue  # a charger and its battery share their rail, each at its own voltage
        if _fault(connection.first, connection.second) is not None:
            conductor = culprit(design.machine, connection)
            cause = connection.contacts or (conductor.id if conductor else connection.first.node)
            causes.setdefault(cause, []).append(connection)
    for found in causes.values():
        yield _finding(design, found[0], frozenset().union(*(_held(connection) for connection in found)))
    yield from _earthed_lines(design)


def _held(connection: SourceConnection) -> Scope:
    """The two rails that are joined, or the source that is shorted."""
    rails = sorted({pole.sign if _is_mains(pole) else pole.source for pole in (connection.first, connection.second)})
    both = rails[1:] and _is_mains(connection.first) and _is_mains(connection.second)
    shorted = scope("shorted", *rails) if both or not rails[1:] else frozenset()
    return shorted | scope("joint", "|".join(rails)) if rails[1:] else shorted


def _finding(design: Design, connection: SourceConnection, holds: Scope) -> Judgement:
    fault = _fault(connection.first, connection.second)
    assert fault is not None
    signal, what = fault
    poles = (connection.first, connection.second)
    conductor = culprit(design.machine, connection)
    through = ", ".join(connection.contacts)
    subject = (
        conductor.id
        if conductor and not connection.contacts
        else (connection.contacts or (connection.first.node[0],))[0].split(":")[0]
    )
    place = conductor.place if conductor and not connection.contacts else design.place(subject)
    between = joining_parts(design.machine, design.operation, connection)
    joint = f", joined by {', '.join(between)}" if between else ""
    state = f" in state {connection.state} through {through}" if connection.state else ""
    return RULE.finding(
        (subject, *between, *sorted({connection.first.node[0], connection.second.node[0]} - {subject, *between})),
        f"{_told(connection.first)} and {_told(connection.second)} are one piece of metal{state}{joint}; that {what}",
        place,
        signal=signal,
        numbers=(
            Number("first", connection.first.volts, "V", connection.first.source),
            Number("second", connection.second.volts, "V", connection.second.source),
        ),
        mend=(
            Mend(
                f"Take {subject} out of the way between {' and '.join(named(pole.node) for pole in poles)}.",
                taken_away(design, [conductor]) if conductor and not connection.contacts else (),
            ),
        ),
        holds=holds,
    )


def _earthed_lines(design: Design) -> Judgements:
    """Lines of the mains on the protective earth, and both poles of one rail on it."""
    nets = design.nets
    earthed = [
        (pole, nets.bonds_at[nets.of[pole.node]][-1]) for pole in nets.poles if nets.of[pole.node] in nets.bonds_at
    ]
    for pole, bond in earthed:
        others = [p for p, _ in earthed if p.source == pole.source and p.sign == "-" and p.main]
        other = any(nets.of[p.node] != nets.of[pole.node] for p in others)
        if pole.sign[0] == "L" or (pole.sign == "+" and pole.main and other):
            yield RULE.finding(
                (bond.id, pole.node[0]),
                f"{bond.id} joins {_told(pole)} to the protective earth; that is a short circuit to earth",
                bond.place,
                signal=Signal.DANGER if pole.sign[0] == "L" else Signal.WARNING,
                numbers=(Number("rail", pole.volts, "V", pole.source),),
                mend=(Mend(f"Take {bond.id} off the protective earth.", taken_away(design, [bond])),),
            )
