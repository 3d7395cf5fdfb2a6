"""Mains and extra-low voltage stand side by side on one row of terminals.

Terminals of power circuits, of control circuits and of those that another source feeds are kept in groups that are told
apart (IEC 60204-1, 11.2.2), and protective extra-low voltage is separated from the rest (6.4.1): one strand or one slip
of a screwdriver between neighbours puts mains on everything that is touched without care.

Fires on sorting-gate at X1
    X1.bridged=[1-8]
    L3.to=X1:9
    wires+={wire: L9, from: X1:9, to: G1:L, type: line}
Quiet
    X1.bridged=[1-9]
    L3.to=G1:L
    L9.from=F1:2
    L9.to=G1:L
Not judged
    Points of a rail whose voltage is not known.
Known limits
    Points follow each other by their numbers, unused ones left out; barriers and end plates are not known.
"""

from __future__ import annotations

from itertools import pairwise

from wiring.circuit.model import named
from wiring.circuit.roles import Role
from wiring.design.supply.rail_levels import Level
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.parts.passive import Terminals
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed, natural

RULE = Rule(
    slug="voltages-share-terminals",
    title="Mains and extra-low voltage on neighbouring terminals",
    signal=Signal.CAUTION,
    harm="A loose strand joins mains to the control voltage, and with it to sensors and buttons that hands touch.",
    sources=(("iec", iec_60204("11.2.2")), ("na", nfpa_79("11.2.2"))),
)


def check(design: Design) -> Judgements:
    """Every row of terminals, once."""
    for part in design.parts.values():
        if isinstance(part.data, Terminals):
            used = [(name, level) for name in part.terminals if (level := _level(design, part, name))]
            beside = [(a, b) for a, b in pairwise(used) if _is_extra_low(design, a[1]) != _is_extra_low(design, b[1])]
            if beside:
                yield _finding(design, part, *beside[0])


def _level(design: Design, part: Part, name: str) -> Level | None:
    """The highest voltage at a point that is wired; None at one that is not, or of an unknown rail."""
    node = (part.name, name)
    if node not in design.nets.joined:
        return None
    rails = [rail for rail in design.roles.rails[node] if rail.role is not Role.PE]
    found = [design.levels[rail] for rail in rails if rail in design.levels]
    return max(found, key=lambda level: (level.volts, level.source), default=None)


def _is_extra_low(design: Design, level: Level) -> bool:
    limit = design.book.extra_low_voltage(level.kind, dry=True)
    return isinstance(limit, Limit) and level.volts <= limit.value * (1 + 1e-9)


def _finding(design: Design, part: Part, first: tuple[str, Level], second: tuple[str, Level]) -> Judgement:
    (_, low), (_, high) = sorted((first, second), key=lambda one: one[1].volts)
    ends = [(part.name, name) for name, _ in (first, second)]
    names = sorted({wire.id for end in ends for wire in design.circuit.conductors_at(end)}, key=natural)
    return RULE.finding(
        (part.name, *names),
        f"{named(ends[0])} and {named(ends[1])} follow each other, with {high.volts:.3g} V {high.kind} at one and "
        f"{low.volts:.3g} V {low.kind} at the other",
        design.place(part.name),
        numbers=(Number("voltage", high.volts, "V", high.source), Number("beside", low.volts, "V", low.source)),
        mend=(f"Lead {listed(names)} over rows of their own, or part the two groups with a barrier.",),
    )
