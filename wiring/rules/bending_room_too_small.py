"""A part stands so near to a duct that its wires cannot bend into it.

Between the terminals of a part and the duct above or below it a hand and the bend of a wire need room.

Fires on sorting-gate at F1
    F1.position=100 x 300 mm
    enclosure.ducts={lower: {at: 0 x 245 mm, length: 349 mm, size: 40 x 60 mm}}
Quiet
    F1.position=100 x 320 mm
Not judged
    Nothing: parts without a position and plans without ducts are passed over.
Known limits
    Thick conductors need more than the usual 30 mm; the bend that a conductor asks for is not computed.
"""

from __future__ import annotations

from wiring.cabinet.records import Style
from wiring.design.enclosure.laid_cabinet import bending_room, position_place
from wiring.findings import Number
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="bending-room-too-small",
    title="No room to bend wires into the duct",
    signal=Signal.NOTICE,
    harm="Wires are pressed against the duct, pull at their terminals, and nobody gets a screwdriver to them.",
    sources=(("both", trade_practice("room between terminals and duct")),),
)


def check(design: Design) -> Judgements:
    """Every part on the plate with a duct above or below it."""
    layout = design.machine.laid.layout if design.machine.laid else None
    for name, placed in layout.plate.items() if layout else ():
        room = bending_room(layout, placed) if layout and placed.outline.mount != "foot" else None
        if room is not None and room < Style().bending - 0.5:
            yield RULE.finding(
                (name,),
                f"{name} is {room:.0f} mm from a duct; {Style().bending:g} mm are usual",
                position_place(design, name),
                numbers=(Number("room", room / 1000.0, "m", "between part and duct"),),
                limit=RULE.limit(design, Style().bending / 1000.0, "m"),
                mend=(f"Move {name} {Style().bending - room:.0f} mm away from the duct.",),
            )
