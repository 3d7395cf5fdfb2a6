"""Where the machine is worked by hand there is no emergency stop.

Each place from which a machine is operated has an emergency stop device (IEC 60204-1, 10.7.1): whoever holds the pedal
or the button must reach it. Places are the cabinet with its door, the machine, and what lies outside.

Fires on hot-wire at S9
    parts.S9={kind: foot-switch, at: machine, contacts: {13-14: NO}, rated: 3 A}
    wires+={wire: 30, from: F2:2, to: S9:13, type: control}
    wires+={wire: 31, from: S9:14, to: S2:13, type: control}
Quiet
    S9.at=door
Not judged
    Resets, and operators that no conductor leads to; a machine without an emergency stop, or without hazards.
Known limits
    What stands in one stop with an emergency stop device counts as one: `stop-device-not-latching` tells whether it is.
    A small machine on which one device is within reach of every place is a reason to accept the finding.
"""

from __future__ import annotations

from wiring.design.stop.hazards import hazards
from wiring.findings import Cause
from wiring.parts.base import Part
from wiring.parts.operators import EmergencyStop, HandOperated
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import does, listed, natural

RULE = Rule(
    slug="emergency-stop-not-at-hand",
    title="No emergency stop where the machine is worked",
    signal=Signal.CAUTION,
    harm="Whoever is caught at the pedal cannot reach the stop.",
    sources=(("iec", iec_60204("10.7.1")), ("na", nfpa_79("10.7"))),
)
_WORDS = {"cabinet": "at the cabinet", "machine": "at the machine", "outside": "outside"}


def check(design: Design) -> Judgements:
    """Every place with operators that a hand or foot moves, once."""
    wired = {name for name, _ in design.nets.joined}
    parts = sorted(design.parts.values(), key=lambda part: natural(part.name))
    operators = [part for part in parts if isinstance(part.data, HandOperated) and part.name in wired]
    pressed = {part.name for part in operators if isinstance(part.data, EmergencyStop)}
    beside = {name for stop in design.plan.stops.values() if pressed & set(stop.devices) for name in stop.devices}
    stops = [part for part in operators if part.name in pressed | beside]
    if not pressed or not hazards(design.circuit):
        return
    resets = {stop.reset for stop in design.plan.stops.values()}
    working = [part for part in operators if part.name not in resets]
    for place in sorted({_place(part) for part in working} - {_place(part) for part in stops}):
        there = [part.name for part in working if _place(part) == place]
        yield RULE.finding(
            (*there, *(part.name for part in stops)),
            f"{does(there, 'is worked', 'are worked')} {_WORDS[place]}, and no emergency stop stands there",
            design.place(there[0]),
            because=[Cause(part.place, f"stands {_WORDS[_place(part)]}") for part in stops[:3]],
            mend=(f"Put an emergency stop device beside {listed(there)}, in the circuit of the others.",),
        )


def _place(part: Part) -> str:
    return "cabinet" if part.data.at in ("cabinet", "door") else str(part.data.at)
