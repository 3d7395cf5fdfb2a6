"""A load that falls when the torque goes is held by nothing.

Taking the power away is how a machine stops. An axis that the plan marks `vertical` and not `self_locking` drops then,
unless a brake holds its shaft.

Fires on screw-axis at M1
    M1.self_locking=false
Quiet
    M1.self_locking=true
Not judged
    Whether the torque of the brake is enough: the load is no part of a wiring plan.
"""

from __future__ import annotations

from wiring.design.motor.brakes import falls
from wiring.parts.motors import Brake
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="vertical-axis-without-brake",
    title="Vertical axis without a brake",
    signal=Signal.WARNING,
    harm="At every stop and every power failure the head falls, on a hand or on the work.",
    sources=(("iec", iec_60204("4.1")), ("na", nfpa_79("4.1"))),
)


def check(design: Design) -> Judgements:
    """Every shaft whose load falls."""
    held = {part.data.holds for part in design.parts.values() if isinstance(part.data, Brake)}
    for name, part in design.parts.items():
        if falls(part) and name not in held:
            yield RULE.finding(
                (name,),
                f"{name} ({part.title}) moves a load that falls, and no brake holds it",
                design.place(name, "vertical"),
                mend=(
                    f"Fit a holding brake (`kind: brake, holds: {name}`) that closes when its coil loses power.",
                    f"Or does its screw or gear lock by itself, or is it changed for one that does? Then write "
                    f"`self_locking: true` at {name}.",
                ),
            )
