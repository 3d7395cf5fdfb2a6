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

from wiring.design.return_side import misplaced
from wiring.design.stop_contacts import changed_over
from wiring.findings import Cause, Mend
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="stop-contact-on-earthed-side",
    title="An earth fault takes the place of the stop contact",
    signal=Signal.WARNING,
    harm="A chafed wire touches the frame, the machine runs on as before, and the stop no longer stops it.",
    sources=(("iec", iec_60204("9.4.3.1.2")), ("na", nfpa_79("9.4.3.1"))),
)

_MEND = "Put the contacts on the other side of the coils: every coil returns straight to the earthed side."


def check(design: Design) -> Judgements:
    """One finding for each stop that an earth fault defeats, and for each coil whose only stop contact is past it."""
    told: set[str] = set()
    for name, result in design.stop_proof.results.items():
        found = [one for one in result.dangerous if one.fault.kind == "earth"]
        if not found:
            continue
        wires = tuple(dict.fromkeys(one.fault.subjects[0] for one in found))
        told |= set(wires)
        alive = tuple(dict.fromkeys(part for one in found for part in one.alive))
        yield RULE.finding(
            (*wires, name),
            f"When {found[0].fault.words}, stop {name} leaves {', '.join(alive)} fed",
            design.circuit.conductor[wires[0]].place,
            because=tuple(Cause(design.circuit.conductor[wire].place, "the same holds here") for wire in wires[1:]),
            mend=(_MEND,),
        )
    for coil in misplaced(design.stopping):
        if coil.conductor not in told:
            yield RULE.finding(
                (coil.part, coil.contact, coil.conductor),
                f"{coil.contact} stands between the coil of {coil.part} and the earthed side: when wire "
                f"{coil.conductor} touches earth, {coil.part} stays attracted",
                design.circuit.conductor[coil.conductor].place,
                because=(Cause(design.place(coil.part), "its coil has no contact of the stop on the live side"),),
                mend=(Mend(_MEND, changed_over(design, coil)),),
            )
