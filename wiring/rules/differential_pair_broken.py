"""A differential signal lost one half of its pair.

A differential driver, of an encoder or a card, says its signal on two conductors of opposite sense. One half left open,
tied to 0 V or earth, or crossed with the other, and the receiver reads noise, or counts the wrong way.

Fires on sorting-gate at B9
    parts.B9={kind: encoder, supply: {between: [5V, 0V], voltage: 24 V DC, current: 20 mA}, signals: [A+, A-]}
    wires+={wire: 35, from: X1:8, to: B9:5V, type: control}
    wires+={wire: 36, from: X2:9, to: B9:0V, type: control}
    wires+={wire: 37, from: B9:A+, to: A1:I1, type: control}
Quiet
    wires+={wire: 38, from: B9:A-, to: A1:I2, type: control}
Not judged
    Termination and the length of the line; signals whose two halves are not named alike with + and -.
"""

from __future__ import annotations

from wiring.design.connection.differential_pairs import differential_pairs, pair_problem
from wiring.design.edits import swapped
from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="differential-pair-broken",
    title="Half of a differential pair is missing",
    signal=Signal.CAUTION,
    harm="Counts go wrong or backwards: the axis leaves its place, and a servo can run away.",
    sources=(("both", Source("TIA/EIA-422-B", "1994", "balanced circuits", Standing.FROM_MEMORY)),),
)


def check(design: Design) -> Judgements:
    """Every pair with one half wired at least."""
    for part in design.parts.values():
        for plus, minus in differential_pairs(part):
            problem = pair_problem(design, (part.name, plus), (part.name, minus))
            if problem:
                yield _finding(design, part, plus, minus, problem)


def _finding(design: Design, part: Part, plus: str, minus: str, problem: str) -> Judgement:
    wires = [c for end in (plus, minus) for c in design.circuit.conductors_at((part.name, end))]
    wires.sort(key=lambda conductor: (conductor.place.line, conductor.place.column))
    words = f"Lead both {plus} and {minus} of {part.name}, as a twisted pair, to the same receiver, sense to sense."
    return RULE.finding(
        (part.name, *(wire.id for wire in wires)),
        f"The differential signal {part.name}:{plus}/{minus} is broken: {problem}",
        wires[0].place if wires else design.place(part.name),
        mend=(Mend(words, swapped(design, (part.name, plus), (part.name, minus)) if "crossed" in problem else ()),),
    )
