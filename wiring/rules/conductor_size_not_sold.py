"""A conductor has a size that no standard knows and nobody sells.

Whoever builds the machine takes another one, and what was judged here is not what is built; most often it is a slip of
the pen. Sizes are those of IEC 60228 with the thin ones of electronics, American wire gauges, also in mm2, and those
that the trade sells besides.

Fires on sorting-gate at L1
    line.size=1.55 mm2
Quiet
    line.size=1.5 mm2
Not judged
    Conductors without a size.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.conductor.sizes import size_words
from wiring.design.edits import of_conductors
from wiring.findings import Mend, Number
from wiring.rulebooks.conductors import is_sold
from wiring.rules.rule import Design, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="conductor-size-not-sold",
    title="Size of a conductor that nobody sells",
    signal=Signal.CAUTION,
    harm="Another size is fitted than the one that was judged, and a thinner one may burn.",
    sources=(("both", Source("IEC 60228", "2004", "tables 1 to 4", Standing.ONE_SOURCE)),),
)


def check(design: Design) -> Judgements:
    """Every size once, with all conductors that have it."""
    unknown: dict[str, list[Conductor]] = {}
    for conductor in design.circuit.conductors:
        if conductor.size is not None and conductor.kind != "shield" and not is_sold(conductor.size):
            unknown.setdefault(conductor.size.text, []).append(conductor)
    for text, found in sorted(unknown.items()):
        size = found[0].size
        assert size is not None
        next_one = size_words(design.machine, size.area_mm2)
        names = [conductor.id for conductor in found]
        yield RULE.finding(
            tuple(names),
            f"{listed(names)}: {text} is a size that nobody sells",
            found[0].place,
            numbers=(Number("size", size.area_mm2 * 1e-6, "m2", names[0]),),
            mend=(Mend(f"Take {next_one}, the next size.", of_conductors(design, found, "size", next_one)),),
        )
