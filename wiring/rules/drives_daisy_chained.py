"""The supply of one drive leads on from the terminals of another.

The currents of all drives behind flow through the first one's conductors and terminals: the last drive sees the sum
of their voltage drops, and each one's switching reaches the others. A star from the supply, or from a row of
terminals, keeps them apart. It is a NOTICE as long as the drives keep their voltage. Where a drive loses more than the
limit of the rulebook, and would stay within it on the same conductors if they carried its own current alone, the chain
is the cause and the finding a CAUTION.

Fires on screw-axis at 8
    8.from=D1:V+
Quiet
    8.from=F4:2
Not judged
    Busbars between drives that their maker supplies: leave them out, or accept the finding.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor
from wiring.design.motor.drive_feeds import LostInChain, drive_chains, lost_on_chain
from wiring.findings import Number
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="drives-daisy-chained",
    title="Drives fed one from the other",
    signal=Signal.NOTICE,
    gravest=Signal.CAUTION,
    harm="The last drive sags when the others accelerate, and their switching shifts its signals: lost steps.",
    sources=(("both", trade_practice("drive makers' manuals")),),
)


def check(design: Design) -> Judgements:
    """Every conductor between the DC supply terminals of two drives, told together for each chain."""
    for net, chain in drive_chains(design).items():
        yield _finding(design, chain, lost_on_chain(design, net, chain))


def _finding(design: Design, chain: list[Conductor], lost: list[LostInChain]) -> Judgement:
    drop = sum(design.conductors[c.id].drop_v for c in chain if c.id in design.conductors)
    drives = sorted({end[0] for conductor in chain for end in conductor.ends})
    worst = max(lost, key=lambda row: (row.load.percent, row.load.part), default=None)
    effect = f"; {worst.load.part} loses {worst.load.percent:.2g} % of its voltage" if worst else ""
    numbers = [Number("drop along the chain", drop, "V", ", ".join(conductor.id for conductor in chain))]
    if worst:
        numbers.append(
            Number("by the others", worst.others_v, "V", f"of {worst.load.drop_v:.3g} V to {worst.load.part}")
        )
    return RULE.finding(
        (*(conductor.id for conductor in chain), *drives),
        f"{', '.join(drives)} are fed one from the other; along the chain {drop * 1000:.3g} mV are lost{effect}",
        chain[0].place,
        signal=Signal.CAUTION if worst else RULE.signal,
        numbers=numbers,
        limit=worst.limit if worst else None,
        mend=("Lead a conductor of its own to each drive, from the supply or from a bridged row of terminals.",),
        holds=scope("lost", *(row.load.part for row in lost)),
    )
