"""All moving axes accelerating at once ask a supply for more than its overload mode gives.

The average is carried, but a fast move of every axis together is not. The peak of an axis is its drive's copper and
iron losses and its full torque at the working speed, never more than the drive can take from its bus.

Fires on sorting-gate at G1
    M1.work={speed: 300 rpm, torque: 0.2 N·m}
    M1.phase_current=4 A peak
    D1.phase_current=4 A peak
    M1.holding_torque=2 N·m
    G1.rated=1.5 A
Quiet
    G1.rated=5 A
Not judged
    A supply whose overload mode and limit the plan does not give.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from wiring.design.supply.supplies import supply_words
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.parts.sources import RegulatedSource
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="supply-peak-exceeded",
    title="Supply cannot carry all axes accelerating together",
    signal=Signal.CAUTION,
    harm="In a fast move of all axes the rail sags or the supply shuts down, and the axes lose their position.",
    sources=(("both", Source("energy balance of the drives", "", "", Standing.COMPUTED)),),
)

_DATA = Source("data of the part", "", "`overload` and `peak`", Standing.ONE_SOURCE)
#: A peak at the very limit counts as too much.
_ABOVE = 1.0 + 1e-5


def needed(part: Part, peak_a: float) -> float:
    """The rating at which a supply gives a peak [A]; 0 where its own figure for peaks does, whatever its rating."""
    data = part.data
    if not isinstance(data, RegulatedSource) or (data.overload is None and data.peak is None):
        return 0.0
    if peak_a < (data.peak or 0.0):
        return 0.0
    return _ABOVE * peak_a / data.overload.limit if data.overload else inf


def requirements(design: Design) -> Requirements:
    """Every supply in the state with the highest peak."""
    for name, rows in design.power.budgeted.items():
        state, figure = max(rows.items(), key=lambda row: (row[1].peak_a, row[0]))
        why = f"a peak of {figure.peak_a:.3g} A in state {state}"
        yield Requirement(RULE.slug, name, Quantity.RATING, needed(design.parts[name], figure.peak_a), why=why)


def _larger(part: Part, peak_a: float) -> Iterator[Mend]:
    """The smallest supply that is sold and gives the peak, where one is known."""
    least = needed(part, peak_a)
    words = supply_words(part, least) if 0.0 < least < inf else ""
    if words:
        ask = Requirement(RULE.slug, part.name, Quantity.RATING, least)
        yield Mend(f"Take a supply of {words} or more for {part.name}, or one that boosts.", asks=(ask,))


def check(design: Design) -> Judgements:
    """Every supply in the state with the highest peak."""
    for name, rows in design.power.budgeted.items():
        part = design.parts[name]
        state, figure = max(rows.items(), key=lambda row: (row[1].peak_a, row[0]))
        data = part.data
        allowed = figure.limit_a
        if isinstance(data, RegulatedSource):
            if data.overload is None and data.peak is None:
                if figure.peak_a > figure.available_a:
                    yield RULE.not_judged(
                        (name,), f"what {name} does above its rated current (`overload` or `peak`)", design.place(name)
                    )
                continue
            allowed = max(data.peak or 0.0, figure.limit_a if data.overload else 0.0)
        if figure.peak_a >= allowed:
            yield RULE.finding(
                (name,),
                f"{name} is asked for a peak of {figure.peak_a:.3g} A in state {state} and gives {allowed:.3g} A",
                design.place(name, "rated"),
                numbers=(
                    Number("peak", figure.peak_a, "A", f"state {state}, all moving axes at full torque"),
                    Number("load", figure.current_a, "A", f"state {state}"),
                ),
                limit=Limit(allowed, "A", _DATA),
                mend=(
                    *_larger(part, figure.peak_a),
                    "Stagger the moves, or lower the acceleration, so that the axes do not pull together.",
                ),
                holds=scope("supply", name) | scope("small", name),
                rests=(scope("small", name),),
            )
