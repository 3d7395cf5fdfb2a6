"""A part stands in the free space that another one wants.

Drives, supplies and contactors want free space around them, for their air and for the gases of a switched short. It is
kept to other parts in full; half of it may lie over a duct, through which air passes.

Fires on sorting-gate at G1
    G1.position=100 x 300 mm
    G1.clearance={above: 50 mm, below: 50 mm, sides: 15 mm}
    F1.position=145 x 300 mm
Quiet
    F1.position=160 x 300 mm
Not judged
    Drives and supplies in the cabinet that have a position and do not say their `clearance`.
Known limits
    Free space in front is kept to the door by `cabinet-too-shallow`. Free space to the walls of the cabinet is not
    judged. What the plan does not give is typical of the kind, and then the finding is a NOTICE.
"""

from __future__ import annotations

from wiring.cabinet.conflicts import Clash, Conflict, conflicts_of
from wiring.design.enclosure.laid_cabinet import position_place
from wiring.findings import Number
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, trade_practice

RULE = Rule(
    slug="clearance-too-small",
    title="Free space around a part is taken up",
    signal=Signal.CAUTION,
    harm="The part runs hotter than it is made for, gives less, ages early, or a switching arc strikes its neighbour.",
    sources=(("both", trade_practice("free space that data sheets ask for")),),
)
_GIVEN = Source("the plan", "", "clearance of the part", Standing.COMPUTED)
#: What is asked for its free space, as no typical figure stands for it.
_ASKED = ("drive", "supply")


def check(design: Design) -> Judgements:
    """Every two parts in the cabinet."""
    if design.machine.laid is None:
        return
    layout = design.machine.laid.layout
    for clash in conflicts_of(layout):
        if clash.sort is Conflict.CLEARANCE:
            yield _finding(design, clash, layout.outlines[clash.names[0]].clearance_given)
    asked = [
        name for name, one in layout.plate.items() if one.outline.zone in _ASKED and not one.outline.clearance_given
    ]
    yield from RULE.ask(asked, "the free space of its data sheet (`clearance: {above: …, below: …, sides: …}`)")


def _finding(design: Design, clash: Clash, given: bool) -> Judgement:
    wants, near = clash.names
    source = _GIVEN if given else trade_practice("typical free space of the kind")
    return RULE.finding(
        (wants, near),
        f"{wants} wants {clash.wants:g} mm free, and {near} stands {max(clash.has, 0.0):.0f} mm from it",
        position_place(design, wants),
        signal=Signal.CAUTION if given else Signal.NOTICE,
        numbers=(Number("free", max(clash.has, 0.0) / 1000.0, "m", f"from {wants} to {near}"),),
        limit=Limit(clash.wants / 1000.0, "m", source),
        mend=(f"Move {near} {clash.wants - clash.has:.0f} mm away from {wants}.",),
    )
