"""A part of the cabinet lies over another one, over a duct, beyond its rail or duct or off its plate; or they do.

Judged once parts have a `position`. Each part is a rectangle of its `size`, or of the size that is typical of its kind
and rating. Two parts may touch. What hangs on a rail must hang on it with its whole width. A part with `mount: wall` is
laid on its wall, and its depth is kept free of plate, ducts, and parts on the plate, the door and other walls. A duct
must pass above or below every part of its row that has wires, and ducts must lead to each other.

Fires on sorting-gate at Q1
    Q1.position=100 x 300 mm
    F1.position=120 x 300 mm
Quiet
    F1.position=160 x 300 mm
Not judged
    Parts in the cabinet without a position while others have one; a part whose size is an allowance.
Known limits
    A part is a box: handles, plugs and shafts beside it are not known. The plate stands 25 mm before the back wall, in
    the middle of the cabinet (from memory).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.cabinet.conflicts import Clash, Conflict, conflicts_of, off_plate
from wiring.cabinet.records import Layout
from wiring.design.enclosure.laid_cabinet import off_its_rail, position_place, without_position, without_wall
from wiring.design.enclosure.short_ducts import ShortDuct, parted_ducts, short_ducts
from wiring.findings import Mend, Number
from wiring.plan.edits import SetValue
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, trade_practice
from wiring.wording import agreeing, listed

if TYPE_CHECKING:
    from wiring.cabinet.lengths import Courses

RULE = Rule(
    slug="part-in-the-way",
    title="Part lies over something else",
    signal=Signal.NOTICE,
    harm="The cabinet cannot be built as it is drawn, and holes are drilled in the wrong place.",
    sources=(("both", trade_practice("outlines of parts")),),
)


def check(design: Design) -> Judgements:
    """Every part with a position against all others, the ducts, the rails and the edge of its plate."""
    if design.machine.laid is None:
        return
    layout = design.machine.laid.layout
    for clash in conflicts_of(layout):
        if clash.sort is not Conflict.CLEARANCE:
            yield _finding(design, clash)
    yield from _beyond_rails(design, layout)
    yield from _beyond_ducts(design, design.machine.laid)
    for section, name in off_plate(layout):
        yield RULE.finding(
            (name,),
            f"{name} reaches beyond the plate",
            design.reading.place("enclosure", section, name),
            mend=(f"Write {name} shorter, or begin it elsewhere: the plate is {_plate_words(layout)}.",),
        )
    yield from RULE.ask(without_position(design, layout), "its place on the plate (`position: 120 x 340 mm`)")
    asked = "its place on a wall (`wall: left, position: 90 x 120 mm`, from the back and from below)"
    yield from RULE.ask(without_wall(design, layout), asked)
    yield from RULE.ask((name for name, one in layout.outlines.items() if one.is_allowance), "its outline (`size`)")


def _plate_words(layout: Layout) -> str:
    return f"{layout.box.plate_width:g} x {layout.box.plate_height:g} mm"


def _finding(design: Design, clash: Clash) -> Judgement:
    moved = clash.names[-1]
    over = f" {clash.names[0]}" if len(clash.names) > 1 else f" {clash.duct}" if clash.duct else ""
    words = {
        Conflict.PART: "lies over",
        Conflict.DUCT: "lies over the duct",
        Conflict.EDGE: f"reaches beyond its {_board(design, moved)}",
        Conflict.DEPTH: "reaches from its wall into",
    }
    return RULE.finding(
        (moved, *clash.names[:-1]),
        f"{moved} {words[clash.sort]}{over}",
        position_place(design, moved),
        mend=(f"Move {moved}: `wiring cabinet` shows where there is room.",),
    )


def _board(design: Design, name: str) -> str:
    data = design.parts[name].data
    return "door" if data.at == "door" else "plate" if data.wall is None else f"{data.wall} wall"


def _beyond_rails(design: Design, layout: Layout) -> Judgements:
    for name, placed in layout.plate.items():
        beyond = off_its_rail(layout, placed) if layout.rails and placed.outline.mount == "rail" else 0.0
        if beyond > 0.5:
            yield RULE.finding(
                (name,),
                f"{name} hangs on a rail, and {beyond:.0f} mm of it have none behind them",
                position_place(design, name),
                numbers=(Number("without rail", beyond / 1000.0, "m", f"of {placed.outline.width:g} mm"),),
                mend=(f"Move {name} along its rail, or write a longer one (`rails`).",),
            )


def _beyond_ducts(design: Design, courses: Courses) -> Judgements:
    for one in short_ducts(courses):
        yield RULE.finding(
            (one.duct, one.part),
            f"{one.duct} ends {one.lacking:.0f} mm short of {one.part}, and no other duct passes above or below it",
            design.reading.place("enclosure", "ducts", one.duct),
            numbers=(Number("without duct", one.lacking / 1000.0, "m", f"of {one.part}"),),
            mend=(_longer(one), f"Move {one.part} along its row."),
        )
    for ducts, names in parted_ducts(courses).items():
        yield RULE.finding(
            tuple(dict.fromkeys(ducts)),
            f"No duct leads from {' to '.join(ducts)}, and {listed(names)} {agreeing(names, 'lies', 'lie')} in both",
            design.reading.place("enclosure", "ducts", ducts[0]),
            mend=("Write one of them longer, or a duct between them (`run: up`).",),
        )


def _longer(short: ShortDuct) -> Mend:
    duct = short.longer
    if short.over:
        return Mend(f"Begin or end {short.duct} elsewhere: {duct.length:g} mm long it would lie over {short.over}.")
    path = ("enclosure", "ducts", short.duct)
    edits = (SetValue((*path, "at"), f"{duct.x:g} x {duct.y:g} mm"), SetValue((*path, "length"), f"{duct.length:g} mm"))
    return Mend(f"Cut {short.duct} {duct.length:g} mm long, from x {duct.x:g} mm on.", edits)
