"""A supply carries its load but has little to spare.

Twenty per cent of headroom over the computed continuous load is what the trade keeps: figures of loads are typical
values, supplies age, and a machine grows.

Fires on sorting-gate at G1
    G1.rated=1 A
Quiet
    G1.rated=1.5 A
Not judged
    Nothing of its own; see `supply-overloaded` for missing derating.
"""

from __future__ import annotations

from wiring.design.supply.supplies import SupplyFigure, needed_rating, rating_at, supply_words
from wiring.findings import Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="supply-headroom-small",
    title="Supply has little headroom",
    signal=Signal.CAUTION,
    harm="A heavier cut, a warmer day or one more load brings the supply to its limit and the machine to a halt.",
    sources=(("both", Source("trade practice", "", "20 to 30 % headroom", Standing.COMMON_PRACTICE)),),
)


def check(design: Design) -> Judgements:
    """Every supply in its worst state."""
    for name, rows in design.power.budgeted.items():
        state, figure = max(rows.items(), key=lambda row: (-row[1].headroom, row[0]))
        part, needed = design.parts[name], _needed(design, name, figure)
        if rating_at(part, figure.rated_a) >= needed * (1 - 1e-12):
            continue
        words = supply_words(part, needed)
        ask = Requirement(RULE.slug, name, Quantity.RATING, needed)
        free = f"{100 * figure.headroom:.0f} %" if figure.headroom >= 0.0 and figure.carried else "no"
        yield RULE.finding(
            (name,),
            f"{name} has {free} headroom in state {state}",
            design.place(name, "rated"),
            numbers=(
                Number("load", figure.current_a, "A", f"state {state}"),
                Number(
                    "available",
                    figure.available_a,
                    "A",
                    f"at {design.inside.inside_c:.0f} °C inside",
                    design.inside.source,
                ),
            ),
            limit=RULE.limit(design, (1 - KEPT_FREE) * figure.available_a, "A"),
            mend=(
                *((Mend(f"Take a supply of {words} or more for {name}.", asks=(ask,)),) if words else ()),
                "Or move loads to a second supply, or let fewer axes run together.",
            ),
        )


def _needed(design: Design, name: str, figure: SupplyFigure) -> float:
    return needed_rating(design.parts[name], figure.current_a, design.inside.device_c, KEPT_FREE)


def requirements(design: Design) -> Requirements:
    """Every supply in its worst state."""
    for name, rows in design.power.budgeted.items():
        state, figure = max(rows.items(), key=lambda row: (row[1].current_a, row[0]))
        why = f"{figure.current_a:.3g} A in state {state} with {100 * KEPT_FREE:.0f} % kept free"
        yield Requirement(RULE.slug, name, Quantity.RATING, _needed(design, name, figure), why=why)
