"""A short circuit heats a conductor beyond what its insulation bears before the device in front of it opens.

In a short circuit no heat leaves the conductor: it bears k²S², with k from its insulation and S its cross-section. What
the device lets pass is the square of the current times its latest time. Both ends count, for a fuse lets more through
at a low current than at a high one: a short circuit where the conductor begins, with cold conductors, and one at its
far end, with hot ones. Currents up to 1.45 times the ampacity, and those that flow for more than 5 s, belong to
overload: there the rating of the device against the ampacity decides (`protection-above-conductor`).

A neutral, or the return of direct current, bears what comes back from all lines whose loads return through it. Where it
begins at a part that the line to them passes, it lies beside that line, and bears what the device ahead of the line
there lets through: a neutral at the inlet is held against the device of the building (IEC 60364-4-43, 431.2).

Fires on hot-wire at L1
    mains.fault_current=3 kA
    mains.upstream={kind: breaker, rating: 10 A, curve: C, energy_class: 1}
Quiet
    mains.upstream.energy_class=3
Not judged
    Conductors without a size, of an insulation whose final temperature is not tabled, or on mains without a prospective
    fault current; breakers whose `energy_class` is left open, where class 3 would do; in North America ask the maker
    what one without a class lets through, and accept the question with the answer.
Known limits
    A neutral that begins at a terminal row without its line bears what comes back through it alone: the devices of the
    lines at its other end, at the input of a breaker that switches it too the one ahead of that breaker. A line of
    another circuit that touches it on its way is not assumed.
    A breaker in its magnetic range is taken to open within half a cycle (common practice), one of energy limiting class
    3 to let no more through than its class allows; its own curve is not known and is lower. Protective conductors are
    judged by their table (`protective-conductor-too-small`).
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.circuit.model import named
from wiring.design.conductor.burnt_conductors import (
    BurntConductor,
    burnt,
    heated_conductors,
    let_through,
    spared_by_class,
    unsized_conductors,
)
from wiring.design.conductor.sizes import size_that_carries, size_words
from wiring.design.device.devices import UPSTREAM
from wiring.design.fault.clearing import energy_source
from wiring.design.fault.origins import is_assumed
from wiring.design.fault.records import FAULT_CURRENT, ConductorFault, Short
from wiring.findings import Cause, Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.overcurrent import LASTING_FACTOR, area_that_withstands
from wiring.rules.causes import behind
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing, nfpa_70
from wiring.rules.words import amperes, joule_integral
from wiring.wording import listed

RULE = Rule(
    slug="conductor-burns-before-device-opens",
    title="Short circuit burns a conductor before its device opens",
    signal=Signal.WARNING,
    harm="The insulation of the conductor melts or burns, and of others beside it.",
    sources=(
        ("iec", Source("IEC 60364-4-43", "2008", "434.5.2", Standing.FROM_MEMORY)),
        ("na", nfpa_70("240.1 and 110.10")),
    ),
)


def check(design: Design) -> Judgements:
    """Every conductor on its strongest and its weakest short circuit, told together for each device."""
    assumed: list[str] = []
    unknown: list[str] = []
    unclassed: dict[str, list[str]] = {}
    for row, wire, k in heated_conductors(design):
        if is_assumed(design, row.highest):
            assumed.append(row.id)
            continue
        if isinstance(k, NotTabled):
            unknown.append(row.id)
            continue
        found = burnt(design, row, wire, k)
        if found is not None and spared_by_class(design, found):
            name = row.id if row.device == UPSTREAM else row.device
            unclassed.setdefault(design.short_circuits.known[row.device].curve, []).append(name)
        elif found is not None:
            rests = behind(row.device, [row.id])
            yield Item(row.device, found, partial(_finding, design, row.device), rests=(rests,))
    yield from RULE.ask(unsized_conductors(design), "their size (`size: 1.5 mm2`)")
    for curve, names in sorted(unclassed.items()):
        also = "" if curve else ", and its `curve`"
        yield from RULE.ask(names, f"the energy limiting class of the breaker (`energy_class: 3`){also}")
    yield from RULE.ask(assumed, FAULT_CURRENT)
    yield from RULE.ask(unknown, "the temperature that their insulation bears in a short circuit")


def requirements(design: Design) -> Requirements:
    """Every conductor on its strongest and its weakest short circuit."""
    for row, _, k in heated_conductors(design):
        if isinstance(k, Limit) and not is_assumed(design, row.highest):
            for short, amps, energy in let_through(design, row):
                yield _required(design, row, k, short, amps, energy)


def _required(design: Design, row: ConductorFault, k: Limit, short: Short, amps: float, energy: float) -> Requirement:
    """The size that bears what is let through, or the smaller one for which the current is an overload."""
    least = area_that_withstands(k.value, energy)
    carrying = size_that_carries(design.machine, design.conductors[row.id], amps / LASTING_FACTOR, below_mm2=least)
    least = carrying.area_mm2 if carrying else least
    why = f"{joule_integral(energy)} at {amperes(amps)} let through by {row.device}"
    return Requirement(RULE.slug, row.id, Quantity.AREA, least, why=why)


def _finding(design: Design, device: str, rows: Sequence[BurntConductor]) -> Finding:
    worst = max(rows, key=lambda row: (row.energy / row.bears.value, row.conductor.id))
    names = [row.conductor.id for row in rows]
    size = worst.conductor.size
    assert size is not None
    asks = [_required(design, row.row, row.k, row.short, row.amps, row.energy) for row in rows]
    needed = size_words(design.machine, max(ask.least for ask in asks))
    opener = "The device in front of the machine" if device == UPSTREAM else device
    known = design.short_circuits.known.get(device)
    because = [Cause(design.place(device), str(known))] if device in design.parts else []
    return RULE.finding(
        (*names, *([device] if device in design.parts else ())),
        f"{opener} lets {joule_integral(worst.energy)} through at {amperes(worst.amps)}, and {size.text} of "
        f"{listed(names)} bears {joule_integral(worst.bears.value)}",
        worst.conductor.place,
        because=because,
        numbers=(
            Number("fault current", worst.amps, "A", f"{named(worst.short.node)} to {named(worst.short.against)}"),
            Number(
                "let through",
                worst.energy,
                "A2s",
                str(known or device),
                energy_source(design.short_circuits.known, worst.short, worst.amps),
            ),
        ),
        limit=worst.bears,
        mend=(
            Mend(f"Make {listed(names)} of {needed} or thicker.", asks=tuple(asks)),
            f"Or take a smaller or faster device than {device}."
            if device != UPSTREAM
            else "Or put a fuse at the inlet.",
        ),
    )
