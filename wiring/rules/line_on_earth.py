"""A line is connected to the protective earth, or to a case that should be on it.

A conductor leads from a live pole to an earth terminal: the terminal of an inverter that was taken for its input, a
green-and-yellow core on a line. Where that metal reaches the incoming protective conductor the next device opens, if it
does, and until then everything earthed stands at a part of the voltage; where it does not, the case is live and waits
for a hand.

Fires on sorting-gate at CAB
    L3.to=CAB:1
Quiet
    L3.to=G1:L
Not judged
    A contact that no state of the plan closes.
Known limits
    Poles of extra-low voltage on earth are told with their rail, and the neutral by `neutral-joined-to-earth`.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.earth.lines_on_earth import LineOnEarth, lines_on_earth
from wiring.findings import Cause, Number
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing, iec_60204, nfpa_79

RULE = Rule(
    slug="line-on-earth",
    title="Line on the protective earth or on a case",
    signal=Signal.DANGER,
    harm="Metal that people touch is live as soon as the power comes on, or at the next loose earth.",
    sources=(
        ("iec", iec_60204("6.3.1")),
        ("na", nfpa_79("6.3.1")),
        ("both", Source("IEC 60364-4-41", "2005", "411.3.1", Standing.FROM_MEMORY)),
    ),
)


def check(design: Design) -> Judgements:
    """Every such conductor."""
    for one in lines_on_earth(design.machine, design.operation):
        yield _finding(design, one)


def _finding(design: Design, one: LineOnEarth) -> Judgement:
    name, part = one.conductor.id, one.earth[0]
    case = design.parts[part]
    held = one.earth in design.earthing.reached
    what = (
        f"{one.source} is shorted to earth, and earthed metal is live until a device opens"
        if held
        else f"the metal of {part} ({case.title}) stands at {one.volts:.3g} V"
    )
    return RULE.finding(
        (part, name),
        f"{name} leads a line of {one.source} to the earth terminal {named(one.earth)}: {what}",
        one.conductor.place,
        because=(Cause(design.place(part), "its metal is live"),),
        numbers=(Number("source", one.volts, "V", one.source),),
        mend=(f"Lead {name} to the terminal it was meant for, and keep {named(one.earth)} for the protective earth.",),
        holds=scope("conductor", name) | scope("part", part) | scope("cut", part),
    )
