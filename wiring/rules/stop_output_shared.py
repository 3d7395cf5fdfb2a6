"""One output of a stop relay serves both channels of a stop.

Two contactors in series stand for each other when one of them welds, and so do two torque-off inputs of a drive, or the
two inputs of a further stop relay. When one contact of the relay feeds both, a short from a live conductor to that one
conductor, or the contact, holds both: the stop has one channel from there on. Each hangs on an output of its own.

Fires on hot-wire at K0
    13.from=K0:14
Quiet
    13.from=K0:24
Not judged
    Where the channels of the unit have no contacts of their own: then its inside counts, and the stop proof judges it.
"""

from __future__ import annotations

from wiring.design.stop.channels import SharedOutput, shared_outputs
from wiring.findings import Cause
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing
from wiring.wording import does, stops_called

RULE = Rule(
    slug="stop-output-shared",
    title="One output of a stop relay serves both channels",
    signal=Signal.WARNING,
    harm="One bruised wire at 24 V, or one welded contact, holds both channels, and the stop is pressed in vain.",
    sources=(("both", Source("ISO 13849-1", "2015", "6.2.6", Standing.FROM_MEMORY)),),
)


def check(design: Design) -> Judgements:
    """One finding for each output, with all the stops that it defeats."""
    found: dict[tuple[str, str], list[SharedOutput]] = {}
    for one in shared_outputs(design.stopping):
        found.setdefault((one.unit, one.contact), []).append(one)
    for (unit, contact), rows in found.items():
        parts, coils, stops = rows[0].parts, rows[0].coils, [row.stop for row in rows]
        alive = list(dict.fromkeys(name for row in rows for name in row.alive))
        yield RULE.finding(
            (unit, *parts, *stops),
            f"{' and '.join(coils)} hang on the one output {unit}:{contact}: when it stays live, "
            f"{does(alive, 'stays fed', 'stay fed')} in spite of {stops_called(stops)}",
            design.place(unit),
            because=[Cause(design.place(name), "hangs on that output") for name in parts],
            mend=(f"Lead {coils[-1]} to an output of {unit} of its own.",),
        )
