"""The neutral of a two-wire circuit is thinner than its line conductor.

Where one line and the neutral feed a load, both carry the same current and the same device guards both. The neutral is
therefore as thick as the line, whatever it carries at the moment. The North American book sizes it by its load (NFPA
70, 220.61): `conductor-overloaded` holds it against the current of every state, `protection-above-conductor` against
the devices in front of what returns through it.

Fires on sorting-gate at N2
    N2.size=0.75 mm2
Quiet
    N2.size=1.5 mm2
Not judged
    Conductors without a size.
Known limits
    The neutral of a circuit with several line conductors may be thinner above 16 mm2, and is not judged here; nor is in
    North America that of a feeder against the least that its earth fault needs (NFPA 70, 215.2(A)(2)).
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.conductor.sizes import is_below
from wiring.design.earth.neutral_pairs import neutral_pairs
from wiring.findings import Cause, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

_CLAUSE = Source("IEC 60364-5-52", "2009", "524.2", Standing.FROM_MEMORY)
RULE = Rule(
    slug="neutral-thinner-than-line",
    title="Neutral is thinner than its line conductor",
    signal=Signal.CAUTION,
    harm="In an overload the neutral gets hotter than the line that the device was chosen for.",
    sources=(("iec", _CLAUSE),),
)


def check(design: Design) -> Judgements:
    """Every part that one line and the neutral feed."""
    told: set[str] = set()
    unsized: set[str] = set()
    for name, neutral, line in neutral_pairs(design):
        if line.size is None or neutral.size is None:
            unsized |= {neutral.id, line.id}
        elif neutral.id not in told and is_below(neutral, line.size.area_mm2):
            told.add(neutral.id)
            yield _finding(design, name, neutral, line)
    yield from RULE.ask(unsized, "their sizes (`size: 1.5 mm2`)")


def requirements(design: Design) -> Requirements:
    """Every neutral beside the thinnest line of its part."""
    for _, neutral, line in neutral_pairs(design):
        if line.size is not None:
            yield _required(neutral, line)


def _required(neutral: Conductor, line: Conductor) -> Requirement:
    assert line.size is not None
    why = f"line conductor {line.id} of {line.size.text}"
    return Requirement(RULE.slug, neutral.id, Quantity.AREA, line.size.area_mm2, why=why, reference=line.id)


def _finding(design: Design, name: str, neutral: Conductor, line: Conductor) -> Judgement:
    assert neutral.size is not None
    assert line.size is not None
    return RULE.finding(
        (neutral.id, line.id, name),
        f"Neutral {neutral.id} of {name} is {neutral.size.text}, and its line {line.id} is {line.size.text}",
        neutral.place,
        because=[Cause(line.place, "its line conductor")] if line.place else [],
        numbers=(Number("neutral", neutral.size.area_mm2 * 1e-6, "m2", neutral.id),),
        limit=Limit(line.size.area_mm2, "mm2", _CLAUSE, "as thick as the line"),
        mend=(Mend(f"Make {neutral.id} of {line.size.text}.", asks=(_required(neutral, line),)),),
    )
