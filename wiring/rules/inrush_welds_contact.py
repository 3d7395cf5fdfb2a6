"""A contact closes on more current than it can make.

A contact bounces when it closes. If it bounces on the inrush of capacitors, or on a starting motor, its tips melt and
weld; a welded contactor no longer stops anything. What a contact makes is its own marking, or its rated current times
the multiple of its utilisation category.

A contact in front of drives on a DC rail closes onto their empty capacitors. The full ones on its other side have no
limit of current: what flows is the voltage over the resistance of the wires, and only a marking says what a contact
bears of that. A resistor round the contact fills them first.

Fires on sorting-gate at Q1
    Q1.making=15 A
Quiet
    Q1.making=100 A
Not judged
    Parts whose `inrush` is not given; main switches without `making` where the inrush is more than the lowest category
    makes. Contactors that close on an inrush and have neither `making` nor a category with a rated current; contacts
    that close onto the capacitors of a DC rail without `making`, for categories say nothing of those.
Known limits
    The resistance of the capacitors themselves is left out, which errs on the safe side: some hundredths of an ohm, as
    much as short wires have. Capacitors that take up less than a joule are left alone: their spark melts too little.
"""

from __future__ import annotations

from math import inf

from wiring.design.edits import of_part
from wiring.design.switching.capacitor_inrush import CapacitorInrush
from wiring.design.switching.inrush import Inrush
from wiring.design.switching.making import (
    always_made_a,
    capacitor_energy_j,
    contactor_that_makes,
    making_limit,
    marked_making_a,
    most_closed_onto,
    total_inrush_a,
)
from wiring.findings import Mend, Number
from wiring.parts.switching import Contactor
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import MARKED, Limit
from wiring.rulebooks.steps import rounded_up
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.rules.words import amperes
from wiring.wording import listed

RULE = Rule(
    slug="inrush-welds-contact",
    title="Contact closes on more than it can make",
    signal=Signal.CAUTION,
    harm="The contact welds; a stop that relies on it no longer takes the power away.",
    sources=(("both", Source("IEC 60947-4-1", "2018", "table 7", Standing.FROM_MEMORY)),),
)
#: Below this the spark at a contact melts too little to weld it, however high its peak (own choice, no source) [J].
_HARMLESS_J = 1.0


def requirements(design: Design) -> Requirements:
    """The first contactor of its category that makes what it closes on, where the present one does not."""
    for name, rows in most_closed_onto(design).items():
        data, limit = design.parts[name].data, making_limit(design.parts[name])
        total = total_inrush_a(rows)
        if isinstance(data, Contactor) and limit is not None and total > limit.value:
            first = contactor_that_makes(data.category, total)
            why = f"{amperes(total)} of {listed(sorted({row.part for row in rows}))} at switching on"
            yield Requirement(RULE.slug, name, Quantity.RATING, first[0] if first else inf, why=why)


def check(design: Design) -> Judgements:
    """Every main switch and contactor with what it switches on at once, line by line."""
    unknown: list[str] = []
    undrawn: set[str] = set()
    for name, rows in most_closed_onto(design).items():
        limit = making_limit(design.parts[name])
        undrawn |= {row.part for row in rows if row.amps is None}
        if limit is None and total_inrush_a(rows) > always_made_a(design.parts[name]):
            unknown.append(name)
        if limit is not None and total_inrush_a(rows) > limit.value:
            yield _finding(design, name, rows, limit)
    yield from _onto_capacitors(design)
    yield from RULE.ask(unknown, "the current that they can close on (`making`, or `category` and `rated`)")
    yield from RULE.ask(undrawn, "what they draw for a moment when they are switched on (`inrush: 25 A`)")


def _onto_capacitors(design: Design) -> Judgements:
    unknown = []
    for row in design.transients.capacitor_inrushes:
        making_a = marked_making_a(design.parts[row.contact])
        if making_a is None:
            unknown.append(row.contact)
        elif row.amps > making_a and capacitor_energy_j(design, row) > _HARMLESS_J:
            yield _capacitor_finding(design, row, making_a)
    yield from RULE.ask(unknown, "the current that they can close on onto capacitors (`making`)")


def _capacitor_finding(design: Design, row: CapacitorInrush, making_a: float) -> Judgement:
    return RULE.finding(
        (row.contact, *row.parts),
        f"{row.contact} closes onto the empty capacitors of {listed(row.parts)}: up to {amperes(row.amps)}, and it can "
        f"make {amperes(making_a)}",
        design.place(row.contact, "making"),
        numbers=(
            Number("inrush", row.amps, "A", f"{row.volts:.3g} V of {row.source} over the wires"),
            Number("wires", row.ohm, "ohm", "cold, the capacitors left out"),
        ),
        limit=Limit(making_a, "A", MARKED),
        mend=(
            f"Put the contact of {row.contact} in front of {row.source}, on its mains side.",
            f"Or fill the capacitors through a resistor of {rounded_up(row.volts / making_a, 2):.2g} ohm or more "
            f"before {row.contact} closes.",
        ),
    )


def _finding(design: Design, name: str, rows: list[Inrush], limit: Limit) -> Judgement:
    total = total_inrush_a(rows)
    parts = sorted({row.part for row in rows})
    key = "making" if marked_making_a(design.parts[name]) is not None else "rated"
    return RULE.finding(
        (name, *parts),
        f"{name} closes on {amperes(total)} of {listed(parts)}, and can make {amperes(limit.value)}",
        design.place(name, key),
        numbers=(Number("inrush", total, "A", f"{listed(parts)} at once"),),
        limit=limit,
        mend=(
            _making(design, name, total),
            f"Or put an inrush limiter in front of {listed(parts)}, or switch them one after the other.",
        ),
    )


def _making(design: Design, name: str, total: float) -> Mend:
    """The next contactor of its category that makes so much, or a marking."""
    data = design.parts[name].data
    words = f"Take a contact for {name} that makes {amperes(rounded_up(total))} or more."
    if not isinstance(data, Contactor) or not data.rated or (data.making is None and not data.category):
        return Mend(words)
    first = contactor_that_makes(data.category, total, data.rated)
    if first is None:
        return Mend(words)
    rated_a, makes_a = first
    edits = of_part(name, "rated", f"{rated_a:g} A")
    if data.making is None:
        return Mend(f"Take a contactor of {rated_a:g} A for {name}.", edits)
    marked = of_part(name, "making", f"{makes_a:g} A")
    return Mend(words, marked if rated_a == data.rated else (*marked, *edits))
