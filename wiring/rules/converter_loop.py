"""Converters feed one another in a ring.

Each of them takes its power from the output of the next, and none from a source. Such a ring may never start, and
nothing can be computed for it.

Fires on sorting-gate at G3
    parts.G2={kind: converter, input: 18..36 V DC, output: 24 V DC, rated: 2 A}
    parts.G3={kind: converter, input: 18..36 V DC, output: 24 V DC, rated: 2 A}
    wires+={wire: 61, from: G2:V+, to: G3:IN+, type: control}
    wires+={wire: 62, from: G2:V-, to: G3:IN-, type: control}
    wires+={wire: 63, from: G3:V+, to: G2:IN+, type: control}
    wires+={wire: 64, from: G3:V-, to: G2:IN-, type: control}
Quiet
    63.from=X1:6
    64.from=X2:5
Not judged
    Nothing of its own.
Known limits
    A ring that a further source feeds as well is told as joined rails.
"""

from __future__ import annotations

from wiring.findings import Cause, Number
from wiring.parts.elements import Input
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="converter-loop",
    title="Converters feed one another",
    signal=Signal.WARNING,
    harm="The rails never come up, or come up at a voltage that nobody chose.",
    sources=(("both", Source("trade practice", "", "every rail comes from a source", Standing.COMMON_PRACTICE)),),
)


def check(design: Design) -> Judgements:
    """Every ring, once, beginning with its first part by name."""
    feeder = _feeders(design)
    told: set[str] = set()
    for start in sorted(feeder):
        ring = _ring(feeder, start)
        if ring and not told & set(ring):
            told |= set(ring)
            yield _finding(design, ring)


def _feeders(design: Design) -> dict[str, str]:
    """For every part with an input the part whose output feeds it."""
    paths = design.short_circuits.paths
    found: dict[str, str] = {}
    for part in design.parts.values():
        for element in part.of(Input):
            reached = paths.hot.get((part.name, element.a))
            if reached is not None:
                found[part.name] = paths.origins[reached.origin].part
    return found


def _ring(feeder: dict[str, str], start: str) -> list[str]:
    """The parts of the ring that a part belongs to, in the order in which power goes round; empty for none."""
    way = [start]
    while way[-1] in feeder and feeder[way[-1]] not in way:
        way.append(feeder[way[-1]])
    return list(reversed(way)) if feeder.get(way[-1]) == start else []


def _finding(design: Design, ring: list[str]) -> Judgement:
    path = " → ".join([*ring, ring[0]])
    return RULE.finding(
        ring,
        f"The converters feed one another and nothing feeds them: {path}",
        design.place(ring[0]),
        because=[Cause(design.place(name), "part of the ring") for name in ring[1:]],
        numbers=(Number("converters", float(len(ring)), "", "in the ring"),),
        mend=(f"Feed {ring[0]} from a supply instead of from {ring[-1]}.",),
    )
