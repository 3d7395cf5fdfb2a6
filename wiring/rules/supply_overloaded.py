"""A supply is asked for more current than it may deliver.

The budget is solved state by state: what every load on the rail takes at the voltage that reaches it, converters and
their losses counted. What the supply may deliver is its rated current, less its derating at the temperature inside
the cabinet. Peaks and small headroom have rules of their own.

Fires on sorting-gate at G1
    G1.rated=0.3 A
Quiet
    G1.rated=2.5 A
Not judged
    Derating, when the plan gives none and the cabinet is warmer than 40 °C. Loads whose work or current the plan leaves
    out, and coils whose power it leaves out, where what they may take is more than the supply has left.
"""

from __future__ import annotations

from math import inf

from wiring.design.enclosure.derated_parts import supplies_lost_to_heat
from wiring.design.supply.power import behind
from wiring.design.supply.supplies import SupplyFigure, needed_rating, rating_at, supply_words
from wiring.findings import Mend, Number
from wiring.parts.sources import RegulatedSource
from wiring.parts.storage import Battery
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.limits import KEPT_FREE, tabled
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="supply-overloaded",
    title="Supply is asked for more than it may deliver",
    signal=Signal.WARNING,
    harm="The supply limits or shuts down: axes lose their position, and all else on its rail drops out in motion.",
    sources=(("iec", iec_60204("4.2.1")), ("na", nfpa_79("4.2"))),
)
#: Supplies are rated for this temperature at least; above it their derating must be known.
_WARM_C = tabled("common", "supply_warm").value


def check(design: Design) -> Judgements:
    """Every supply in its worst state."""
    hot = supplies_lost_to_heat(design.power)
    unrated = (name for name, part in design.parts.items() if isinstance(part.data, Battery) and not part.data.rated)
    yield from RULE.ask(unrated, "the highest current that they give lastingly (`rated: 40 A`)")
    for name, rows in design.supplies.items():
        state, figure = max(rows.items(), key=lambda row: (-row[1].headroom, row[0]))
        part = design.parts[name]
        short = rating_at(part, figure.rated_a) < _needed(design, name, figure) * (1 - 1e-12)
        if name in design.power.budgeted and (short or not figure.carried):
            yield _overloaded(design, name, state, figure, name in hot)
        data = part.data
        if isinstance(data, RegulatedSource) and data.derating is None and design.inside.inside_c > _WARM_C:
            yield RULE.not_judged(
                (name,),
                f"its derating (`derating: {{from: …, slope: …}}`): it is {design.inside.inside_c:.0f} °C inside",
                design.place(name),
            )
        yield from _assumed(design, name, figure)


def _assumed(design: Design, name: str, figure: SupplyFigure) -> Judgements:
    """What the loads may take beyond what was assumed of them, where that is more than the supply has left."""
    unsaid = behind(design.power.assumed, design.short_circuits.fed_by.get(name, ()))
    more_a = sum(inf if one.more_a is None else one.more_a for one in unsaid)
    if unsaid and figure.carried and figure.current_a + more_a > figure.available_a:
        words = ", ".join(f"{one.words} of {one.part}" for one in unsaid)
        names = dict.fromkeys((name, *(one.part for one in unsaid)))
        yield RULE.not_judged(names, f"what its loads take: {words}", design.place(name))


def _needed(design: Design, name: str, figure: SupplyFigure) -> float:
    return needed_rating(design.parts[name], figure.current_a, design.inside.device_c)


def requirements(design: Design) -> Requirements:
    """Every supply in its worst state."""
    for name, rows in design.power.budgeted.items():
        state, figure = max(rows.items(), key=lambda row: (row[1].current_a, row[0]))
        why = f"{figure.current_a:.3g} A in state {state}"
        yield Requirement(RULE.slug, name, Quantity.RATING, _needed(design, name, figure), why=why)


def _overloaded(design: Design, name: str, state: str, figure: SupplyFigure, by_heat: bool) -> Judgement:
    part = design.parts[name]
    needed = needed_rating(part, figure.current_a, design.inside.device_c, KEPT_FREE)
    words = supply_words(part, needed)
    ask = Requirement(RULE.slug, name, Quantity.RATING, needed)
    larger = [Mend(f"Take a supply of {words} or more for {name}, which leaves 20 % headroom.", asks=(ask,))]
    return RULE.finding(
        (name,),
        f"{name} is asked for {figure.current_a:.3g} A in state {state} and may deliver {figure.available_a:.3g} A",
        design.place(name, "rated"),
        numbers=(
            Number("load", figure.current_a, "A", f"state {state}"),
            Number("rated", figure.rated_a, "A", name),
            Number(
                "available", figure.available_a, "A", f"at {design.inside.inside_c:.0f} °C inside", design.inside.source
            ),
        ),
        limit=RULE.limit(design, figure.available_a, "A"),
        mend=(*(larger if words else ()), "Move loads to a second supply, or let fewer axes run together."),
        holds=scope("supply", name) | scope("small", *([] if by_heat else [name])),
        rests=(scope("shorted", name) | scope("heat", *([name] if by_heat else [])),),
    )
