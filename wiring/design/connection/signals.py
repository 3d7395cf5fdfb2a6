"""What a signal input is given: the voltage of whatever drives it, and the current that follows from its resistance."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.machine import Machine
from wiring.design.nets import Net, Reached
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Draw, Function, Input, Link, Output, Pole, Resistance, Switch
from wiring.parts.signals import IoCard

_OUTSIDE = (Function.OUTPUT, Function.INPUT, Function.MOTOR, Function.SHIELD, Function.PE)


class Driven(Struct, frozen=True):
    """One way in which an input is driven: voltage of the source, series resistance, what is lost in sensors."""

    source: str
    volts: float
    ohm: float
    drop_v: float
    parts: tuple[str, ...]


class SignalInput(Struct, frozen=True):
    """An input with its two ends, `plus` the one into which current flows. `word` is sink, source or isolated."""

    part: Part
    name: str
    plus: str
    minus: str
    ohm: float
    word: str = "isolated"

    @property
    def ends(self) -> tuple[Node, Node]:
        """Both ends as nodes."""
        return (self.part.name, self.plus), (self.part.name, self.minus)


def drive_inputs(machine: Machine) -> Iterator[SignalInput]:
    """The signal inputs of every drive that the plan wires at one end at least."""
    for part in machine.parts.values():
        if not isinstance(part.data, Drive):
            continue
        ohms = {(e.a, e.b): e.ohm for e in part.elements if isinstance(e, Resistance) and not e.load}
        renamed = part.data.terminals
        for a, b in part.data.signal_inputs():
            plus, minus = renamed.get(a, a), renamed.get(b, b)
            if {(part.name, plus), (part.name, minus)} & machine.nets.joined:
                yield SignalInput(part, f"{plus}/{minus}", plus, minus, ohms[plus, minus])


def card_inputs(machine: Machine) -> Iterator[SignalInput]:
    """The digital inputs of every card that are wired and whose return is known."""
    for part in machine.parts.values():
        if not isinstance(part.data, IoCard):
            continue
        renamed = part.data.terminals
        words = {renamed.get(name, name): word.split(" ")[0] for name, word in part.data.inputs.items()}
        for element in part.elements:
            if not isinstance(element, Resistance):
                continue
            for name in (element.a, element.b):
                if name in words and (part.name, name) in machine.nets.joined:
                    yield SignalInput(part, name, element.a, element.b, element.ohm, words[name])


def driven(machine: Machine, plus: Node, minus: Node) -> list[Driven]:
    """The ways in which current can flow into `plus` and out of `minus`, each with its voltage."""
    nets = machine.nets
    out = nets.reach(minus)
    ground_ohm = dict(out.ohm_to)
    for low in out.sources:  # a push-pull output that is low takes current like its own return
        if not low.pole.main and low.pole.sign == "+":
            ground_ohm.setdefault(low.pole.ground, low.ohm)
    found = []
    for high in nets.reach(plus).sources:
        if high.pole.kind != "DC" or high.pole.sign != "+" or high.pole.ground not in ground_ohm:
            continue
        lost = high.drop_v + _lost(out.sources, high)
        found.append(
            Driven(
                high.pole.source,
                high.pole.volts,
                high.ohm + ground_ohm[high.pole.ground],
                lost,
                (*high.parts, *_parts(out.sources, high)),
            )
        )
    return found


def _returns(sources: tuple[Reached, ...], high: Reached) -> Iterator[Reached]:
    return (low for low in sources if low.pole.source == high.pole.source and low.pole.sign == "-")


def _lost(sources: tuple[Reached, ...], high: Reached) -> float:
    return next((low.drop_v for low in _returns(sources, high)), 0.0)


def _parts(sources: tuple[Reached, ...], high: Reached) -> tuple[str, ...]:
    return next((low.parts for low in _returns(sources, high)), ())


def may_drive(machine: Machine, net: Net, asked: Part) -> bool:
    """Whether the net touches a signal terminal of which the plan does not say what is behind it."""
    for name, terminal in machine.nets.members[net]:
        part = machine.parts.get(name)
        if part is None or name == asked.name or terminal not in part.terminals:
            continue
        if part.terminals[terminal].function in _OUTSIDE and not _is_modelled(part, terminal):
            return True
    return False


def _is_modelled(part: Part, terminal: str) -> bool:
    return any(
        terminal in (getattr(e, "a", ""), getattr(e, "b", ""), getattr(e, "plus", ""), getattr(e, "minus", ""))
        for e in part.of(Draw, Coil, Input, Resistance, Switch, Output, Pole, Link)
    )
