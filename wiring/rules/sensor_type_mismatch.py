"""A sensor or switch gives an input the pole that it does not read.

A sinking input reads the plus: it needs a pnp sensor, or a contact to the plus. A sourcing input reads the return: it
needs an npn sensor, or a contact to the return. The other way round no current ever flows, or always.

Fires on sorting-gate at B1
    B1.output=npn NO
Quiet
    B1.output=pnp NO
Not judged
    Inputs whose return the plan does not give (`common`); analog inputs.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.connection.signal_ends import has_sinks, mismatched_inputs, other_kind
from wiring.design.connection.signals import SignalInput
from wiring.design.nets import Reached
from wiring.findings import Cause, Mend, Number
from wiring.parts.signals import IoCard, Sensor
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="sensor-type-mismatch",
    title="Sensor and input do not fit",
    signal=Signal.CAUTION,
    harm="The input never changes: the axis runs past its limit or home, into its end.",
    sources=(("both", Source("IEC 61131-2", "2017", "current sinking and sourcing inputs", Standing.FROM_MEMORY)),),
)


def check(design: Design) -> Judgements:
    """Every such input, and cards whose return is not known."""
    for item, seen in mismatched_inputs(design):
        yield _finding(design, item, (item.part.name, item.name), seen)
    returns = sorted(
        part.name
        for part in design.parts.values()
        if isinstance(part.data, IoCard) and part.data.common is None and has_sinks(design, part.name, part.data)
    )
    yield from RULE.ask(returns, "the terminal to which its inputs return (`common: 0V`)")


def _finding(design: Design, item: SignalInput, node: tuple[str, str], seen: Reached) -> Judgement:
    giver = next((name for name in seen.parts if isinstance(design.parts[name].data, Sensor)), seen.parts[0])
    data = design.parts[giver].data
    what = f"{giver} ({data.output})" if isinstance(data, Sensor) else giver
    pole = "plus" if seen.pole.sign == "+" else "return"
    wires = design.circuit.conductors_at(node)
    better = (
        "an npn sensor, or a contact to the return"
        if item.word == "source"
        else "a pnp sensor, or a contact to the plus"
    )
    words = f"Take {better} for {named(node)}, or an input of the other kind."
    return RULE.finding(
        (giver, item.part.name, *(wire.id for wire in wires)),
        f"{what} gives {named(node)} the {pole} of {seen.pole.source}; a {item.word} input needs {better}",
        wires[0].place if wires else design.place(item.part.name),
        because=[Cause(design.place(giver), "what switches it")],
        numbers=(Number("rail", seen.pole.volts, "V", seen.pole.source),),
        mend=(Mend(words, other_kind(data, giver, item)),),
        holds=scope("end", *(named(end) for end in item.ends)),
        rests=(scope("reversed", item.part.name, *seen.parts),),
    )
