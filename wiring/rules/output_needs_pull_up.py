"""An open-collector output drives an input that waits for a voltage.

Such an output only ties its terminal to the return; it gives no current. An input that needs the plus, or the plus end
of an opto-coupler, then never sees a voltage. A pull-up resistor to the plus gives it one, or the input is wired
between the plus and the output.

Fires on sorting-gate at A1
    A1.outputs.O3=open-collector
Quiet
    parts.R1={kind: resistor, resistance: 2.2 kohm, purpose: pull-up}
    wires+={wire: 20, from: X1:8, to: "R1:1", type: control}
    wires+={wire: 21, from: "R1:2", to: D1:ENA+, type: control}
Not judged
    Outputs of encoders and drives whose kind the plan does not give.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import named
from wiring.design.rewiring import across, free_parts, new_part
from wiring.design.signals import SignalInput, card_inputs, drive_inputs, driven
from wiring.findings import Mend
from wiring.parts.elements import Switch
from wiring.parts.signals import IoCard
from wiring.plan.edits import Edit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="output-needs-pull-up",
    title="Open-collector output without a pull-up",
    signal=Signal.CAUTION,
    harm="The input floats and picks up noise, or never changes: enables and limits are misread.",
    sources=(("both", trade_practice("open-collector outputs")),),
)
_WORDS = ("npn", "open-collector")

#: The middle of what pull-ups are taken [ohm] (common practice, no source).
_PULL_UP_OHM = 2200.0


def _output(design: Design, item: SignalInput) -> str | None:
    """The open-collector output on the net of the input's plus end, as card and terminal."""
    plus = item.ends[0]
    for edge in design.nets.edges_at.get(design.nets.of[plus], ()):
        data = design.parts[edge.part].data
        if not isinstance(data, IoCard) or not isinstance(edge.element, Switch):
            continue
        word = data.outputs.get(edge.element.actuator.removeprefix("output "), "")
        if word.split(" ", 1)[0] in _WORDS:
            return named((edge.part, edge.element.a))
    return None


def _without_pull_up(design: Design) -> Iterator[tuple[SignalInput, str]]:
    """Every input that nothing can drive, though an open-collector output is wired to it, with that output."""
    for item in (*card_inputs(design.machine), *drive_inputs(design.machine)):
        if item.word != "source" and not driven(design.machine, *item.ends):
            output = _output(design, item)
            if output is not None:
                yield item, output


def check(design: Design) -> Judgements:
    """Every such input."""
    for item, output in _without_pull_up(design):
        node = item.ends[0]
        wires = design.circuit.conductors_at(node)
        yield RULE.finding(
            (output.split(":")[0], item.part.name),
            f"{output} is an open collector and gives {named(node)} no voltage",
            wires[0].place if wires else design.place(item.part.name),
            mend=(
                Mend(
                    f"Put a pull-up of 1 to 4.7 kohm from the plus to {output}, or wire the input between the plus and "
                    f"{output}.",
                    _pulled_up(design, item),
                ),
            ),
            holds=scope("end", *(named(end) for end in item.ends)),
        )


def _pulled_up(design: Design, item: SignalInput) -> tuple[Edit, ...]:
    """A resistor from the plus of the source to which the input returns."""
    minus = {pole.source for pole in design.nets.poles_at.get(design.nets.of[item.ends[1]], ()) if pole.sign == "-"}
    plus = [pole for pole in design.nets.poles if pole.source in minus and pole.sign == "+" and pole.main]
    if not plus:
        return ()
    name = next(free_parts(design, "R"))
    entry = f"kind: resistor, purpose: pull-up, resistance: {_PULL_UP_OHM:g} ohm, power: 1 W"
    like = design.circuit.conductors_at(item.ends[0])
    wired = across(design, ((name, "1"), (name, "2")), (plus[0].node, item.ends[0]), like)
    return (new_part(design, name, entry), *wired) if wired else ()
