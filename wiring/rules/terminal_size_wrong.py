"""A conductor is too thick or too thin for the terminal it ends at.

A clamp holds what it was made for. Every end of every conductor is compared with the range of sizes (`sizes`) that the
terminal takes.

Fires on sorting-gate at 10
    X1.sizes=0.2..0.75 mm2
Quiet
    X1.sizes=0.2..2.5 mm2
Not judged
    Parts without `sizes`, and conductors without `size`.
Known limits
    A ferrule adds to the size of a conductor; the range is taken as that of bare strands.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor, named
from wiring.design.conductor.clamps import clamps_of, fits_clamp
from wiring.design.conductor.sizes import range_words, size_words
from wiring.findings import Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="terminal-size-wrong",
    title="Conductor does not fit its terminal",
    signal=Signal.CAUTION,
    harm="Strands are cut away to make it fit, or the clamp does not hold: a hot, loose joint.",
    sources=(("iec", iec_60204("13.1.1")), ("na", nfpa_79("13.1.1"))),
)


def check(design: Design) -> Judgements:
    """Both ends of every conductor; parts without a range are told together."""
    unknown: set[str] = set()
    unsized: list[str] = []
    for conductor in design.circuit.conductors:
        if conductor.kind == "shield":
            continue
        if conductor.size is None:
            unsized.append(conductor.id)
            continue
        wrong = []
        for node, limits in clamps_of(design, conductor):
            if limits is None:
                unknown.add(node[0])
            elif not fits_clamp(conductor.size.area_mm2, limits):
                wrong.append((node, limits))
        if wrong:
            yield _finding(design, conductor, wrong)
    yield from RULE.ask(unsized, "their size (`size: 1.5 mm2`)")
    yield from RULE.ask(unknown, "the sizes that their terminals take (`sizes: 0.2..2.5 mm2`)")


def requirements(design: Design) -> Requirements:
    """Both ends of every conductor, or the terminals there."""
    for conductor in design.circuit.conductors:
        if conductor.kind != "shield" and conductor.size is not None:
            yield from _required(design, conductor)


def _required(design: Design, conductor: Conductor) -> Requirements:
    assert conductor.size is not None
    area = conductor.size.area_mm2
    for node, limits in clamps_of(design, conductor):
        if limits is not None:
            why = f"{conductor.id} of {conductor.size.text}"
            clamp = Requirement(RULE.slug, node[0], Quantity.CLAMP, area, area, why=why)
            fits = f"{named(node)} takes {' to '.join(range_words(design.machine, *limits))}"
            yield Requirement(RULE.slug, conductor.id, Quantity.AREA, *limits, why=fits, instead=(clamp,))


def _finding(
    design: Design, conductor: Conductor, wrong: list[tuple[tuple[str, str], tuple[float, float]]]
) -> Judgement:
    assert conductor.size is not None
    low, high = wrong[0][1]
    thick = conductor.size.area_mm2 > high
    too_thick = any(conductor.size.area_mm2 > limits[1] for _, limits in wrong)
    step = range_words(design.machine, low, high)[1] if thick else size_words(design.machine, low)
    told = " and ".join(f"{named(n)} ({' to '.join(range_words(design.machine, *limits))})" for n, limits in wrong)
    return RULE.finding(
        (conductor.id, *dict.fromkeys(n[0] for n, _ in wrong)),
        f"Conductor {conductor.id} of {conductor.size.text} does not fit {told}",
        conductor.place,
        numbers=(Number("fitted", conductor.size.area_mm2 * 1e-6, "m2", conductor.id),),
        limit=RULE.limit(design, high if thick else low, "mm2"),
        mend=(
            Mend(f"Make {conductor.id}, or the terminals at its end, fit.", asks=tuple(_required(design, conductor))),
            f"Bring {conductor.id} to a row of terminals for {conductor.size.text} and go on with "
            f"{step}, protected for that size.",
        ),
        rests=() if too_thick else (scope("conductor", conductor.id),),
    )
