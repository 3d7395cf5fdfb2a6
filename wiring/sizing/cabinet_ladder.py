"""The ladder of cabinets: the usual sizes in the order of their fronts, and what the parts of a plan ask of it.

A size of cabinet is no single figure, so that its place in that order stands for it; the plan's own has the place 0.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.cabinet.box import has_box, usual_boxes_for
from wiring.cabinet.records import NoRoom
from wiring.cabinet.study import Study
from wiring.design.design import Design
from wiring.plan.edits import SetValue
from wiring.requirement import CABINET, Quantity, Requirement
from wiring.sizing.ladder import Key, Ladder, Sort, Step, ladder_of

#: What the ladder is found by.
CABINET_KEY: Key = (Quantity.SPACE, CABINET)


def cabinet_ladder(design: Design) -> Iterator[Ladder]:
    """The usual cabinets, for a plan that gives the size of its own and lays nothing out in it yet."""
    plan = design.plan
    if not has_box(plan) or plan.enclosure is None or design.machine.laid is not None:
        return
    node = design.reading.node("enclosure", "size")
    now = Step(0.0, 0.0, str(node.data) if node is not None else "")
    others = []
    for place, box in enumerate(usual_boxes_for(plan), 1):
        text = box.words(plan.rulebook)
        others.append(Step(place, place, text, edits=(SetValue(("enclosure", "size"), text),)))
    yield ladder_of(Sort.CABINET, Quantity.SPACE, CABINET, now, others)


def cabinet_asked(design: Design) -> tuple[Requirement, ...]:
    """What parts that do not fit ask of the cabinet; nothing where they fit, or where no usual cabinet holds them."""
    if not has_box(design.plan) or design.machine.laid is not None:
        return ()
    study = Study(design.circuit)
    found, smallest = study.found, study.smallest
    if not isinstance(found, NoRoom) or smallest is None:
        return ()
    place = usual_boxes_for(design.plan).index(smallest) + 1
    why = f"its parts need {found.needed:.0f} mm of {found.side} on the plate, which has {found.has:.0f} mm"
    return (Requirement("cabinet", CABINET, Quantity.SPACE, place, why=why),)
