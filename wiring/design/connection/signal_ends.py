"""Signal terminals and inputs: what they are made for, what drives, misses or leaks into them."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Node, named
from wiring.design.connection.signals import Driven, SignalInput, card_inputs, drive_inputs, driven, may_drive
from wiring.design.design import Design
from wiring.design.edits import of_part
from wiring.design.nets import Reached
from wiring.design.rewiring import across, free_parts, free_wires, in_series, new_part
from wiring.parts.base import Part, PartModel
from wiring.parts.drives import Drive
from wiring.parts.elements import Function, Resistance, Switch
from wiring.parts.signals import Encoder, IoCard, Isolator, Sensor
from wiring.parts.switching import SafetyRelay
from wiring.plan.edits import Edit, SetValue
from wiring.plan.ratings import Voltage
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.signals import digital_input, signal_limit
from wiring.rulebooks.steps import resistor

_SIGNALS = (Function.INPUT, Function.OUTPUT, Function.COMMON)


def _signal_nodes(part: Part) -> Iterator[Node]:
    relays: set[str] = set()
    if isinstance(part.data, IoCard):
        for name, word in part.data.outputs.items():
            if word.startswith("relay"):
                relays |= set(name.split("-"))
    for terminal in part.terminals.values():
        if terminal.function in _SIGNALS and terminal.name not in relays:
            yield part.name, terminal.name


def bears_voltage(part: Part, seen: Reached) -> bool:
    """Whether the inputs of a card are made for that voltage."""
    made_for = getattr(part.data, "input_voltage", None) or getattr(part.data, "signals", None)
    return isinstance(made_for, Voltage) and made_for.kind in ("", seen.pole.kind) and made_for.volts >= seen.pole.volts


def mismatched_inputs(design: Design) -> Iterator[tuple[SignalInput, Reached]]:
    """Every wired digital input that nothing can drive, though a pole of its own supply reaches it."""
    for item in card_inputs(design.machine):
        if driven(design.machine, *item.ends):
            continue
        node = (item.part.name, item.name)
        wrong = "+" if item.word == "source" else "-"
        far = item.ends[0] if item.word == "source" else item.ends[1]
        own = {r.pole.source for r in design.nets.reach(far).sources}
        seen = [r for r in design.nets.reach(node).sources if r.pole.sign == wrong and r.pole.main]
        seen += _crossed_sources(design, node, wrong, own)
        through_card = any(isinstance(design.parts[name].data, IoCard) for r in seen for name in r.parts)
        if seen and not through_card and any(r.parts for r in seen):
            yield item, seen[0]


def _crossed_sources(design: Design, node: tuple[str, str], wrong: str, own: set[str]) -> list[Reached]:
    """An input whose common lies on the pole that the sensor gives: both ends on one pole."""
    return [r for r in design.nets.reach(node).sources if r.pole.source in own and r.pole.sign != wrong and r.parts]


def has_sinks(design: Design, name: str, data: IoCard) -> bool:
    """Whether an input of a card that takes current in is wired."""
    sinks = [key for key, word in data.inputs.items() if word.split(" ")[0] in ("sink", "isolated")]
    return any((name, data.terminals.get(key, key)) in design.nets.joined for key in sinks)


def leaking_sensors(design: Design, feed: Driven) -> list[tuple[str, Sensor]]:
    """Two-wire sensors, and those with three wires whose plan says that they leak and drop."""
    found = [(name, design.parts[name].data) for name in feed.parts]
    return [(n, data) for n, data in found if isinstance(data, Sensor) and _may_leak(data)]


def _may_leak(data: Sensor) -> bool:
    return data.output.startswith("two-wire") or None not in (data.leakage, data.drop)


def bleeder_ohm(design: Design, item: SignalInput) -> float | None:
    """Resistance of a resistor across the input."""
    ends = {design.nets.of[end] for end in item.ends}
    for net in ends:
        for edge in design.nets.edges_at.get(net, ()):
            if isinstance(edge.element, Resistance) and edge.to in ends - {net}:
                return edge.ohm
    return None


class InputWindow(Struct, frozen=True):
    """Least, usual and most current of an input [A], and the resistance that limits it [ohm]."""

    least: float
    usual: float
    most: float
    ohm: float


def input_window(data: Drive) -> InputWindow | None:
    """The currents that the signal inputs of a drive ask for; None where no voltage above that of a diode is stated."""
    low, usual, high = (signal_limit(f"opto_current_{end}").value for end in ("min", "typical", "max"))
    lost = signal_limit("opto_forward_drop").value
    if data.signals is None or data.signals.volts <= lost:
        return None
    ohm = data.signal_resistance or (data.signals.volts - lost) / (usual / 1000.0)
    own = (data.signals.volts - lost) / ohm
    return InputWindow(own * low / usual, own, own * high / usual, ohm)


def input_current_a(feed: Driven, window: InputWindow) -> float:
    """The current that a feed sends into an input [A]."""
    lost = signal_limit("opto_forward_drop").value + feed.drop_v
    return max(feed.volts - lost, 0.0) / (window.ohm + feed.ohm)


def _has_no_return(design: Design, item: SignalInput) -> bool:
    plus, minus = item.ends
    if not set(item.ends) <= design.nets.joined:
        return False
    highs = [r for r in design.nets.reach(plus).sources if r.pole.sign == "+"]
    backwards = [f for f in driven(design.machine, minus, plus) if " " in f.source]
    lows = design.nets.reach(minus).sources
    nowhere = not lows and not any(may_drive(design.machine, net, item.part) for net in design.nets.reach(minus).ohm_to)
    driven_alone = nowhere and not any(one.pole.main for one in highs)  # a supply without return has a rule of its own
    unknown = isinstance(item.part.data, Drive) and item.part.data.signals is None
    return (bool(highs) and driven_alone) or (not unknown and (bool(backwards) or (bool(highs) and bool(lows))))


def unreturned_inputs(design: Design) -> Iterator[SignalInput]:
    """The inputs that something can drive while their other end leads to no return of that source."""
    judged = [*drive_inputs(design.machine), *(i for i in card_inputs(design.machine) if i.word != "source")]
    for item in judged:
        if not driven(design.machine, *item.ends) and _has_no_return(design, item):
            yield item


def low_inputs(design: Design, untyped: set[str]) -> Iterator[tuple[SignalInput, Driven, float, Limit]]:
    """Inputs of cards that read on at no voltage that drives them: what drives them best, the voltage [V] and the
    least. `untyped` takes up the cards of which the type of their inputs is not known."""
    for item in card_inputs(design.machine):
        data = item.part.data
        assert isinstance(data, IoCard)
        feeds = driven(design.machine, *item.ends)
        rated = data.input_voltage or (data.supply.voltage if data.supply else None)
        if not feeds or rated is None or abs(rated.volts - 24.0) > 1.0 or item.word == "source":
            continue
        if data.input_type is None:
            untyped.add(item.part.name)
            continue
        levels = digital_input(data.input_type)
        best = max(feeds, key=lambda feed: feed.volts - feed.drop_v)
        sensed = any(isinstance(design.parts[name].data, Sensor) for name in best.parts)
        volts = (best.volts - best.drop_v) * item.ohm / (item.ohm + best.ohm)
        if not isinstance(levels, NotTabled) and volts < levels.on_v.value and not sensed:
            yield item, best, volts, levels.on_v


def series_resistors(design: Design, name: str, window: InputWindow, feed: Driven) -> tuple[Edit, ...]:
    """A resistor before every input of a drive through which too much flows."""
    found: list[Edit] = []
    parts, numbers = free_parts(design, "R"), free_wires(design)
    for item in drive_inputs(design.machine):
        feeds = driven(design.machine, *item.ends)
        if item.part.name != name or all(input_current_a(one, window) <= window.most * (1 + 1e-6) for one in feeds):
            continue
        lost = feed.drop_v + signal_limit("opto_forward_drop").value
        series = resistor((feed.volts - lost) / window.usual - window.ohm)
        part = next(parts)
        wired = in_series(design, item.ends[0], ((part, "1"), (part, "2")), numbers)
        if not wired:
            return ()
        entry = f"kind: resistor, purpose: series, resistance: {series:g} ohm, power: 1 W"
        found += [new_part(design, part, entry), *wired]
    return tuple(found)


#: The table's inputs are rated for this voltage [V].
_TABLED_V = 24.0


def most_volts(item: SignalInput) -> Limit | None:
    """The highest voltage of an input: the table's, in proportion for another rated voltage."""
    data = item.part.data
    assert isinstance(data, IoCard)
    rated = data.input_voltage or (data.supply.voltage if data.supply else None)
    levels = digital_input(data.input_type or "3")
    if rated is None or isinstance(levels, NotTabled):
        return None
    tabled = levels.most_v
    note = "" if rated.volts == _TABLED_V else f"in proportion, for an input of {rated.volts:.3g} V"
    return Limit(tabled.value / _TABLED_V * rated.volts, "V", tabled.source, note)


