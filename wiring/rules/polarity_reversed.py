"""A part that minds its polarity is wired the wrong way round.

Asked of the network: the positive end of the part lies on the return of a supply and its negative end on the plus of
the same supply. Electronics, capacitors and coils with a diode across them are judged; heaters, lamps and DC motors
work either way. Line and neutral swapped at a part with marked terminals count too, a winding of a stepper motor
that hangs between two phases of its drive, a transistor output of a drive (ALM+, ALM-), a sensor with its output where
one of its supply terminals belongs, and a signal of two wires: a thermocouple the wrong way round reads colder while it
gets hotter, and its controller heats on.

Fires on sorting-gate at M2
    parts.M2={kind: fan, rated: 24 V DC 5 W}
    wires+={wire: 35, from: X1:8, to: "M2:-", type: control}
    wires+={wire: 36, from: X2:9, to: "M2:+", type: control}
Quiet
    35.to=M2:+
    36.to=M2:-
Not judged
    A part that no rail reaches at both ends.
"""

from __future__ import annotations

from wiring.circuit.model import Node, named
from wiring.design.connection.polarity import (
    crossed_signals,
    is_line_swapped,
    misplaced_output,
    phase_at,
    polar_ends,
    reversed_on,
    reversed_outputs,
)
from wiring.design.edits import swapped
from wiring.findings import Mend
from wiring.parts.base import Part
from wiring.parts.elements import Resistance
from wiring.parts.motors import StepperMotor
from wiring.parts.sources import Capacitor
from wiring.plan.edits import Edit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79

RULE = Rule(
    slug="polarity-reversed",
    title="Part is wired the wrong way round",
    signal=Signal.CAUTION,
    gravest=Signal.WARNING,
    harm="Electronics die at power-on, a suppressor diode shorts its coil, a capacitor bursts.",
    sources=(("iec", iec_60204("13.1.1, 17.2")), ("na", nfpa_79("13.1.1"))),
)


def _crossed(design: Design, part: Part) -> Judgement | None:
    """A winding of a stepper motor between two phases of one drive."""
    for element in part.of(Resistance):
        ends = (part.name, element.a), (part.name, element.b)
        first, second = (phase_at(design, end) for end in ends)
        if first and second and first[0] == second[0] and first[1] != second[1]:
            wires = [c for end in ends for c in design.circuit.conductors_at(end)]
            where = " and ".join(named(end) for end in ends)
            return RULE.finding(
                (part.name, first[0], *(wire.id for wire in wires)),
                f"The winding {where} hangs between phases {first[1]} and {second[1]} of {first[0]}",
                wires[0].place if wires else design.place(part.name),
                mend=(
                    Mend(
                        f"Lead both ends of each winding of {part.name} to one phase of {first[0]}: A+ A-, B+ B-.",
                        _uncrossed(design, part, ends, first[1]),
                    ),
                ),
            )
    return None


def _uncrossed(design: Design, part: Part, ends: tuple[Node, Node], phase: str) -> tuple[Edit, ...]:
    """The second end of a winding for that end of another one which hangs on the phase of the first."""
    others = [(part.name, end) for element in part.of(Resistance) for end in (element.a, element.b)]
    right = [end for end in others if end not in ends and (phase_at(design, end) or ("", ""))[1] == phase]
    return swapped(design, ends[1], right[0]) if right else ()


def check(design: Design) -> Judgements:
    """Every part once."""
    for part in design.parts.values():
        swapped = [
            (plus, minus, source)
            for plus, minus in dict.fromkeys(polar_ends(part))
            if (source := reversed_on(design, (part.name, plus), (part.name, minus)))
        ]
        if swapped:
            yield _finding(design, part, *swapped[0])
        elif is_line_swapped(design, part):
            live, back = (part.data.terminals.get(name, name) for name in ("L", "N"))
            yield _finding(design, part, live, back, "the mains")
        elif misplaced := misplaced_output(design, part):
            yield _misplaced(design, part, *misplaced)
        elif isinstance(part.data, StepperMotor) and (crossed := _crossed(design, part)):
            yield crossed
    for part, plus, minus, source in (*crossed_signals(design), *reversed_outputs(design)):
        yield _finding(design, part, plus, minus, source)


def _misplaced(design: Design, part: Part, own: str, output: str, source: str) -> Judgement:
    ends = (part.name, own), (part.name, output)
    wires = [conductor for end in ends for conductor in design.circuit.conductors_at(end)]
    return RULE.finding(
        (part.name, *(wire.id for wire in wires)),
        f"{named(ends[1])}, its output, lies on {source}, and {named(ends[0])}, which wants that, does not: they have "
        "changed places",
        wires[0].place if wires else design.place(part.name),
        mend=(Mend(f"Swap the conductors at {named(ends[0])} and {named(ends[1])}.", swapped(design, *ends)),),
        holds=scope("reversed", part.name),
    )


def _finding(design: Design, part: Part, plus: str, minus: str, source: str) -> Judgement:
    at_plus = design.circuit.conductors_at((part.name, plus))
    at_minus = design.circuit.conductors_at((part.name, minus))
    wires = [conductor.id for conductor in (*at_plus, *at_minus)]
    first = min((*at_plus, *at_minus), key=lambda c: (c.place.line, c.place.column), default=None)
    ends = f"{named((part.name, plus))} and {named((part.name, minus))}"
    bursts = isinstance(part.data, Capacitor)
    return RULE.finding(
        (part.name, *wires),
        f"{ends} lie on {source} the wrong way round",
        first.place if first else design.place(part.name),
        signal=Signal.WARNING if bursts else RULE.signal,
        mend=(Mend(f"Swap the conductors at {ends}.", swapped(design, (part.name, plus), (part.name, minus))),),
        holds=scope("reversed", part.name),
    )
