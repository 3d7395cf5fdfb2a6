"""Two routes that the plan keeps apart lie in one duct of the cabinet.

A route says with `apart` how far it lies from another. Once parts have positions, the ducts on the plate that each
conductor passes through are known: where conductors of both routes share a duct over more than a metre, the distance
cannot hold. Shorter runs side by side need none, as for `cables-too-close`.

Fires on sorting-gate at loud
    routes.loud={kind: duct}
    routes.quiet={kind: duct, apart: {loud: 200 mm}}
    L2.route=loud
    15.route=quiet
    enclosure.size=1.6 x 0.5 x 0.2 m
    enclosure.ducts={lower: {at: 0 x 200 mm, length: 1500 mm, size: 40 x 60 mm}}
    Q1.position=20 x 300 mm
    F1.position=1400 x 300 mm
    G1.position=100 x 300 mm
    F3.position=1350 x 300 mm
Quiet
    F3.position=200 x 300 mm
Not judged
    Conductors of which an end has no position.
Known limits
    Dividers of metal in a duct are not known. Crossings of ducts do not count.
"""

from __future__ import annotations

from wiring.cabinet.lengths import Course
from wiring.findings import Number
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.signals import signal_limit
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="routes-not-kept-apart",
    title="Routes that are to be apart share a duct",
    signal=Signal.NOTICE,
    harm="Signals pick up what the other conductors carry, although the plan counts on a distance between them.",
    sources=(("both", trade_practice("distance between power and signals")),),
)


def check(design: Design) -> Judgements:
    """Every two routes of the cabinet with a distance between them."""
    short = signal_limit("short_parallel_run_max")
    courses: dict[str, list[Course]] = {}
    for name, course in design.machine.laid.of.items() if design.machine.laid else ():
        courses.setdefault(design.circuit.conductor[name].route or "", []).append(course)
    for name, route in design.plan.routes.items():
        for other, distance in sorted(route.apart.items()):
            common, duct = _common(courses.get(name, []), courses.get(other, []))
            if distance > 0.0 and common > 1000.0 * short.value:
                yield RULE.finding(
                    (other, name),
                    f"{name} is to lie {1000 * distance:g} mm from {other}, and both lie in {duct} for "
                    f"{common / 1000.0:.2g} m",
                    design.reading.place("routes", name, "apart", other),
                    numbers=(Number("together", common / 1000.0, "m", duct),),
                    limit=Limit(short.value, "m", short.source, "runs up to this need no distance"),
                    mend=(f"Move the parts so that {name} and {other} take other ducts, or screen one of them.",),
                )


def _common(first: list[Course], second: list[Course]) -> tuple[float, str]:
    """The longest run of two conductors beside each other in one duct [mm], and that duct."""
    found = [
        (min(a.end, b.end) - max(a.start, b.start), a.duct)
        for one in first
        for two in second
        for a in one.pieces
        for b in two.pieces
        if a.duct == b.duct
    ]
    return max(found, default=(0.0, ""))