_OPEN_COLLECTOR = ("npn", "open-collector")


#: The middle of what pull-ups are taken [ohm] (common practice, no source).
_PULL_UP_OHM = 2200.0


def _open_collector_output(design: Design, item: SignalInput) -> str | None:
    """The open-collector output on the net of the input's plus end, as card and terminal."""
    plus = item.ends[0]
    for edge in design.nets.edges_at.get(design.nets.of[plus], ()):
        data = design.parts[edge.part].data
        if not isinstance(data, IoCard) or not isinstance(edge.element, Switch):
            continue
        word = data.outputs.get(edge.element.actuator.removeprefix("output "), "")
        if word.split(" ")[0] in _OPEN_COLLECTOR:
            return named((edge.part, edge.element.a))
    return None


def inputs_without_pull_up(design: Design) -> Iterator[tuple[SignalInput, str]]:
    """Every input that nothing can drive, though an open-collector output is wired to it, with that output."""
    for item in (*card_inputs(design.machine), *drive_inputs(design.machine)):
        if item.word != "source" and not driven(design.machine, *item.ends):
            output = _open_collector_output(design, item)
            if output is not None:
                yield item, output


def pulled_up(design: Design, item: SignalInput) -> tuple[Edit, ...]:
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


_CONTROL = IoCard | Sensor | Encoder | SafetyRelay | Drive


def wired_signals(design: Design) -> Iterator[tuple[Part, Node]]:
    """The wired signal terminals of control parts, isolators left out."""
    for part in design.parts.values():
        if isinstance(part.data, _CONTROL) and not isinstance(part.data, Isolator):
            yield from ((part, node) for node in _signal_nodes(part) if node in design.nets.joined)


def other_kind(data: PartModel, giver: str, item: SignalInput) -> tuple[Edit, ...]:
    """The sensor of the other polarity, or the input of the other kind."""
    if not isinstance(data, Sensor) or not data.output.startswith(("pnp", "npn")):
        card = item.part.data
        shown = {card.terminals.get(key, key): key for key in card.inputs} if isinstance(card, IoCard) else {}
        key = shown.get(item.name, item.name)
        kind = "sink" if item.word == "source" else "source"
        return (SetValue(("parts", item.part.name, "inputs", key), kind),) if shown else ()
    kind = "npn" if item.word == "source" else "pnp"
    return of_part(giver, "output", kind + data.output[3:])
