"""A neutral or a line is led past the residual current device whose circuit it belongs to.

A residual current device compares what goes out through it with what comes back. Whatever returns past it, from before
its poles or through those of another device, is a residual current to it: it trips as soon as the load is switched on,
and what joins its two sides lets it miss a true fault. All live conductors of its circuit, and no other, go through it.

Fires on mixer at F1
    10.from=F1:1
Quiet
    10.from=F2:2
Not judged
    The residual current device of the building, past which nothing of the machine can lead.
Known limits
    Every contact counts as closed: a load that is changed over to a supply in front of the device is told as well.
"""

from __future__ import annotations

from wiring.design.earth.residual_balance import PastDevice, past_residual_devices
from wiring.findings import Cause
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import does, listed

RULE = Rule(
    slug="residual-device-passed",
    title="Current is led past a residual current device",
    signal=Signal.WARNING,
    harm="The device trips without a fault, or misses a true one: whoever touches a live part is not saved by it.",
    sources=(("both", Source("IEC 60364-5-53", "", "531.3.2", Standing.FROM_MEMORY)),),
)


def check(design: Design) -> Judgements:
    """Every residual current device."""
    for found in past_residual_devices(design.machine):
        yield _finding(design, found)


def _finding(design: Design, found: PastDevice) -> Judgement:
    wires = [wire.id for wire in found.conductors]
    first = next(iter(found.conductors), None)
    words = (
        f"{does(found.loads, 'is', 'are')} fed through {found.device} and past it, by {listed(wires)}"
        if found.loads
        else f"{does(wires, 'leads', 'lead')} from one side of {found.device} to the other past its poles"
    )
    return RULE.finding(
        (found.device, *found.loads, *wires),
        words,
        first.place if first else design.place(found.device),
        because=(Cause(design.place(found.device), "must see all that goes out and comes back"),),
        mend=(f"Lead {listed(wires)} through a pole of {found.device}.",),
    )
