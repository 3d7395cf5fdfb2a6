"""A wire or cable is given shorter than its way along the ducts.

Once parts have positions and the enclosure has ducts, the way of each conductor is known: from its terminal to the
duct, along the ducts, over the hinge of the door, to where cables enter. A length that a wire gives itself wins in
drops and in the cut list; where it is shorter than the bare way, the wire does not reach.

Fires on sorting-gate at L2
    Q1.position=100 x 300 mm
    F1.position=220 x 300 mm
    enclosure.ducts={lower: {at: 0 x 200 mm, length: 349 mm, size: 40 x 60 mm}}
    L2.length=0.2 m
Quiet
    L2.length=1 m
Not judged
    Nothing: conductors of which an end has no position are passed over.
Known limits
    The bare way counts, without what is needed at the ends. Terminals within 150 mm may be joined straight over.
    Where on a part a terminal is, is typical of its kind. Of a cable only its way in the cabinet is known.
"""

from __future__ import annotations

from wiring.design.enclosure.laid_cabinet import short_of_way
from wiring.findings import Number
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="conductor-shorter-than-way",
    title="Conductor is shorter than its way",
    signal=Signal.NOTICE,
    harm="The wire is cut too short, pulls across the cabinet in the air, and its drop is computed too small.",
    sources=(("both", trade_practice("wires lie in ducts")),),
)


def check(design: Design) -> Judgements:
    """Every conductor with a length of its own and a way."""
    courses = design.machine.laid.of if design.machine.laid else {}
    for subject, conductor, course in short_of_way(design.machine, courses):
        length_m = conductor.length_m or 0.0
        yield RULE.finding(
            (subject,),
            f"{subject} is {length_m:.3g} m long, and its way along the ducts is {course.way / 1000.0:.3g} m",
            conductor.place,
            numbers=(Number("length", length_m, "m", "as given"),),
            limit=RULE.limit(design, course.way / 1000.0, "m", "the bare way from terminal to terminal"),
            mend=(f"Leave the length of {subject} out: then that of its way is taken, with both ends.",),
        )
