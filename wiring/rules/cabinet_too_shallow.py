"""A part is too deep for the cabinet, or for the operator on the door in front of it.

A part on the plate reaches from the back wall over the stand-off of the plate, the rail and its own depth. With the
door shut an operator reaches back into the cabinet: what stands behind it must leave it room.

Fires on sorting-gate at G1
    G1.position=100 x 300 mm
    H1.position=130 x 330 mm
Quiet
    H1.position=250 x 330 mm
Not judged
    Operators on the door without a position while parts on the plate have one.
Known limits
    The plate stands 25 mm before the back wall and a rail is 15 mm deep (from memory). Pockets and stiffeners of the
    door are not known. Depths that the plan does not give are typical.
"""

from __future__ import annotations

from wiring.cabinet.door import AIR, front_of, too_deep
from wiring.cabinet.records import Layout
from wiring.design.enclosure.laid_cabinet import position_place
from wiring.findings import Number
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="cabinet-too-shallow",
    title="Cabinet is not deep enough",
    signal=Signal.CAUTION,
    harm="The door does not shut, or presses the terminals of an operator onto what stands behind it.",
    sources=(("both", trade_practice("depth of cabinets")),),
)


def check(design: Design) -> Judgements:
    """Every part on the plate against the door, and every operator against what is behind it."""
    if design.machine.laid is None:
        return
    layout = design.machine.laid.layout
    yield from _against_door(design, layout)
    for name, placed in layout.door.items():
        for deep in too_deep(layout.box, placed.outline, placed.area, layout.plate):
            needed = front_of(layout.plate[deep].outline) + placed.outline.depth + AIR
            yield RULE.finding(
                (deep, name),
                f"With the door shut {name} meets {deep}: {needed:.0f} mm of depth are needed there",
                position_place(design, name),
                numbers=(Number("needed", needed / 1000.0, "m", f"{deep}, {name} and {AIR:g} mm between them"),),
                limit=RULE.limit(design, layout.box.depth / 1000.0, "m", "depth of the cabinet"),
                mend=(f"Move {name} on the door, or take a cabinet {needed:.0f} mm deep.",),
            )
    waiting = [name for name in layout.unplaced if design.parts[name].data.at == "door"]
    yield from RULE.ask(waiting, "its place on the door (`position: 120 x 340 mm`)")


def _against_door(design: Design, layout: Layout) -> Judgements:
    for name, placed in layout.plate.items():
        needed = front_of(placed.outline) + AIR
        if needed > layout.box.depth + 0.5:
            yield RULE.finding(
                (name,),
                f"{name} needs {needed:.0f} mm of depth",
                position_place(design, name),
                numbers=(Number("needed", needed / 1000.0, "m", f"{name} on its plate and {AIR:g} mm to the door"),),
                limit=RULE.limit(design, layout.box.depth / 1000.0, "m", "depth of the cabinet"),
                mend=(f"Take a cabinet {needed:.0f} mm deep, or a flatter {name}.",),
            )
