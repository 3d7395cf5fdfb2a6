"""The air in the cabinet gets warmer than electronic devices stand.

The heat of every part, conductor and contact in the cabinet is summed in the state that heats most, each axis weighed
with its duty. It leaves through the walls and with the air of a fan; what remains warms the air. The finding names the
supplies that deliver too little for their load only because of that heat, the conductors that may carry nothing in it,
and those that would be thick enough in air at the limit.

Fires on sorting-gate at enclosure
    enclosure.size=200 x 200 x 100 mm
    site.ambient=45 °C
Quiet
    enclosure.size=500 x 700 x 250 mm
Not judged
    A cabinet whose size, material or mounting the plan does not give, or the air around it; boards whose current and
    coils whose power it leaves out, where what a large one takes would be too much; a warm cabinet with supplies or
    drives whose `efficiency` it leaves out; loads and devices in it without `heat`, where the rest of the heat is
    bearable and all of their power is not: it may leave as work, or by a lead to what stands outside.
Known limits
    One mean temperature, with the error that it shows against published cabinets; the air below the roof and beside a
    hot part is warmer still. An aluminium cabinet counts as a painted one: bare metal gives off less. Sun and a wall
    that is warm itself are not counted, nor are openings without a fan. Without `site: {ambient: …}` 40 °C are taken,
    for which IEC 60204-1 wants equipment made (4.4.3), and it is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from wiring.design.enclosure.cabinet_cooling import needed_cooling
from wiring.design.enclosure.derated_parts import (
    conductors_lost_to_heat,
    conductors_weakened_by_heat,
    supplies_lost_to_heat,
)
from wiring.design.enclosure.unsaid_heat import unsaid_heat
from wiring.findings import Mend, Number
from wiring.plan.source import Place
from wiring.requirement import CABINET, Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.enclosure import highest_inside
from wiring.rulebooks.steps import FAN_M3_H, first_at_least
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import agreeing, listed

RULE = Rule(
    slug="cabinet-too-hot",
    title="Cabinet gets too hot inside",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Supplies and drives shut down in the middle of work, and their capacitors age in a fraction of the time.",
    sources=(("iec", iec_60204("11.2.3")), ("na", nfpa_79("11.2.3"))),
)
_NAMED_PARTS = 3


def check(design: Design) -> Judgements:
    """The cabinet, once."""
    inside = design.inside
    if inside.heat_w <= 0.0 and not inside.unsaid_w:
        return
    if inside.rise_k is None:
        yield RULE.not_judged(("enclosure",), inside.missing, _place(design))
        return
    limit = highest_inside("electronic")
    if inside.inside_c <= limit.value:
        for names, missing in () if measured_inside(design) else unsaid_heat(design, limit.value):
            yield RULE.not_judged(("enclosure", *names), missing, _place(design))
        return
    given = "" if design.plan.site.ambient is not None else ", assumed"
    conductors, supplies = conductors_lost_to_heat(design.loading), supplies_lost_to_heat(design.power)
    weakened = conductors_weakened_by_heat(design)
    hottest = sorted(inside.parts_w.items(), key=lambda row: (-row[1], row[0]))[:_NAMED_PARTS]
    yield RULE.finding(
        ("enclosure", *(name for name, _ in hottest if name in design.parts)),
        f"The air in the cabinet reaches {inside.inside_c:.0f} °C in state {inside.state}"
        f"{_effects(conductors, weakened, supplies)}",
        _place(design),
        signal=Signal.WARNING if conductors or weakened else RULE.signal,
        numbers=(
            Number(
                "inside", inside.inside_c, "°C", f"mean, ±{inside.error_k:.2g} K, more below the roof", inside.source
            ),
            Number("ambient", design.ambient_c, "°C", f"around it{given}"),
            Number("heat", inside.heat_w, "W", ", ".join(f"{name} {watts:.3g} W" for name, watts in hottest)),
        ),
        limit=limit,
        mend=_mend(design, limit),
        holds=scope("heat", *conductors, *weakened, *supplies),
    )


def _effects(conductors: list[str], weakened: list[str], supplies: list[str]) -> str:
    """What the heat takes away, in words."""
    words = []
    if supplies:
        fails = agreeing(supplies, "delivers less there than its", "deliver less there than their")
        words.append(f"{listed(supplies)} {fails} load")
    if conductors:
        words.append(f"{listed(conductors)} may carry no current")
    if weakened:
        words.append(f"{listed(weakened)} {agreeing(weakened, 'is', 'are')} too thin there and would do at its limit")
    return "".join(f"; {word}" for word in words)


def _place(design: Design) -> Place | None:
    return design.reading.place("enclosure") if design.plan.enclosure is not None else None


def measured_inside(design: Design) -> bool:
    """Whether the air in the cabinet was measured, with all that gives off heat there."""
    return design.plan.measured is not None and design.plan.measured.inside is not None


def requirements(design: Design) -> Requirements:
    """The air that keeps the limit; more than any fan moves where the air outside is as warm."""
    inside, limit = design.inside, highest_inside("electronic")
    if inside.heat_w > 0.0 and inside.rise_k is not None and not measured_inside(design):
        flow, _, _ = needed_cooling(design, limit)
        why = f"{inside.heat_w:.3g} W in air of {design.ambient_c:.0f} °C, and {limit.value:.0f} °C inside at most"
        yield Requirement(RULE.slug, CABINET, Quantity.AIRFLOW, flow, why=why)


def _mend(design: Design, limit: Limit) -> Iterator[str | Mend]:
    """A fan that keeps the limit, and the surface that would do without one."""
    if measured_inside(design):
        yield "Cool the cabinet more, then measure it again: until then the temperature of `measured` stands."
        return
    flow, area_m2, surface_m2 = needed_cooling(design, limit)
    if flow == inf:
        yield f"Cool the cabinet, or put it where the air stays below {limit.value - 10:.0f} °C."
        return
    step = first_at_least(FAN_M3_H, flow)
    if step is not None:
        ask = Requirement(RULE.slug, CABINET, Quantity.AIRFLOW, flow)
        yield Mend(f"Fit a filter fan that delivers {step:g} m3/h (`fan: {{airflow: …}}`).", asks=(ask,))
    yield (
        f"Take a cabinet with {area_m2:.2g} m2 of cooling surface in place of {surface_m2:.2g} m2, "
        "or put what heats most outside."
    )
