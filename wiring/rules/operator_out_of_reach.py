"""An operator or the handle of the main switch is too low or too high above the floor.

Operators on the door count with their middle, the main switch where its shaft goes through the door. Where they have
no position yet, those are told that are out of reach wherever they stand on the cabinet.

Fires on sorting-gate at Q1
    Q1.position=100 x 60 mm
    enclosure.height=300 mm
Quiet
    enclosure.height=800 mm
Not judged
    Positions in a cabinet that does not say its `height` above the floor; operators without a position.
Known limits
    The floor is where its user stands; a step before the cabinet is not known. That an operator is seen and reached
    without leaning over a hazard is for the inspection.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.cabinet.box import mm
from wiring.cabinet.door import shaft_area
from wiring.cabinet.records import Area, Layout
from wiring.design.enclosure.laid_cabinet import position_place
from wiring.findings import Number
from wiring.parts.operators import HandOperated
from wiring.parts.protection import Disconnector
from wiring.plan.site import Enclosure
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="operator-out-of-reach",
    title="Operator or main switch is out of reach",
    signal=Signal.CAUTION,
    harm="In danger nobody gets to the switch in time, or works it while kneeling or from a ladder.",
    sources=(("iec", iec_60204("5.3.4")), ("na", nfpa_79("5.3.4"))),
)
#: Between which heights above the floor [mm]: operators (IEC 60204-1 10.1.2, NFPA 79 10.1.2) and the main switch
#: (IEC 60204-1 5.3.4; NFPA 79 5.3.4: 6 ft 7 in at most), all from memory; the trade keeps operators below 1.9 m.
_BOUNDS = {"iec": {"operator": (600.0, 1900.0), "switch": (600.0, 1900.0)}}
_BOUNDS["na"] = {"operator": (600.0, 2007.0), "switch": (0.0, 2007.0)}


def check(design: Design) -> Judgements:
    """Every operator on the door and every main switch with a position."""
    enclosure = design.plan.enclosure
    if design.machine.laid is None:
        yield from _anywhere(design, enclosure)
        return
    layout = design.machine.laid.layout
    spots = list(_spots(layout))
    if enclosure is None or enclosure.height is None:
        missing = "how high the lower edge of the cabinet is above the floor (`enclosure: {height: 0.8 m}`)"
        yield from RULE.ask((name for name, _, _ in spots), missing)
        return
    for name, sort, area in spots:
        height = mm(enclosure.height) + area.y + area.height / 2
        low, high = _BOUNDS[design.plan.rulebook][sort]
        if not low <= height <= high:
            yield _finding(design, name, sort, height, low if height < low else high)
    waiting = [name for name in layout.unplaced if design.parts[name].data.at == "door"]
    yield from RULE.ask(waiting, "its place on the door (`position: 120 x 340 mm`)")


def _spots(layout: Layout) -> Iterator[tuple[str, str, Area]]:
    yield from ((name, "switch", shaft_area(layout.box, layout.plate[name])) for name in layout.shafts)
    yield from ((name, "operator", placed.area) for name, placed in layout.door.items())


def _anywhere(design: Design, enclosure: Enclosure | None) -> Judgements:
    """The whole cabinet hangs too high, or stands too low, for what is worked on it."""
    if enclosure is None or enclosure.height is None or enclosure.size is None:
        return
    bottom, top = mm(enclosure.height), mm(enclosure.height + enclosure.size.height)
    for part in design.parts.values():
        sort = "switch" if isinstance(part.data, Disconnector) else "operator"
        if sort == "operator" and not (part.data.at == "door" and isinstance(part.data, HandOperated)):
            continue
        low, high = _BOUNDS[design.plan.rulebook][sort]
        if bottom > high or top < low:
            yield _finding(design, part.name, sort, *((bottom, high) if bottom > high else (top, low)))


def _finding(design: Design, name: str, sort: str, height: float, bound: float) -> Judgement:
    clause = "5.3.4" if sort == "switch" else "10.1.2"
    source = iec_60204(clause) if design.plan.rulebook == "iec" else nfpa_79(clause)
    wrong, better = ("high", "lower") if height > bound else ("low", "higher")
    by = abs(height - bound)
    return RULE.finding(
        (name,),
        f"{name} is {height:.0f} mm above the floor: too {wrong}",
        position_place(design, name),
        numbers=(Number("height", height / 1000.0, "m", "above the floor"),),
        limit=Limit(bound / 1000.0, "m", source),
        mend=(f"Move {name} {by:.0f} mm {better}, or hang the cabinet so.",),
    )
