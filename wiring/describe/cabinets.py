"""The cabinet of a draft: that of the description where all parts go in, else the smallest usual one for all."""

from __future__ import annotations

from functools import partial

from wiring.cabinet.box import box_of, has_box, usual_boxes_for
from wiring.cabinet.layout import lay_out
from wiring.cabinet.records import Box, Layout
from wiring.cabinet.study import Study
from wiring.describe.build import Refused
from wiring.describe.description import Cabinet
from wiring.design.design import Design
from wiring.design.enclosure.cabinet_cooling import needed_cooling
from wiring.design.enclosure.cabinet_temperature import described
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.enclosure import Enclosure, effective_surface, highest_inside

_MM = 1000.0
#: A larger cabinet has longer conductors, which give off heat too (own choice).
_SPARE_SURFACE = 1.1


def taken_box(
    design: Design, cabinet: Cabinet, before: Box | None, *, final: bool, rough: bool = True
) -> tuple[Box | None, str]:
    """The cabinet that takes the place of that of the description, with the reason where it is another than `before`.

    None where that of the description holds all parts. `before` is the one that was taken already; in a `final` round
    it is left only where it has become too small. A `rough` layout leaves its wires as long as they are. Raises Refused
    where the cabinet is there already, or no usual one is large enough.
    """
    study = Study(design.circuit, partial(lay_out, trials=0)) if rough else Study(design.circuit)
    if has_box(design.plan) and (before is None or final) and study.holds:
        return before, ""
    book, smallest = design.plan.rulebook, study.smallest
    if smallest is None:
        raise Refused(
            f"{study.count} parts stand on the plate",
            f"no usual cabinet holds them, and the largest is {usual_boxes_for(design.plan)[-1].words(book)}",
            "Make two machines of it, or a line of cabinets by hand.",
            ("cabinet",),
        )
    if not has_box(design.plan):
        return smallest, "the smallest usual one that holds all parts"
    if before is not None:
        return smallest, ""
    words = box_of(design.plan).words(book)
    if cabinet.bought or cabinet.plate is not None or cabinet.rails or cabinet.ducts:
        raise Refused(
            f"the parts do not go into the cabinet that is there, of {words}: {_lacking(study)}",
            f"the smallest usual one that holds them is {smallest.words(book)}",
            "Leave out what says that it is there (`bought`, `plate`, `rails`, `ducts`), or ask for less.",
            ("cabinet",),
        )
    return smallest, f"the smallest usual one that holds all parts; {words} does not: {_lacking(study)}"


def cool_box(design: Design, box: Box | None) -> Box | None:
    """The first usual cabinet from that one on whose surface alone gives off the heat; None is that of the description,
    which stays where its own does."""
    now = described(design.machine)
    if isinstance(now, str):
        return box
    limit = highest_inside("electronic")
    wanted = _SPARE_SURFACE * needed_cooling(design, limit)[1]
    ladder = list(usual_boxes_for(design.plan))
    front = (box.width * box.height) if box else _MM * now.width_m * _MM * now.height_m
    larger = [one for one in ladder if one.width * one.height >= front]
    for one in larger if box is not None or _surface(now) < wanted else ():
        room = Enclosure(one.width / _MM, one.height / _MM, one.depth / _MM, now.material, now.mounting)
        if _surface(room) >= wanted:
            return one
    return box


def _surface(room: Enclosure) -> float:
    found = effective_surface(room)
    return found.value if isinstance(found, Limit) else 0.0


def _lacking(study: Study) -> str:
    found = study.found
    if isinstance(found, Layout):
        return "; ".join(f"{name} has no place, {why}" for name, why in found.unplaced.items()) or "it is too flat"
    return str(found)
