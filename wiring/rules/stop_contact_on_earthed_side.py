"""An earth fault alone defeats a stop.

The contact of the stop stands between a coil and the earthed side of its supply, or the circuit hangs on earth in
another way: a conductor that touches earth then takes the place of the contact. With one side of the control supply
earthed, every coil returns straight to that side and every contact stands on the other (IEC 60204-1, 9.4.3.1).

Fires on hot-wire at 12
    2.through=[F2:2, K0:A1, K1:A1, K2:A1]
    3.through=[XPE:3, G1:V-, K0:A2, K0:14]
    12={wire: 12, from: K0:13, to: K1:A2, type: control}
    13={wire: 13, from: K1:A2, to: K2:A2, type: control}
Quiet
    2.through=[F2:2, K0:A1, K0:13, K0:23]
    3.through=[XPE:3, G1:V-, K0:A2, K1:A2, K2:A2]
    12={wire: 12, from: K0:14, to: K1:A1, type: control}
    13={wire: 13, from: K0:24, to: K2:A1, type: control}
Not judged
    Two earth faults at once in a supply without earth; the stop proof lists them as a hidden fault and its next.
"""

from __future__ import annotations

from collections.abc import Sequence, Set
from functools import partial

from wiring.design.stop.causes import Cause as StopCause
from wiring.design.stop.causes import blame_words, causes, to_blame, together
from wiring.design.stop.contacts import changed_over
from wiring.design.stop.return_side import misplaced
from wiring.findings import Cause, Finding, Mend
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import agreeing, stops_called

RULE = Rule(
    slug="stop-contact-on-earthed-side",
    title="An earth fault takes the place of the stop contact",
    signal=Signal.WARNING,
    harm="A chafed wire touches the frame, the machine runs on as before, and the stop no longer stops it.",
    sources=(("iec", iec_60204("9.4.3.1.2")), ("na", nfpa_79("9.4.3.1"))),
)

_MEND = "Put the contacts on the other side of the coils: every coil returns straight to the earthed side."


def check(design: Design) -> Judgements:
    """One finding for the stops that an earth fault defeats, and for each coil whose only stop contact is past it."""
    dangerous = (one for result in design.stop_proof.results.values() for one in result.dangerous)
    told = {one.fault.subjects[0] for one in dangerous if one.fault.kind == "earth"}
    for cause in causes(design.stopping, lambda one: one.fault.kind == "earth"):
        rests = scope("pole", *cause.alive) | scope("bypass", *cause.bypasses) | scope("stop", *cause.stops)
        tell = partial(_finding, design, told)
        yield Item((cause.stops, bool(cause.bypasses)), cause, tell, rests=(rests,))
    for coil in misplaced(design.stopping):
        if coil.conductor not in told:
            yield RULE.finding(
                (coil.part, coil.contact, coil.conductor),
                f"{coil.contact} stands between the coil of {coil.part} and the earthed side: when wire "
                f"{coil.conductor} touches earth, {coil.part} stays picked up",
                design.circuit.conductor[coil.conductor].place,
                because=(Cause(design.place(coil.part), "its coil has no contact of the stop on the live side"),),
                mend=(Mend(_MEND, changed_over(design, coil)),),
            )


def _finding(design: Design, told: Set[str], rows: Sequence[StopCause]) -> Finding:
    by = {row.subject for row in rows}
    wires = [one for one in design.circuit.conductors if one.id in told and by & {one.id, one.cable}]
    names, whole = tuple(one.id for one in wires), together(rows)
    places = [one.place for one in wires]
    return RULE.finding(
        (*names, *whole.stops),
        f"When {rows[0].words[0]}, {stops_called(whole.stops)} {agreeing(whole.stops, 'leaves', 'leave')} "
        f"{', '.join(whole.alive)} fed" + blame_words(whole),
        places[0],
        because=(*(Cause(place, "the same holds here") for place in places[1:]), *to_blame(design.stopping, whole)),
        mend=(_MEND,),
    )
