"""A part of the power circuit does not stand the short-circuit current of the supply.

North America asks for the short-circuit current rating of a whole cabinet: that of the weakest part in its power
circuit. A part without a marked `short_circuit_rating` has a default by its kind. The supply must not be able to give
more than that; every part that stands less is named. What fuses and breakers break is told by
`breaking-capacity-too-small`.

Fires on fan-heater at F4
    mains.fault_current=7 kA
Quiet
    mains.fault_current=5 kA
Not judged
    Cabinets whose supply has no prospective fault current in the plan.
Known limits
    Combinations that a maker has tested for more than each part bears are not known to a plan, nor what a fuse that
    limits the current lets through: write what the combination stands as the `short_circuit_rating` of each. Only
    kinds that the table of defaults names count: switches, contactors, drives, overload relays, terminals and fuse
    holders.
"""

from __future__ import annotations

from collections.abc import Mapping

from wiring.design.device.nameplate import rated_components
from wiring.design.fault.records import FAULT_CURRENT
from wiring.findings import Cause, Number
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.overcurrent import short_circuit_ratings
from wiring.rulebooks.steps import BREAKING_A, first_at_least, rounded_up
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, nfpa_79
from wiring.rules.words import amperes
from wiring.wording import agreeing, counted, does, listed, natural

RULE = Rule(
    slug="panel-rating-too-small",
    title="Cabinet does not stand the short-circuit current of its supply",
    signal=Signal.WARNING,
    harm="In a short circuit the weakest part bursts or welds before a device has opened.",
    sources=(("na", nfpa_79("4.9", Standing.ONE_SOURCE)),),
)


def check(design: Design) -> Judgements:
    """Every part that the mains reach and that stands less, the weakest first."""
    components = rated_components(design) if design.plan.rulebook == "na" else {}
    mains = design.plan.mains
    if not components or mains is None:
        return
    if mains.fault_current is None:
        yield RULE.not_judged(tuple(components), FAULT_CURRENT)
        return
    marked = {name: rating for name in components if (rating := design.parts[name].data.short_circuit_rating)}
    known = short_circuit_ratings(components, marked)
    below = {name: one for name, one in known.items() if isinstance(one, Limit) and one.value < mains.fault_current}
    if below:
        yield _finding(design, below, mains.fault_current)


def _finding(design: Design, below: Mapping[str, Limit], fault_a: float) -> Judgement:
    names = sorted(below, key=lambda name: (below[name].value, natural(name)))
    shown = names[:6]
    more = f"{counted(len(names) - 6, 'other part')} {agreeing(names[6:], 'stands', 'stand')}"
    least_a = first_at_least(BREAKING_A, fault_a) or rounded_up(fault_a)
    return RULE.finding(
        names,
        f"The supply gives {amperes(fault_a)} into a short circuit, and {does(shown, 'is', 'are')} sure to stand no "
        f"more than {amperes(below[shown[-1]].value)}{f'; {more} too little as well' if names[6:] else ''}",
        design.place(names[0]),
        because=[Cause(design.place(name), f"is sure to stand {amperes(below[name].value)}") for name in names[1:]],
        numbers=(Number("fault current", fault_a, "A", "of the supply at the inlet"),),
        limit=below[names[0]],
        mend=(
            f"Take parts for {listed(names)} that are marked for {least_a / 1000:.3g} kA or more, alone or with the "
            "device in front of them, and write their `short_circuit_rating`.",
        ),
    )
