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

from dataclasses import dataclass

from wiring.circuit.model import Conductor
from wiring.design.load_drops import LoadDrop, drop_shares
from wiring.design.nets import Net
from wiring.findings import Number
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
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


@dataclass(frozen=True, slots=True)
class _Lost:
    """A drive that loses too much: its drop, what of it the other drives' currents make [V], and the limit."""

    load: LoadDrop
    others_v: float
    limit: Limit


def check(design: Design) -> Judgements:
    """Every conductor between the DC supply terminals of two drives, told together for each chain."""
    for net, chain in _chains(design).items():
        yield _finding(design, chain, _lost_on(design, net, chain))


def _chains(design: Design) -> dict[Net, list[Conductor]]:
    buses = {
        (part.name, end)
        for part in design.parts.values()
        if isinstance(part.data, Drive)
        for element in part.of(Draw)
        if isinstance(element, Draw) and element.name == "bus" and element.kind == "DC"
        for end in (element.a, element.b)
    }
    chains: dict[Net, list[Conductor]] = {}
    for conductor in design.circuit.conductors if len(buses) > 2 else ():
        if all(end in buses for end in conductor.ends) and conductor.a[0] != conductor.b[0]:
            chains.setdefault(design.nets.of[conductor.a], []).append(conductor)
    return chains


def _lost_on(design: Design, net: Net, chain: list[Conductor]) -> list[_Lost]:
    """The drives that lose too much on a chain; none where one of them would lose too much without the others as well:
    thin or long conductors are the cause then.
    """
    limit = design.book.voltage_drop_limit("machine")
    found: list[_Lost] = []
    for name in sorted({end[0] for conductor in chain for end in conductor.ends}):
        load = design.drops.get(name)
        if load is None or isinstance(limit, NotTabled) or load.percent <= limit.value * (1 + 1e-9):
            continue
        others_v = _others_v(design, net, load)
        if 100.0 * (load.drop_v - others_v) / load.nominal_v > limit.value:
            return []
        found.append(_Lost(load, others_v, limit))
    return found


def _others_v(design: Design, net: Net, load: LoadDrop) -> float:
    """What the currents of other loads lose on a drive's way within a net [V]."""
    current = design.operation.loaded[load.state].path_current(load.kind)
    return sum(
        volts * max(0.0, 1.0 - load.current_a / abs(current[key]))
        for key, volts in drop_shares(design.machine, design.operation, load).items()
        if design.nets.of[design.circuit.conductor[key].a] == net and abs(current.get(key, 0.0)) > 0.0
    )


def _finding(design: Design, chain: list[Conductor], lost: list[_Lost]) -> Judgement:
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
