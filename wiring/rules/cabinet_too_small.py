"""The parts do not go into the cabinet that the plan gives.

As soon as parts have a `size`, their rows and the ducts between them are stood on the plate by first fit, the tallest
first, in four ways, without any spare but that which the plan asks for. Where the parts whose size is given do not go
on the plate in any of them, or one is deeper than the cabinet, this says so before anything is bought.

Fires on sorting-gate at G1
    G1.size=80 x 520 x 110 mm
Quiet
    enclosure.size=800 x 1000 x 300 mm
Not judged
    A cabinet without `size`, and parts that go in by their given sizes and not with the typical ones of the others.
Known limits
    Parts that go in by typical sizes alone are not told. A plan that says where its parts stand is judged by where they
    stand. First fit needs at most a row more than the best order; wall, door and foot are not counted in.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.cabinet.blocks import bodies_of, outlines_of
from wiring.cabinet.box import box_of, has_box, style_of, usual_boxes_for
from wiring.cabinet.door import AIR, front_of
from wiring.cabinet.records import Box, NoRoom, Style
from wiring.cabinet.rows import pack
from wiring.findings import Finding, Mend, Number
from wiring.plan.edits import SetValue
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="cabinet-too-small",
    title="Parts do not go into the cabinet",
    signal=Signal.CAUTION,
    harm="Parts are squeezed in without room for ducts, for bending wires or for air, or a second cabinet is bought.",
    sources=(("both", trade_practice("rows of parts between ducts")),),
)


def check(design: Design) -> Judgements:
    """The parts of a plan that gives no positions, first those whose size it gives, then all."""
    plan, parts = design.plan, design.parts
    if design.machine.laid is not None:
        return
    outlines = outlines_of(parts)
    if not bodies_of(design.circuit, outlines):
        return
    if not has_box(plan):
        yield from RULE.ask(("cabinet",), "its size (`enclosure: {size: 600 x 800 x 250 mm}`)")
        return
    given = {name for name, one in outlines.items() if one.standing == "given"}
    found = _lacking(design, given)
    if found is not None:
        yield _finding(design, found)
        return
    if _lacking(design, set(outlines)) is not None:
        asked = [one.name for one in bodies_of(design.circuit, outlines) if one.name not in given]
        yield from RULE.ask(asked, "their `size`: with typical ones they do not go in, and `wiring cabinet` tells why")


def _finding(design: Design, found: NoRoom) -> Finding:
    size = design.reading.node("enclosure", "size")
    return RULE.finding(
        found.row,
        f"The parts do not go into the cabinet: {found}",
        size.place if size is not None else None,
        numbers=(Number("needed", found.needed / 1000.0, "m", f"{found.side}, {', '.join(found.row)}"),),
        limit=RULE.limit(design, found.has / 1000.0, "m", f"{found.side} that the cabinet has"),
        mend=_mends(design, found),
    )


def _mends(design: Design, found: NoRoom) -> Iterator[str | Mend]:
    """The smallest usual cabinet that holds all parts, unless the plan gives the plate as well."""
    plan = design.plan
    holding = (box for box in usual_boxes_for(plan) if _lacking(design, set(outlines_of(design.parts)), box) is None)
    box = next(holding, None)
    if box is not None and plan.enclosure is not None and plan.enclosure.plate is None:
        text = box.words(plan.rulebook)
        yield Mend(f"Take a cabinet of {text}.", (SetValue(("enclosure", "size"), text),))
    yield f"Take {found.part} out of its row (`mount: wall`), or a smaller one."


def _lacking(design: Design, names: set[str], box: Box | None = None) -> NoRoom | None:
    """What is missing for these parts, on the plate or in depth, None where they go in."""
    enclosure = design.plan.enclosure
    style = style_of(design.plan) if enclosure is not None and enclosure.spare is not None else Style(spare=0.0)
    outlines = {name: one for name, one in outlines_of(design.parts).items() if name in names}
    bodies = bodies_of(design.circuit, outlines)
    box = box or box_of(design.plan)
    found = pack(style, box, bodies, outlines)
    if isinstance(found, NoRoom):
        return found
    deepest = max(bodies, key=lambda one: front_of(one.outline), default=None)
    if deepest is not None and front_of(deepest.outline) + AIR > box.depth:
        return NoRoom(front_of(deepest.outline) + AIR, box.depth, (deepest.name,), deepest.name, "depth")
    return None
