"""The supply of one drive leads on from the terminals of another.

The currents of all drives behind flow through the first one's conductors and terminals: the last drive sees the sum
of their voltage drops, and each one's switching reaches the others. A star from the supply, or from a row of
terminals, keeps them apart.

Fires
    parts:
      G1: {kind: supply, input: 230 V AC, output: 48 V DC, rated: 10 A}
      D1: {kind: stepper-drive, supply: 24..60 V DC, phase_current: 3 A peak}
      D2: {kind: stepper-drive, supply: 24..60 V DC, phase_current: 3 A peak}
      X3: {kind: terminals, points: 3, bridged: [1-3]}
    wires:
      - {wire: 1, through: [G1:V+, D1:V+, D2:V+]}
      - {wire: 2, from: G1:V-, to: X3:1}
      - {wire: 3, from: X3:2, to: D1:V-}
      - {wire: 4, from: X3:3, to: D2:V-}
Quiet
    parts:
      G1: {kind: supply, input: 230 V AC, output: 48 V DC, rated: 10 A}
      D1: {kind: stepper-drive, supply: 24..60 V DC, phase_current: 3 A peak}
      D2: {kind: stepper-drive, supply: 24..60 V DC, phase_current: 3 A peak}
      X3: {kind: terminals, points: 6, bridged: [1-3, 4-6]}
    wires:
      - {wire: 1, from: G1:V+, to: X3:4}
      - {wire: 5, from: X3:5, to: D1:V+}
      - {wire: 6, from: X3:6, to: D2:V+}
      - {wire: 2, from: G1:V-, to: X3:1}
      - {wire: 3, from: X3:2, to: D1:V-}
      - {wire: 4, from: X3:3, to: D2:V-}
Not judged
    Busbars between drives that their maker supplies: leave them out, or accept the finding.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor
from wiring.design.design import Design
from wiring.findings import Number, Signal
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.rulebooks.citation import Source, Standing
from wiring.rules.rule import Judgement, Rule

RULE = Rule(
    slug="drives-daisy-chained",
    title="Drives fed one from the other",
    signal=Signal.NOTICE,
    harm="The last drive sags when the others accelerate, and their switching shifts its signals: lost steps.",
    sources=(("both", Source("Trade practice", "", "drive makers' manuals", Standing.COMMON_PRACTICE)),),
)


def check(design: Design) -> Iterator[Judgement]:
    """Every conductor between the DC supply terminals of two drives, told together for each chain."""
    buses = {
        (part.name, end)
        for part in design.parts.values()
        if isinstance(part.data, Drive)
        for element in part.of(Draw)
        if isinstance(element, Draw) and element.name == "bus" and element.kind == "DC"
        for end in (element.a, element.b)
    }
    chains: dict[tuple[str, str], list[Conductor]] = {}
    for conductor in design.circuit.conductors:
        if all(end in buses for end in conductor.ends) and conductor.a[0] != conductor.b[0]:
            chains.setdefault(design.nets.of[conductor.a], []).append(conductor)
    for chain in chains.values():
        drop = sum(design.conductors[c.id].drop_v for c in chain if c.id in design.conductors)
        drives = sorted({end[0] for conductor in chain for end in conductor.ends})
        yield RULE.finding(
            (*(conductor.id for conductor in chain), *drives),
            f"{', '.join(drives)} are fed one from the other; along the chain {drop * 1000:.3g} mV are lost",
            chain[0].place,
            numbers=(Number("drop along the chain", drop, "V", ", ".join(conductor.id for conductor in chain)),),
            mend=("Lead a conductor of its own to each drive, from the supply or from a bridged row of terminals.",),
        )
