"""Both ends of a load lie on one pole: no voltage stands across it, whatever the contacts do.

Two conductors of a feed have been taken from the same line, or a jumper joins both ends of the load. A heater then
stays cold; a motor of three phases gets two, does not start and burns.

Fires on mixer at M2
    F2.poles=3
    C2.join.1=[F2:2, M2:U]
    C2.join.2=[F2:2, M2:V]
Quiet
    C2.join.2=[F2:4, M2:V]
Not judged
    Signal inputs, the channels of stop relays, resistors and suppressors. A lamp across a contact lights through what
    the contact feeds, and is none.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.connection.one_pole import OnOnePole, loads_on_one_pole
from wiring.findings import Mend
from wiring.parts.motors import Shaft
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="load-on-one-pole",
    title="Both ends of a load lie on one pole",
    signal=Signal.CAUTION,
    harm="It does nothing; a motor that is left with two phases stands and burns.",
    sources=(("iec", iec_60204("17.2")), ("na", nfpa_79("17.5"))),
    gravest=Signal.WARNING,
)


def check(design: Design) -> Judgements:
    """Each load once, with every pair of its ends."""
    found: dict[str, list[OnOnePole]] = {}
    for one in loads_on_one_pole(design):
        found.setdefault(one.part.name, []).append(one)
    for rows in found.values():
        yield _finding(design, rows)


def _finding(design: Design, rows: list[OnOnePole]) -> Judgement:
    part, pole = rows[0].part, rows[0].pole
    pairs = ", ".join(f"{named(row.ends[0])} and {named(row.ends[1])}" for row in rows)
    phases = len(part.elements) > len(rows) and isinstance(part.data, Shaft)
    way = "are one piece of metal with" if rows[0].joined else "reach"
    return RULE.finding(
        (part.name,),
        f"{pairs} both {way} {named(pole.node)}: no voltage stands between them",
        design.place(part.name),
        signal=Signal.WARNING if phases else None,
        mend=(Mend(f"Lead {named(rows[0].ends[1])} to the pole that belongs there."),),
    )
