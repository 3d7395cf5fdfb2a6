"""Nothing limits the voltage that a DC coil throws when it is switched off, or a diode lies across an AC coil.

Contactor, relay, valve and brake coils store energy. Without a suppressor it leaves as a spark of hundreds of volts
that kills the output transistor or burns the contact. A suppressor in the part (`suppressor: diode`), or one wired
across its coil, counts. Across an AC coil a diode shorts every other half wave: the coil never pulls in, and the diode,
its fuse or the contact ahead burns; a varistor or an RC element is right there.

Fires on sorting-gate at K1
    K1.suppressor=none
Quiet
    parts.R1={kind: suppressor, type: diode}
    wires+={wire: 35, from: K1:A1, to: "R1:1", type: control}
    wires+={wire: 36, from: K1:A2, to: "R1:2", type: control}
Not judged
    Coils whose plan does not say whether they have a suppressor; AC coils without any.
"""

from __future__ import annotations

from wiring.design.edits import of_part
from wiring.design.switching.suppressors import dc_coils, rectified_coils
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Switch
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="coil-without-suppressor",
    title="Coil without a suppressor",
    signal=Signal.CAUTION,
    harm="Outputs die, contacts burn or weld, and the spark reaches signals: lost steps and phantom limits.",
    sources=(("both", trade_practice("suppression of coils")),),
)


def _switch(design: Design, part: Part, coil: Coil) -> str:
    """What switches the coil, in words."""
    for end in (coil.a, coil.b):
        for edge in design.nets.edges_at.get(design.nets.of[part.name, end], ()):
            if isinstance(edge.element, Switch) and edge.element.actuator.startswith("output"):
                return f"the output of {edge.part}"
            if isinstance(edge.element, Switch):
                return f"a contact of {edge.part}"
    return "whatever switches it"


def _suppressed(part: Part, coil: Coil) -> Mend:
    words = (
        f"Put a diode with a zener, or a varistor, across {part.name}:{coil.a} and {part.name}:{coil.b}; "
        "a plain diode where a slow release does no harm."
    )
    return Mend(words, of_part(part.name, "suppressor", "zener"))


def check(design: Design) -> Judgements:
    """Every wired DC coil."""
    unknown = []
    for part, coil, word in dc_coils(design.machine):
        if word is None:
            unknown.append(part.name)
        elif word == "none":
            volts = coil.pick_up_v / 0.85
            yield RULE.finding(
                (part.name,),
                f"The coil of {part.name} has no suppressor; {_switch(design, part, coil)} takes its spark",
                design.place(part.name, "suppressor"),
                numbers=(
                    Number("coil", volts, "V", part.name),
                    Number("stored by", volts / coil.ohm, "A", "coil current"),
                ),
                mend=(_suppressed(part, coil),),
            )
    for part, coil in rectified_coils(design.machine):
        yield RULE.finding(
            (part.name,),
            f"A diode lies across the AC coil of {part.name} and shorts every other half wave",
            design.place(part.name, "suppressor"),
            mend=(
                Mend(
                    f"Put a varistor or an RC element across {part.name}:{coil.a} and {part.name}:{coil.b} instead.",
                    of_part(part.name, "suppressor", "varistor") if getattr(part.data, "suppressor", None) else (),
                ),
            ),
        )
    yield from RULE.ask(unknown, "whether their coils have a suppressor (`suppressor: none` or its type)")
