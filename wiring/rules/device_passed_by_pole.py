"""One conductor of a load passes by a protective device that the others run through.

A device opens what runs through it. A line that passes it by keeps feeding a fault in the load, through whatever larger
device stands further ahead. A neutral that runs through the device of another circuit leaves its load with its line
live while that one is open, and adds up two currents in one conductor.

Fires on mixer at M2
    wires+={wire: 30, from: F1:4, to: M2:V, type: line}
    C2.join.2=[F3:4, XPE:6]
Quiet
    C2.join.2=[F3:4, M2:V]
    30=
Not judged
    Loads behind an inverter, a supply or a transformer; their own devices stand in one pole by right.
Known limits
    Loads between single-pole devices of different lines run each through its own, and are right.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.device.poles_passed import PolePassed, poles_passed
from wiring.findings import Cause
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, nfpa_70

RULE = Rule(
    slug="device-passed-by-pole",
    title="One conductor of a load passes its protective device",
    signal=Signal.WARNING,
    harm="A fault in the load goes on burning through a larger device, or what looks dead is live.",
    sources=(
        ("iec", Source("IEC 60364-4-43", "2008", "431.1.1 and 431.2", Standing.FROM_MEMORY)),
        ("na", nfpa_70("240.15(A) and 210.4")),
    ),
)


def check(design: Design) -> Judgements:
    """Each load and device once."""
    for one in poles_passed(design):
        yield _finding(design, one)


def _finding(design: Design, one: PolePassed) -> Judgement:
    name = one.part.name
    if one.neutral:
        words = (
            f"The line of {name} runs through {one.device} and its neutral, at {named(one.end)}, through {one.through}"
        )
        mend = f"Take line and neutral of {name} from one device, {one.device}."
    elif one.through:
        words = f"{named(one.other)} of {name} runs through {one.device}, and {named(one.end)} through {one.through}"
        mend = f"Lead all conductors of {name} through one device, {one.device}."
    else:
        words = f"{named(one.other)} of {name} runs through {one.device}, and {named(one.end)} passes it by"
        mend = f"Lead {named(one.end)} through a pole of {one.device} as well."
    others = (one.through,) if one.through else ()
    return RULE.finding(
        (name, one.device, *others),
        words,
        design.place(name),
        signal=Signal.CAUTION if one.neutral else None,
        because=tuple(
            Cause(design.place(device), "is in the way of one conductor") for device in (one.device, *others)
        ),
        mend=(mend,),
    )
