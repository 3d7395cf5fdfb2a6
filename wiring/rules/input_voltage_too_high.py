"""A card's input gets more voltage than it bears.

Computed from what drives the input, through contacts and series resistors: 24 V on a 5 V input, 48 V on a 24 V input.
An input bears 25 % more than its rated voltage, as 30 V are the most for one of 24 V. Voltages above extra-low voltage
are told by `process-voltage-on-control`.

Fires on sorting-gate at A1
    A1.input_voltage=5 V DC
Quiet
    A1.input_voltage=24 V DC
Not judged
    Inputs without `input_voltage`; they are judged as if made for the voltage of the card's supply, and asked for.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.connection.signal_ends import most_volts
from wiring.design.connection.signals import Driven, SignalInput, card_inputs, driven
from wiring.findings import Number
from wiring.rulebooks.citation import Limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import agreeing, does

RULE = Rule(
    slug="input-voltage-too-high",
    title="Input gets more voltage than it bears",
    signal=Signal.CAUTION,
    harm="The input, and often the whole card with the computer behind it, dies; a limit is then no longer read.",
    sources=(("both", Source("IEC 61131-2", "2017", "digital inputs for direct current, 24 V", Standing.ONE_SOURCE)),),
)


def check(design: Design) -> Judgements:
    """Every wired input that takes current from outside; one finding for each card and source."""
    found: dict[tuple[str, str], list[tuple[SignalInput, Driven, float, Limit]]] = {}
    unknown: set[str] = set()
    for item in card_inputs(design.machine):
        if item.word == "source":
            continue
        limit = most_volts(item)
        if getattr(item.part.data, "input_voltage", None) is None:
            unknown.add(item.part.name)
        if limit is None:
            continue
        for feed in driven(design.machine, *item.ends):
            volts = (feed.volts - feed.drop_v) * item.ohm / (item.ohm + feed.ohm)
            if limit.value < volts:
                found.setdefault((item.part.name, feed.source), []).append((item, feed, volts, limit))
    for rows in found.values():
        yield _finding(design, rows)
    yield from RULE.ask(unknown, "the voltage that its inputs are made for (`input_voltage: 24 V DC`)")


def _finding(design: Design, rows: list[tuple[SignalInput, Driven, float, Limit]]) -> Judgement:
    item, feed, volts, limit = rows[0]
    ends = [named((row[0].part.name, row[0].name)) for row in rows]
    wires = design.circuit.conductors_at((item.part.name, item.name))
    return RULE.finding(
        (item.part.name, feed.source.split(" ")[0]),
        f"{does(ends, 'gets', 'get')} {volts:.3g} V from {feed.source} and {agreeing(ends, 'bears', 'bear')} "
        f"{limit.value:.3g} V",
        wires[0].place if wires else design.place(item.part.name),
        numbers=(Number("input", volts, "V", named((item.part.name, item.name))),),
        limit=limit,
        mend=(
            f"Feed what switches the input from its own voltage, or take an isolating input for {feed.volts:.3g} V.",
        ),
        rests=(scope("pair", f"{item.part.name}|{feed.source.split(' ')[0]}"),),
    )
