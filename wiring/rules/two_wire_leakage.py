"""A sensor and its input do not agree: it leaks enough to be read as on, or drops too much to be read at all.

Open, a two-wire sensor still draws its own current through the input. That must stay below the current at which the
input counts as off; a bleeder across the input takes part of it. Closed, it keeps a voltage for itself that the input
misses, and sensors in series keep one each. Sensors with three wires leak and drop little; one whose plan gives its
`leakage` and `drop` is judged in the same way.

Fires on sorting-gate at B1
    A1.input_type=1
    B1={kind: sensor, supply: 10..30 V DC, output: two-wire NC, leakage: 1 mA, drop: 4 V}
    C1.join={1: [X1:5, B1:1], 2: [B1:4, A1:I1]}
Quiet
    A1.input_type=2
Not judged
    Two-wire sensors without `leakage` or `drop`, cards without `input_type`.
"""

from __future__ import annotations

from wiring.circuit.model import named
from wiring.design.connection.signal_ends import bleeder_ohm, leaking_sensors
from wiring.design.connection.signals import Driven, SignalInput, card_inputs, driven
from wiring.design.rewiring import across, free_parts, new_part
from wiring.findings import Mend, Number
from wiring.parts.signals import IoCard, Sensor
from wiring.plan.edits import Edit
from wiring.quantities import show
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.signals import DigitalInput, digital_input
from wiring.rulebooks.steps import resistor
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import does

RULE = Rule(
    slug="two-wire-leakage",
    title="Sensor leaks or drops more than its input bears",
    signal=Signal.CAUTION,
    harm="The input stays on or never comes on: a limit is not seen, and the axis runs into its end.",
    sources=(("both", Source("IEC 61131-2", "2017", "digital inputs, off current", Standing.FROM_MEMORY)),),
)


def check(design: Design) -> Judgements:
    """Every input that a sensor feeds."""
    for item in card_inputs(design.machine):
        for feed in driven(design.machine, *item.ends):
            sensors = leaking_sensors(design, feed)
            if sensors:
                yield from _judge(design, item, feed, sensors)


def _judge(design: Design, item: SignalInput, feed: Driven, sensors: list[tuple[str, Sensor]]) -> Judgements:
    assert isinstance(item.part.data, IoCard)
    levels = digital_input(item.part.data.input_type or "")
    names = [name for name, _ in sensors]
    if isinstance(levels, NotTabled):
        yield RULE.not_judged((item.part.name, *names), "the type of its inputs (`input_type: 2`, IEC 61131-2)")
        return
    dropped = [data.drop for _, data in sensors if data.drop is not None]
    leaks = [data.leakage for _, data in sensors if data.leakage is not None]
    if len(dropped) < len(sensors) or len(leaks) < len(sensors):
        yield RULE.not_judged(names, "what they leak and drop (`leakage: 0.8 mA`, `drop: 5 V`)")
        return
    yield from _off(design, item, names, min(leaks), levels)
    on_v = feed.volts - sum(dropped)
    if on_v < levels.on_v.value:
        yield _finding(
            design,
            item,
            names,
            f"{does(names, 'leaves', 'leave')} {on_v:.3g} V for {named((item.part.name, item.name))}, which "
            f"reads on from {levels.on_v.value:.3g} V",
            Number("left for the input", on_v, "V", f"{feed.volts:.3g} V less the drop"),
            levels.on_v,
            "Take a sensor with three wires, or wire fewer of them in series.",
        )


def _off(design: Design, item: SignalInput, names: list[str], leak_a: float, levels: DigitalInput) -> Judgements:
    bleeder = bleeder_ohm(design, item)
    into = leak_a if bleeder is None else leak_a * bleeder / (bleeder + item.ohm)
    limit = Limit(levels.off_ma.value / 1000.0, "A", levels.off_ma.source)
    if into <= limit.value * (1 + 1e-6):
        return
    ohm = limit.value * item.ohm / (leak_a - limit.value)
    yield _finding(
        design,
        item,
        names,
        f"{does(names, 'leaks', 'leak')} {into * 1000:.3g} mA into {named((item.part.name, item.name))}, an input "
        f"of type {levels.name} that counts as off up to {limit.value * 1000:.3g} mA",
        Number("into the input", into, "A", "sensor open"),
        limit,
        "Take an input of type 2, a sensor with three wires, or a bleeder of "
        f"{show(resistor(ohm), 'resistance')} or less across the input.",
        _bled(design, item, ohm) if bleeder is None else (),
    )


def _bled(design: Design, item: SignalInput, ohm: float) -> tuple[Edit, ...]:
    """A resistor across the input."""
    name = next(free_parts(design, "R"))
    entry = f"kind: resistor, purpose: bleeder, resistance: {resistor(ohm):g} ohm, power: 1 W"
    wired = across(design, ((name, "1"), (name, "2")), item.ends, design.circuit.conductors_at(item.ends[0]))
    return (new_part(design, name, entry), *wired) if wired else ()


def _finding(
    design: Design,
    item: SignalInput,
    names: list[str],
    summary: str,
    number: Number,
    limit: Limit,
    mend: str,
    edits: tuple[Edit, ...] = (),
) -> Judgement:
    wires = design.circuit.conductors_at((item.part.name, item.name))
    return RULE.finding(
        (*names, item.part.name),
        summary,
        wires[0].place if wires else design.place(item.part.name),
        numbers=(number,),
        limit=limit,
        mend=(Mend(mend, edits),),
    )
