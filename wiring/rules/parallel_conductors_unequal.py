"""Conductors in parallel do not share their current equally.

Conductors between the same two terminals carry current in the inverse proportion of their resistances. A shorter or
thicker one takes more than its part and can be overloaded while the device in front of them sees nothing. They count
as equal while no two currents differ by more than 10 % of what each should carry. Where each of them could carry
everything alone the difference does no harm and is a notice.

Fires on hot-wire at 20
    wires+={wire: 23, from: G4:OUT+, to: E1:1, type: work, length: 3 m}
Quiet
    23.length=2 m
Not judged
    Conductors in parallel of which one has no length or no size, unless they are cores of one cable.
Known limits
    Protective conductors in parallel, and conductors that part at terminals on their way.
"""

from __future__ import annotations

from wiring.design.conductor.limits import each_suffices, parallel_current_a, size_and_length
from wiring.design.conductor.parallel import UNEQUAL_ABOVE, Parallel
from wiring.design.conductor.sizes import size_that_carries
from wiring.design.edits import of_conductors, taken_away
from wiring.design.rewiring import lengths_alike
from wiring.findings import Cause, Mend, Number
from wiring.rulebooks.citation import Limit
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, nfpa_70

RULE = Rule(
    slug="parallel-conductors-unequal",
    title="Conductors in parallel share their current unequally",
    signal=Signal.CAUTION,
    harm="The one of least resistance carries more than its part and overheats; no device in front of them sees it.",
    sources=(
        ("iec", Source("IEC 60364-4-43", "2008", "433.4.2", Standing.FROM_MEMORY)),
        ("na", nfpa_70("310.10(G)(2)")),
    ),
)


def check(design: Design) -> Judgements:
    """Every set of conductors between the same two terminals that carry a load."""
    for _, mates in sorted({mates.names: mates for mates in design.machine.parallel.values()}.items()):
        if not all(name in design.conductors for name in mates.names):
            continue
        place = design.circuit.conductor[mates.names[0]].place
        if mates.missing:
            yield RULE.not_judged(mates.names, mates.missing, place)
        elif mates.difference > UNEQUAL_ABOVE * (1 + 1e-9):
            yield _finding(design, mates)


def _finding(design: Design, mates: Parallel) -> Judgement:
    names = sorted(mates.names, key=lambda name: (-mates.shares[name], name))
    wires = [design.circuit.conductor[name] for name in names]
    total, most = parallel_current_a(design, mates), mates.shares[names[0]]
    single = size_that_carries(design.machine, design.conductors[names[0]], total)
    mend = [Mend(f"Make {', '.join(names)} of one size, one length and one kind.", lengths_alike(design, wires))]
    if single:
        gone = taken_away(design, wires[1:])
        edits = (*of_conductors(design, wires[:1], "size", single.text), *gone) if gone else ()
        mend.append(Mend(f"Take one conductor of {single.text} in their place.", edits))
    return RULE.finding(
        names,
        f"{names[0]} takes {most * 100:.0f} % of the current that {len(names)} conductors in parallel share",
        wires[0].place,
        signal=Signal.NOTICE if each_suffices(design, mates) else None,
        because=[Cause(wire.place, f"lies in parallel: {size_and_length(wire)}") for wire in wires[1:]],
        numbers=(
            *(
                Number(f"in {wire.id}", design.conductors[wire.id].current_a, "A", size_and_length(wire))
                for wire in wires
            ),
            Number("difference", mates.difference * 100.0, "%", "of what each should carry"),
        ),
        limit=Limit(UNEQUAL_ABOVE * 100.0, "%", RULE.source(design.plan.rulebook) or RULE.sources[0][1]),
        mend=mend,
    )
