"""The reset loop of a stop relay never closes: the machine never runs.

The loop leads from the reset terminals through the reset button and a mirror contact of every contactor, all of them
closed once the button is pressed and the contactors are at rest. Where a conductor of it is missing, the relay waits
for ever.

Fires on hot-wire at K0
    9=
Quiet
    wires+={wire: 9, from: S2:14, to: K1:21, type: control}
Not judged
    A unit whose plan says `reset_mode: automatic`, and one of which no output is wired.
"""

from __future__ import annotations

from wiring.design.stop.reset_loops import reset_loops
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="stop-reset-open",
    title="The reset loop never closes",
    signal=Signal.CAUTION,
    harm="The stop relay never comes on; whoever looks for the reason bridges what stands in its way.",
    sources=(
        ("iec", iec_60204("17.2, 18.6")),
        ("na", nfpa_79("17.2, 18.6")),
    ),
)


def check(design: Design) -> Judgements:
    """Every loop that stays open with everything in it closed."""
    for loop in reset_loops(design.machine):
        if loop.open and loop.mode != "automatic":
            yield RULE.finding(
                (loop.unit,),
                f"The reset loop of {loop.unit} is open whatever is worked: it never comes on",
                design.place(loop.unit),
                mend=(
                    f"Lead the reset loop of {loop.unit} through the reset button and the mirror contacts, and back.",
                ),
            )
