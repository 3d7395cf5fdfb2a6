"""A shield is joined to nothing.

A shield works only where it is bonded. One that ends in the air couples what it should keep out from core to core.

Fires on screw-axis at C21
    C21.shield.ends=[]
Quiet
    C21.shield.ends=[XPE:10]
Not judged
    A cable for which the plan names no shield.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.edits import earth_points
from wiring.findings import Mend
from wiring.plan.edits import SetValue, scalar
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="shield-floating",
    title="Shield is bonded nowhere",
    signal=Signal.CAUTION,
    harm="The shield couples noise from core to core: lost steps, phantom limits, a machine that stops or runs on.",
    sources=(("both", trade_practice("shields of cables")),),
)


def check(design: Design) -> Judgements:
    """Every cable with a shield."""
    for index, cable in enumerate(design.plan.cables):
        if cable.shield is not None and not cable.shield.ends:
            yield RULE.finding(
                (cable.cable,),
                f"The shield of {cable.cable} is bonded at neither end",
                design.reading.place("cables", index, "shield"),
                mend=(_clamped(design, cable.cable),),
            )


def _clamped(design: Design, cable: str) -> Mend:
    points, edits = earth_points(design, 1)
    words = f"Clamp the shield of {cable} to a point of the shield bar in the cabinet."
    if not points:
        return Mend(words)
    return Mend(words, (*edits, SetValue(("cables", cable, "shield", "ends"), f"[{scalar(named(points[0]))}]")))
