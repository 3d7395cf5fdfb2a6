"""A device is fed at the side that is marked for its load.

A residual current device with electronics, a ground-fault interrupter and an electronic fuse take their own power and
sense from the line side; a breaker that is marked so breaks its rated current from there alone. Fed the other way
round, an interrupter stays alive behind its open contacts and burns, or its test button does, and the next fault finds
none; the arc of a marked breaker does not go out. A plan says `line: odd` or `line: even` by the marking of the real
terminals, `line: either` where the maker allows both. An electronic fuse and a ground-fault interrupter up to 6 mA
count as marked at their odd terminals. Plain breakers and fuses that say nothing may be fed from either side.

Fires on fan-heater at F9
    parts.F9={kind: rcd, rated: 16 A, rating: 15 A, curve: C, residual: 5 mA, type: A}
    parts.J1={kind: socket-outlet, rated: 15 A, feeds: 120 V AC 1 A}
    wires+={wire: J1, from: Q1:2, to: F9:2, type: line}
    wires+={wire: J2, from: Q1:4, to: F9:4, type: neutral}
    wires+={wire: J3, from: F9:1, to: J1:L, type: line}
    wires+={wire: J4, from: F9:3, to: J1:N, type: neutral}
    wires+={wire: J5, from: XPE:7, to: J1:PE, type: ground}
Quiet
    F9.line=even
Not judged
    A residual current device that is fed at its even terminals and does not say whether it may be.
Known limits
    A device between two sources, as between a battery and its charger, is asked for the stronger one alone.
"""

from __future__ import annotations

from wiring.design.device.fed_sides import fed_sides
from wiring.parts.protection import ResidualCurrentDevice
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing, nfpa_70

RULE = Rule(
    slug="device-fed-at-load-side",
    title="Device is fed at its load side",
    signal=Signal.WARNING,
    harm="It burns out or does not break, and what it should protect goes on without protection.",
    sources=(
        ("iec", Source("IEC 61008-1", "2010", "6, terminals for line and load", Standing.FROM_MEMORY)),
        ("na", nfpa_70("110.3(B)")),
    ),
)


def check(design: Design) -> Judgements:
    """Every device with a line side."""
    unknown = []
    for one in fed_sides(design):
        if one.right is False:
            yield RULE.finding(
                (one.part.name,),
                f"{one.part.name} is fed at {one.part.name}:{one.fed}, its load side; its line belongs at "
                f"{one.part.name}:{one.other}",
                design.place(one.part.name, "line"),
                mend=(f"Exchange what is connected to the two sides of {one.part.name}, pole by pole.",),
            )
        elif one.right is None and isinstance(one.part.data, ResidualCurrentDevice) and int(one.fed) % 2 == 0:
            unknown.append(one.part.name)
    yield from RULE.ask(unknown, "whether they may be fed at their even terminals (`line: either`, or `even`)")
