"""A fuse, breaker or switch opens the neutral and leaves the line on.

When the neutral alone opens, everything stops as if it were dead, and every part up to the open neutral stands at line
voltage. A neutral is opened together with its lines, by the same device, or not at all.

Fires on sorting-gate at F1
    N2.from=F1:2
    L3.from=Q1:2
    L2={wire: L2, from: Q1:4, to: F1:1, type: neutral}
Quiet
    F1.poles=2
    L2={wire: L2, from: Q1:2, to: F1:1, type: line}
    N2.from=F1:4
    L3.from=F1:2
    wires+={wire: N3, from: Q1:4, to: F1:3, type: neutral}
Not judged
    Nothing of its own.
Known limits
    Two poles of one part count as opening together; a holder of two single fuses is taken for one device.
"""

from __future__ import annotations

from wiring.circuit.model import Node
from wiring.circuit.roles import Role
from wiring.design.earth.neutral_pairs import has_dead_pole, lies_on_role, line_led_through
from wiring.findings import Mend, Number
from wiring.parts.elements import Pole, Switch
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_70

RULE = Rule(
    slug="neutral-switched-alone",
    title="Neutral is opened without its line",
    signal=Signal.WARNING,
    harm="What looks dead is live: whoever works on it touches line voltage.",
    sources=(("iec", iec_60204("7.2.3", Standing.ONE_SOURCE)), ("na", nfpa_70("240.22 and 404.2(B)"))),
)


def check(design: Design) -> Judgements:
    """Every part with a pole or contact in the neutral and none in a line."""
    roles = design.roles.rails

    def holds(node: Node, role: Role) -> bool:
        return node in design.nets.joined and any(rail.role is role for rail in roles.get(node, ()))

    for part in design.parts.values():
        opens = [element for element in part.elements if isinstance(element, Pole | Switch)]
        neutral = [
            e
            for e in opens
            if lies_on_role(part.name, e, Role.NEUTRAL, holds) and not lies_on_role(part.name, e, Role.LIVE, holds)
        ]
        line = [e for e in opens if lies_on_role(part.name, e, Role.LIVE, holds)]
        if neutral and not line and not has_dead_pole(design, part.name, opens):
            yield _finding(design, part.name, neutral[0])


def _finding(design: Design, part: str, element: Pole | Switch) -> Judgement:
    mains = design.plan.mains
    volts = mains.voltage.volts if mains else 0.0
    return RULE.finding(
        (part,),
        f"{part} opens the neutral at {part}:{element.name} and no line with it",
        design.place(part),
        numbers=(Number("mains", volts, "V", "to earth on all that stays connected"),),
        mend=(
            Mend(f"Move {part} into the line conductor.", line_led_through(design, part)),
            f"Or take a device with a pole for every line as well as the neutral for {part}.",
        ),
    )
