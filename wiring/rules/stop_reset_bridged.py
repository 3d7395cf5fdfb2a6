"""The reset loop of a stop relay is closed for good: no hand resets it.

A relay with a monitored reset waits for the loop to close and open again; with a bridge in place of the button it never
comes on. One with a manual reset comes on by itself as soon as the stop is released. Either way the reset button that
the stop names does nothing.

Fires on hot-wire at K0
    8.to=K1:21
    9=
Quiet
    8.to=S2:13
    wires+={wire: 9, from: S2:14, to: K1:21, type: control}
Not judged
    A unit whose plan says `reset_mode: automatic`: `stop-restarts-on-release` judges what it starts.
"""

from __future__ import annotations

from wiring.design.stop.reset_loops import ResetLoop, reset_loops
from wiring.findings import Cause
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import does

RULE = Rule(
    slug="stop-reset-bridged",
    title="No hand closes the reset loop",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="The machine starts again as soon as the stop is released, or never runs until someone bridges more.",
    sources=(
        ("iec", iec_60204("9.2.3.4.2")),
        ("na", nfpa_79("9.2.5.3")),
    ),
)


def check(design: Design) -> Judgements:
    """Every loop that is closed although its unit waits for a hand."""
    loops = list(reset_loops(design.machine))
    for loop in loops:
        if loop.closed and loop.mode != "automatic":
            used = {name for other in loops for name in other.devices}
            yield _finding(design, loop, used)


def _finding(design: Design, loop: ResetLoop, used: set[str]) -> Judgement:
    resets = {stop.reset: name for name, stop in design.plan.stops.items() if stop.reset}
    idle = [name for name in resets if name in design.parts and name not in used]
    follows = "it never comes on" if loop.mode == "monitored" else "it comes on by itself"
    return RULE.finding(
        (loop.unit, *idle, *(resets[name] for name in idle)),
        f"The reset loop of {loop.unit} is closed with nothing worked: {follows}"
        + (f", and {does(idle, 'resets', 'reset')} nothing" if idle else ""),
        design.place(loop.unit),
        signal=Signal.WARNING if loop.mode == "manual" else Signal.CAUTION,
        because=[Cause(design.place(name), "is in no reset loop") for name in idle],
        mend=(f"Put the make contact of a reset button into the reset loop of {loop.unit}.",),
    )
