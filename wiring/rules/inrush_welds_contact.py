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
from wiring.design.switching.contact_ratings import (
    MARKED,
    always_made_a,
    capacitor_energy_j,
    closed_onto,
    making_limit,
    total_inrush_a,
)
from wiring.design.switching.inrush import Inrush
from wiring.findings import Mend, Number
from wiring.parts.protection import Disconnector
from wiring.parts.switching import Contactor
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.contacts import making_capacity
from wiring.rulebooks.steps import CONTACTOR_A, rounded_up
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


def _worst(design: Design) -> dict[str, list[Inrush]]:
    """What every main switch and contactor switches on at once, on the line on which that is most."""
    lines: dict[tuple[str, int], list[Inrush]] = {}
    for inrush in design.inrushes:
        for name in inrush.contacts:
            if inrush.moment in ("", name) or isinstance(design.parts[name].data, Contactor):
                lines.setdefault((name, inrush.line), []).append(inrush)
    worst: dict[str, list[Inrush]] = {}
    for (name, _), rows in sorted(lines.items()):
        rows = closed_onto(design, name, rows)
        if name not in worst or total_inrush_a(rows) > total_inrush_a(worst[name]):
            worst[name] = rows
    return worst


def requirements(design: Design) -> Requirements:
    """The first contactor of its category that makes what it closes on, where the present one does not."""
    for name, rows in _worst(design).items():
        data, limit = design.parts[name].data, making_limit(design.parts[name])
        total = total_inrush_a(rows)
        if isinstance(data, Contactor) and limit is not None and total > limit.value:
            why = f"{amperes(total)} of {listed(sorted({row.part for row in rows}))} at switching on"
            yield Requirement(RULE.slug, name, Quantity.RATING, _least(data, total), why=why)


def _least(data: Contactor, total_a: float) -> float:
    """Rating of the first contactor of its category that makes so much [A]; infinite where none does."""
    for step in CONTACTOR_A:
        found = making_capacity(step, data.category or "AC-3")
        if isinstance(found, Limit) and found.value >= total_a:
            return step
    return inf


def check(design: Design) -> Judgements:
    """Every main switch and contactor with what it switches on at once, line by line."""
    worst = _worst(design)
    unknown: list[str] = []
    undrawn: set[str] = set()
    for name, rows in worst.items():
        limit = making_limit(design.parts[name])
        undrawn |= {row.part for row in rows if row.amps is None}
        if limit is None:
            if total_inrush_a(rows) > always_made_a(design.parts[name]):
                unknown.append(name)
        elif total_inrush_a(rows) > limit.value:
            yield _finding(design, name, rows, limit)
    yield from _onto_capacitors(design)
    yield from RULE.ask(unknown, "the current that they can close on (`making`, or `category` and `rated`)")
    yield from RULE.ask(undrawn, "what they draw for a moment when they are switched on (`inrush: 25 A`)")


def _onto_capacitors(design: Design) -> Judgements:
    unknown = []
    for row in design.transients.capacitor_inrushes:
        data = design.parts[row.contact].data
        making_a = data.making if isinstance(data, Disconnector | Contactor) else None
        if making_a is None:
            unknown.append(row.contact)
        elif row.amps > making_a and capacitor_energy_j(design, row) > _HARMLESS_J:
            yield _capacitor_finding(design, row, making_a)
    if unknown:
        yield RULE.not_judged(tuple(unknown), "the current that they can close on onto capacitors (`making`)")


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
    key = "making" if getattr(design.parts[name].data, "making", None) is not None else "rated"
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
    words = f"Take a contact for {name} that makes {amperes(rounded_up(total))} or more."
    data = design.parts[name].data
    if isinstance(data, Contactor) and data.making is None and data.category and data.rated:
        for step in CONTACTOR_A:
            found = making_capacity(step, data.category)
            if isinstance(found, Limit) and found.value >= total and step >= data.rated:
                text = f"{step:g} A"
                return Mend(f"Take a contactor of {text} for {name}.", of_part(name, "rated", text))
    if isinstance(data, Contactor) and data.making is not None and data.rated:
        for step in (one for one in CONTACTOR_A if one >= data.rated):
            found = making_capacity(step, data.category or "AC-3")
            if isinstance(found, Limit) and found.value >= total:
                edits = of_part(name, "making", f"{found.value:g} A")
                return Mend(words, edits if step == data.rated else (*edits, *of_part(name, "rated", f"{step:g} A")))
    return Mend(words)
