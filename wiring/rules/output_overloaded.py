"""A transistor output or a sensor is asked for more current than it gives.

Everything that hangs on the output is added up at the voltage that the output switches: coils, lamps, inputs, loads.

Fires on sorting-gate at A1
    A1.output_current=20 mA
Quiet
    A1.output_current=0.5 A
Not judged
    Outputs with more than 20 mA to give whose `output_current`, and supplies of encoders whose `current`, the plan does
    not state.
Known limits
    Loads behind a series resistor or a further contact of the output are not added.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.connection.output_loads import OutputLoad, asked_current, switched_volts, transistor_outputs
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.rulebooks.limits import tabled
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="output-overloaded",
    title="Output is asked for too much current",
    signal=Signal.CAUTION,
    harm="The output shuts down or burns; what it drives drops out in motion, or can no longer be switched off.",
    sources=(("both", Source("IEC 61131-2", "2017", "digital outputs, rated current", Standing.FROM_MEMORY)),),
)
#: What every output gives [A].
_ANY_OUTPUT_A = tabled("common", "any_output").value


def check(design: Design) -> Judgements:
    """Every wired transistor output."""
    silent: set[str] = set()
    over: dict[str, list[OutputLoad]] = {}
    for part in design.parts.values():
        for terminal, pole, rated in transistor_outputs(part):
            if (part.name, terminal) not in design.nets.joined:
                continue
            volts, far = switched_volts(design, part, terminal, pole)
            if volts <= 0.0:
                continue
            amps, names = asked_current(design, part, terminal, volts, far)
            if rated is not None and amps > rated * (1 + 1e-6):
                over.setdefault(part.name, []).append(OutputLoad(terminal, amps, rated, names))
            elif rated is None and amps > _ANY_OUTPUT_A:
                silent.add(part.name)
    for name, rows in over.items():
        yield _finding(design, design.parts[name], rows)
    yield from RULE.ask(silent, "the current that its outputs give (`output_current: 0.5 A`)")


def _finding(design: Design, part: Part, rows: list[OutputLoad]) -> Judgement:
    worst = max(rows, key=lambda row: (row.amps / row.rated, row.terminal))
    wires = design.circuit.conductors_at((part.name, worst.terminal))
    others = [named((part.name, row.terminal)) for row in rows if row is not worst]
    also = f"; so {'are' if len(others) > 1 else 'is'} {listed(others)}" if others else ""
    loads = sorted({name for row in rows for name in row.loads})
    return RULE.finding(
        (part.name, *loads),
        f"{named((part.name, worst.terminal))} is asked for {worst.amps:.3g} A by {', '.join(worst.loads)} and gives "
        f"{worst.rated:.3g} A{also}",
        wires[0].place if wires else design.place(part.name),
        numbers=(Number("asked for", worst.amps, "A", ", ".join(worst.loads)),),
        limit=RULE.limit(design, worst.rated, "A"),
        mend=("Put a relay between the output and its load, or share the loads out among several outputs.",),
        rests=(scope("reversed", part.name),),
    )
