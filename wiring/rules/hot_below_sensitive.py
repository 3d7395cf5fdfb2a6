"""A hot part stands straight below a breaker, an electronic fuse or a card.

Warm air rises. Thermal releases above a hot part open early, electronics above it age. Heat counts as solved in the
hottest state, or as typical of the class where nothing of a part is solved. A part on a wall or on the floor is below
what stands higher at the same depth from the back.

Fires on sorting-gate at G1
    G1.position=100 x 100 mm
    G1.heat=12 W
    F1.position=110 x 300 mm
Quiet
    F1.position=200 x 300 mm
Not judged
    Parts without a position.
Known limits
    What is hot (5 W) and how far above it the air is warm (300 mm) are own choices. Fans in the cabinet are not known.
"""

from __future__ import annotations

from wiring.design.enclosure.laid_cabinet import hot_below, position_place, without_position
from wiring.findings import Cause, Number
from wiring.parts.outlines import HOT_W
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="hot-below-sensitive",
    title="Hot part below one that heat harms",
    signal=Signal.NOTICE,
    harm="A breaker opens below its rating, and electronics above the hot part fail early.",
    sources=(("iec", iec_60204("11.2.3")), ("na", nfpa_79("11.2.3"))),
)


def check(design: Design) -> Judgements:
    """Every hot part on the plate or a wall with what stands above it."""
    if design.machine.laid is None:
        return
    layout = design.machine.laid.layout
    for hot, harmed, watts in hot_below(design, layout):
        yield RULE.finding(
            (hot.name, harmed.name),
            f"{hot.name} gives off {watts:.3g} W straight below {harmed.name}",
            position_place(design, hot.name),
            because=[Cause(position_place(design, harmed.name), "stands above")],
            numbers=(Number("heat", watts, "W", hot.name),),
            limit=RULE.limit(design, HOT_W, "W", "what counts as hot is an own choice"),
            mend=(f"Move {hot.name} above {harmed.name}, or beside it.",),
        )
    yield from RULE.ask(without_position(design, layout), "its place on the plate (`position: 120 x 340 mm`)")
