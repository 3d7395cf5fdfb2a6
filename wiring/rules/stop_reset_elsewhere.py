"""The device that the plan names as the reset of a stop lies in no reset loop.

Another button closes the loop of the stop relay. Whoever presses it to do something else brings power back after a
stop, and the one that says reset does nothing. A program that closes it and does not read that one resets as it likes.

Fires on hot-wire at S3
    parts.S3={kind: push-button, contacts: {13-14: NO}}
    stops.emergency.reset=S3
Quiet
    stops.emergency.reset=S2
Not judged
    Loops that an output of a controller closes which reads the button: whether its program waits for it. Machines
    without a stop relay.
"""

from __future__ import annotations

from wiring.design.stop.reset_loops import resets_elsewhere
from wiring.findings import Cause
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79
from wiring.wording import does, listed

RULE = Rule(
    slug="stop-reset-elsewhere",
    title="Another device resets than the plan says",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="A button that is pressed for something else gives power back after a stop.",
    sources=(
        ("iec", iec_60204("9.2.3.4.2")),
        ("na", nfpa_79("9.2.5.4")),
        ("both", Source("ISO 13850", "2015", "4.1.4", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Judgements:
    """Each device that some stop names, with the stop relays whose loops it is not in."""
    for one in resets_elsewhere(design.machine):
        by = f", {does(one.by, 'is', 'are')}" if one.by else ""
        yield RULE.finding(
            (one.reset, *one.units, *one.by, *one.stops),
            f"{one.reset}, the reset of {listed(one.stops)}, is not in the reset loop of {listed(one.units)}{by}",
            design.reading.place("stops", one.stops[0], "reset"),
            signal=Signal.WARNING if one.by_program else RULE.signal,
            because=tuple(Cause(design.place(name), "closes the loop") for name in one.by),
            mend=(f"Lead the reset loop of {listed(one.units)} through {one.reset}.",),
        )
