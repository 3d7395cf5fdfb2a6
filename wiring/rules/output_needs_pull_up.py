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

from wiring.circuit.model import named
from wiring.design.connection.signal_ends import inputs_without_pull_up, pulled_up
from wiring.findings import Mend
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgements, Rule, Signal, trade_practice

RULE = Rule(
    slug="output-needs-pull-up",
    title="Open-collector output without a pull-up",
    signal=Signal.CAUTION,
    harm="The input floats and picks up noise, or never changes: enables and limits are misread.",
    sources=(("both", trade_practice("open-collector outputs")),),
)


def check(design: Design) -> Judgements:
    """Every such input."""
    for item, output in inputs_without_pull_up(design):
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
                    pulled_up(design, item),
                ),
            ),
            holds=scope("end", *(named(end) for end in item.ends)),
        )
