"""A fuse, breaker or switch opens the neutral and leaves the line on.

When the neutral alone opens, everything stops as if it were dead, and every part up to the open neutral stands at line
voltage. A neutral is opened together with its lines, by the same device, or not at all; that another pole of the device
lies in the line of another load helps nobody. Where every device of one pole opens the neutral and none a line, the two
are exchanged ahead of them: that is told once.

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

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import Role
from wiring.design.earth.neutral_pairs import NeutralWays, has_dead_pole, lies_on_role, line_led_through
from wiring.findings import Mend, Number
from wiring.parts.elements import Pole, Switch
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_70
from wiring.wording import listed, natural

RULE = Rule(
    slug="neutral-switched-alone",
    title="Neutral is opened without its line",
    signal=Signal.WARNING,
    harm="What looks dead is live: whoever works on it touches line voltage.",
    sources=(("iec", iec_60204("7.2.3", Standing.ONE_SOURCE)), ("na", nfpa_70("240.22 and 404.2(B)"))),
)


#: From so many devices on, all of them in the neutral, the neutral is no slip of one (own choice).
_SEVERAL = 3


def check(design: Design) -> Judgements:
    """Every part with a pole or contact in the neutral and none in a line, or in that of another load alone."""
    alone: dict[str, Pole | Switch] = {}
    in_line, ways = False, NeutralWays(design)
    for part in design.parts.values():
        opens = [element for element in part.elements if isinstance(element, Pole | Switch)]
        neutral = [
            e
            for e in opens
            if lies_on_role(design, part.name, e, Role.NEUTRAL) and not lies_on_role(design, part.name, e, Role.LIVE)
        ]
        line = [e for e in opens if lies_on_role(design, part.name, e, Role.LIVE)]
        in_line = in_line or bool(line and not neutral)
        if neutral and not line and not has_dead_pole(design, part.name, opens):
            alone[part.name] = neutral[0]
        elif neutral and line and (loads := ways.opened_alone(part.name)):
            yield _of_loads(design, part.name, loads)
    inlet = design.plan.mains.inlet if design.plan.mains else None
    if inlet in design.parts and len(alone) >= _SEVERAL and not in_line:
        yield _exchanged(design, str(inlet), sorted(alone, key=natural))
        return
    for name, element in alone.items():
        yield _finding(design, name, element)


def _finding(design: Design, part: str, element: Pole | Switch) -> Judgement:
    return RULE.finding(
        (part,),
        f"{part} opens the neutral at {part}:{element.name} and no line with it",
        design.place(part),
        numbers=(_stands(design),),
        mend=(
            Mend(f"Move {part} into the line conductor.", line_led_through(design, part)),
            f"Or take a device with a pole for every line as well as the neutral for {part}.",
        ),
    )


def _stands(design: Design) -> Number:
    mains = design.plan.mains
    return Number("mains", mains.voltage.volts if mains else 0.0, "V", "to earth on all that stays connected")


def _of_loads(design: Design, part: str, loads: list[str]) -> Judgement:
    return RULE.finding(
        (part, *loads),
        f"{part} opens the neutral of {listed(loads)} and leaves the line",
        design.place(part),
        numbers=(_stands(design),),
        mend=(f"Lead the line of {listed(loads)} through that pole of {part}, and the neutral past it.",),
    )


def _exchanged(design: Design, inlet: str, parts: list[str]) -> Judgement:
    near = sorted({wire.id for end in design.parts[inlet].terminals for wire in _live_wires(design, (inlet, end))})
    return RULE.finding(
        (inlet, *near, *parts),
        f"Line and neutral of {inlet} are exchanged ahead of {listed(parts)}: all of them open the neutral",
        design.place(inlet),
        mend=(f"Exchange line and neutral where the way from {inlet} first crosses: {listed(near)}, or behind them.",),
        rests=(scope("part", inlet) | scope("conductor", *near),),
    )


def _live_wires(design: Design, end: Node) -> list[Conductor]:
    wires = design.circuit.conductors_at(end)
    return [wire for wire in wires if design.roles.of_conductor(wire) in (Role.LIVE, Role.NEUTRAL)]
