"""The current into a signal input is too little to be read, or so much that it burns the input.

Computed for every step, direction, enable or other input of a drive from what drives it: voltage of the source, less
the light-emitting diode, over the input's own resistance and any series resistor. The window is that of 7 to 16 mA
around a typical 10 mA, taken as shares of the input's own current at its rated voltage. An input of a card is judged
by the voltage that its type needs. An input whose return leads to another source than its driver gets no current.

Fires on sorting-gate at D1
    D1.signals=5 V DC
Quiet
    parts.R1={kind: resistor, resistance: 2 kohm}
    18.to=R1:1
    wires+={wire: 20, from: "R1:2", to: D1:ENA+, type: control}
Not judged
    Drives without `signals`; cards without `input_type`.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.circuit.model import named
from wiring.design.connection.never_closed import meet_at_earth
from wiring.design.connection.signal_ends import (
    InputWindow,
    input_current_a,
    input_window,
    low_inputs,
    series_resistors,
    unreturned_inputs,
)
from wiring.design.connection.signals import Driven, SignalInput, drive_inputs, driven
from wiring.findings import Finding, Mend, Number
from wiring.parts.drives import Drive
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.signals import signal_limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.wording import listed

RULE = Rule(
    slug="input-current-wrong",
    title="Wrong current into a signal input",
    signal=Signal.CAUTION,
    harm="The input burns out, or steps and enables are missed: the axis is not where the program thinks.",
    sources=(("both", Source("Trade practice", "", "window of current of drive inputs", Standing.ONE_SOURCE)),),
)


def check(design: Design) -> Judgements:
    """Drives by their inputs, each cause once; then cards; then what has no return, by its driver."""
    unknown: set[str] = set()
    told: set[tuple[str, float]] = set()
    for item in drive_inputs(design.machine):
        assert isinstance(item.part.data, Drive)
        window = input_window(item.part.data)
        if window is None:
            unknown.add(item.part.name)
            continue
        for feed in driven(design.machine, *item.ends):
            amps, cause = input_current_a(feed, window), (item.part.name, feed.volts)
            if cause not in told and not window.least * (1 - 1e-6) <= amps <= window.most * (1 + 1e-6):
                told.add(cause)
                yield _drive_finding(design, item, feed, window, amps)
    yield from RULE.ask(unknown, "the voltage that its signal inputs are made for (`signals: 5 V DC`)")
    yield from _cards(design)
    yield from (_item(design, item) for item in unreturned_inputs(design))


def _item(design: Design, item: SignalInput) -> Item:
    reached = [one for end in item.ends for one in design.nets.reach(end).sources]
    drivers = sorted({one.pole.node[0] for one in reached})
    name = item.part.name
    rests = scope("part", *drivers) | scope("pair", *(f"{name}|{one}" for one in drivers))
    rests |= scope("reversed", name, *(part for one in reached for part in one.parts))
    holds = scope("part", name) | scope("end", *(named(end) for end in item.ends))
    return Item(tuple(drivers), item, partial(_no_return, design), holds, (rests,))


def _meets_at_earth(design: Design, item: SignalInput) -> bool:
    """Whether what drives an input has its return on the protective earth, as the other end of the input has."""
    for near, far in (item.ends, item.ends[::-1]):
        poles = [one.pole for one in design.nets.reach(near).sources if one.pole.main]
        if poles and meet_at_earth(design, poles, design.nets.reach(far).ohm_to.keys()):
            return True
    return False


def _no_return(design: Design, items: Sequence[SignalInput]) -> Finding:
    plus, minus = items[0].ends
    wires = [c for item in items for end in item.ends for c in design.circuit.conductors_at(end)]
    first = design.circuit.conductors_at(minus) or design.circuit.conductors_at(plus)
    more = [named(item.ends[0]) for item in items[1:]]
    others = f"; the same holds for {listed(more)}" if more else ""
    earthed = all(_meets_at_earth(design, item) for item in items)
    what = "By the protective earth alone a current flows" if earthed else "No current can flow"
    return RULE.finding(
        (*dict.fromkeys(item.part.name for item in items), *dict.fromkeys(wire.id for wire in wires)),
        f"{what} into {named(plus)} and out of {named(minus)}: they lead to no two poles of one source{others}",
        first[-1].place if first else design.place(items[0].part.name),
        mend=(f"Lead {named(minus)} to the return of what drives {named(plus)}, and mind the polarity.",),
    )


def _drive_finding(design: Design, item: SignalInput, feed: Driven, window: InputWindow, amps: float) -> Judgement:
    much = amps > window.most
    source = signal_limit("opto_current_max" if much else "opto_current_min").source
    bound = window.most if much else window.least
    series = max((feed.volts - feed.drop_v - signal_limit("opto_forward_drop").value) / window.usual - window.ohm, 0.0)
    mend = (
        f"Put {round(series, -1):.0f} ohm in series with each such input of {item.part.name}, or drive it from the "
        "voltage that it is made for (mind the switch on the drive, where it has one)."
        if much
        else f"Drive it with the voltage that it is made for, or set {item.part.name} to {feed.volts:.3g} V signals."
    )
    return RULE.finding(
        (item.part.name, feed.source.split(" ")[0]),
        f"{feed.volts:.3g} V from {feed.source} sends {amps * 1000:.3g} mA into {item.part.name}:{item.name}; "
        f"{window.least * 1000:.3g} to {window.most * 1000:.3g} mA are right",
        design.place(item.part.name, "signals"),
        numbers=(
            Number("current", amps, "A", item.name),
            Number("driver", feed.volts, "V", feed.source),
            Number("resistance", window.ohm + feed.ohm, "ohm", "input and series resistor"),
        ),
        limit=Limit(bound, "A", source),
        mend=(Mend(mend, series_resistors(design, item.part.name, window, feed) if much else ()),),
    )


def _cards(design: Design) -> Judgements:
    """Inputs of cards that never read on: too low a voltage, or no return."""
    untyped: set[str] = set()
    for item, best, volts, limit in low_inputs(design, untyped):
        yield _too_low(design, item, best, volts, limit)
    yield from RULE.ask(untyped, "the type of their inputs (`input_type: 3`, IEC 61131-2)")


def _too_low(design: Design, item: SignalInput, feed: Driven, volts: float, limit: Limit) -> Judgement:
    node = (item.part.name, item.name)
    wires = design.circuit.conductors_at(node)
    return RULE.finding(
        (item.part.name, feed.source.split(" ")[0]),
        f"{named(node)} gets {volts:.3g} V from {feed.source} and reads on from {limit.value:.3g} V",
        wires[0].place if wires else design.place(item.part.name),
        numbers=(Number("input", volts, "V", named(node)),),
        limit=limit,
        mend=(f"Feed what switches {named(node)} from 24 V; {feed.ohm:.3g} ohm lie in its way.",),
    )
