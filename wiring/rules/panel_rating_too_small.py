"""A part of the power circuit does not stand the short-circuit current of the supply.

North America asks for the short-circuit current rating of a whole cabinet: that of the weakest part in its power
circuit. A part without a marked `short_circuit_rating` has a default by its kind. The supply must not be able to give
more than that. What fuses and breakers break is told by `breaking-capacity-too-small`.

Fires on fan-heater at K1
    mains.fault_current=7 kA
Quiet
    mains.fault_current=5 kA
Not judged
    Cabinets whose supply has no prospective fault current in the plan.
Known limits
    Combinations that a maker has tested for more than each part bears are not known to a plan, nor what a fuse that
    limits the current lets through: write what the combination stands as the `short_circuit_rating` of each. Only
    kinds that the table of defaults names count: switches, contactors, drives, terminals and fuse holders.
"""

from __future__ import annotations

from wiring.design.fault_records import FAULT_CURRENT
from wiring.design.rated_components import rated_components
from wiring.findings import Number
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.overcurrent import weakest_part
from wiring.rulebooks.steps import BREAKING_A, first_at_least, rounded_up
from wiring.rules.rule import Design, Judgements, Rule, Signal, Standing, nfpa_79

RULE = Rule(
    slug="panel-rating-too-small",
    title="Cabinet does not stand the short-circuit current of its supply",
    signal=Signal.CAUTION,
    harm="In a short circuit the weakest part bursts or welds before a device has opened.",
    sources=(("na", nfpa_79("4.9", Standing.ONE_SOURCE)),),
)


def check(design: Design) -> Judgements:
    """The weakest part that the mains reach."""
    components = rated_components(design) if design.plan.rulebook == "na" else {}
    mains = design.plan.mains
    if not components or mains is None:
        return
    if mains.fault_current is None:
        yield RULE.not_judged(tuple(components), FAULT_CURRENT)
        return
    marked = {name: rating for name in components if (rating := design.parts[name].data.short_circuit_rating)}
    weakest = weakest_part(components, marked)
    if isinstance(weakest, NotTabled) or weakest.value >= mains.fault_current:
        return
    name = weakest.note.rpartition(" ")[2]
    least_a = first_at_least(BREAKING_A, mains.fault_current) or rounded_up(mains.fault_current)
    yield RULE.finding(
        (name,),
        f"The supply gives {mains.fault_current:.4g} A into a short circuit, and {name} is sure to stand "
        f"{weakest.value:.4g} A",
        design.place(name),
        numbers=(Number("fault current", mains.fault_current, "A", "of the supply at the inlet"),),
        limit=weakest,
        mend=(
            f"Take a part for {name} that is marked for {least_a / 1000:.3g} kA or more, alone or with the "
            "device in front of it, and write its `short_circuit_rating`.",
        ),
    )
