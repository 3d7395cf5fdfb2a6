"""A contact stands between a coil and the earthed side of its supply.

Every coil returns straight to the earthed side, and every contact stands on the other one. A conductor between coil
and contact that touches earth then blows the fuse; on the earthed side it takes the place of the contact: the coil is
held in and the stop button, the guard or the cut-out does nothing, or it pulls in and nobody pressed start. A contact
that a hand, a guard, a limit or heat opens is told as a warning, any other one as a caution.

Fires on fan-heater at S1
    11.to=K1:A1
    12={wire: 12, from: K1:A2, to: S1:13, type: control}
    13={wire: 13, from: S1:14, to: T1:2.2, type: control}
Quiet
    11.to=S1:13
    12={wire: 12, from: S1:14, to: K1:A1, type: control}
    13={wire: 13, from: K1:A2, to: T1:2.2, type: control}
Not judged
    Outputs of programs and sensors that switch the return, the contact of an overload relay, and contacts of a part
    that opens the live side as well. The inputs of stop relays and drives, whose makers choose their poles.
"""

from __future__ import annotations

from wiring.design.stop.earthed_side import EarthedSide, contacts_on_earthed_side
from wiring.findings import Cause
from wiring.parts.elements import Switch
from wiring.parts.operators import Operated
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import does

RULE = Rule(
    slug="contact-on-earthed-side",
    title="Contact on the earthed side of a coil",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="A chafed wire touches the frame and takes the place of the contact: the stop button does nothing any more.",
    sources=(
        ("iec", iec_60204("9.4.3.1.2")),
        ("na", nfpa_79("9.1.4")),
    ),
)


def check(design: Design) -> Judgements:
    """One finding for each coil."""
    for one in contacts_on_earthed_side(design.machine):
        yield _finding(design, one)


def _finding(design: Design, one: EarthedSide) -> Judgement:
    contacts = [f"{part}:{contact}" for part, contact in one.contacts]
    devices = tuple(dict.fromkeys(part for part, _ in one.contacts))
    return RULE.finding(
        (devices[0], one.part, *devices[1:]),
        f"{does(contacts, 'stands', 'stand')} between the coil of {one.part} and the earthed side: an earth fault "
        f"takes {'its' if len(contacts) == 1 else 'their'} place",
        design.place(devices[0]),
        signal=Signal.WARNING if any(_stops(design, part, contact) for part, contact in one.contacts) else None,
        because=(Cause(design.place(one.part), "its coil"),),
        mend=(
            f"Lead the coil of {one.part} straight to the earthed side, and {', '.join(contacts)} to its live side.",
        ),
    )


def _stops(design: Design, part: str, contact: str) -> bool:
    """Whether a contact is one that an operator opens, so that what it stops must not go on."""
    of = design.parts[part]
    return isinstance(of.data, Operated) and any(one.name == contact and one.closed_at_rest for one in of.of(Switch))
