"""Parts split into the units that are drawn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.drawing.units import MOST_LANES, Form, Lane, Unit
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Function, Pole, Switch
from wiring.parts.traits import SymbolForm


class Splitter:
    """Splits one part into units. `wired` are the terminals that a conductor reaches.

    `onward` are protective pins from which earth leads on in the cable of a machine.
    """

    def __init__(self, part: Part, wired: frozenset[Node], onward: frozenset[Node] = frozenset()) -> None:
        self.part, self.wired, self.onward = part, wired, onward

    def node(self, terminal: str) -> Node:
        return self.part.name, terminal

    def kept(self, terminals: Iterable[str]) -> list[Node]:
        return [self.node(name) for name in terminals if self.node(name) in self.wired]

    def unit(self, what: str, form: Form, lanes: Sequence[Lane], **more: object) -> Unit:
        name = f"{self.part.name}/{what}" if what else self.part.name
        return Unit(name, self.part.name, what, form, tuple(lanes), **more)  # type: ignore[arg-type]

    def frame(self, what: str, left: Sequence[Node], right: Sequence[Node], **more: object) -> list[Unit]:
        """A frame, or several where it would be too tall."""
        count = max(len(left), len(right), 1)
        lanes = [Lane(left[n] if n < len(left) else None, right[n] if n < len(right) else None) for n in range(count)]
        pieces = [lanes[n : n + MOST_LANES] for n in range(0, count, MOST_LANES)]
        return [
            self.unit(what if n == 0 else f"{what} {n + 1}".strip(), Form.FRAME, piece, **more)
            for n, piece in enumerate(pieces)
        ]

    def lanes_of(self, contacts: Iterable[Pole | Switch], glyph: str) -> list[Lane]:
        lanes = [Lane(self.node(contact.a), self.node(contact.b), glyph, contact.name) for contact in contacts]
        used = [lane for lane in lanes if lane.left in self.wired or lane.right in self.wired]
        return used or lanes

    def contact_glyph(self, contact: Switch, prefix: str = "") -> str:
        return f"{prefix}{'break' if contact.closed_at_rest else 'make'}"

    def is_used(self, contact: Switch) -> bool:
        return self.node(contact.a) in self.wired or self.node(contact.b) in self.wired

    def contacts(self, switches: Sequence[Switch]) -> list[Unit]:
        """One unit for each used auxiliary contact; two that share a terminal are one change-over contact."""
        units: list[Unit] = []
        done: set[int] = set()
        for n, contact in enumerate(switches):
            if n in done or not self.is_used(contact):
                continue
            ends = {contact.a, contact.b}
            twin = next((m for m in range(len(switches)) if m != n and ends & {switches[m].a, switches[m].b}), None)
            if twin is None:
                lane = Lane(self.node(contact.a), self.node(contact.b), self.contact_glyph(contact), contact.name)
                units.append(self.unit(contact.name, Form.LANES, [lane], flippable=True))
                continue
            done.add(twin)
            units.append(self.change_over(contact, switches[twin]))
        return units

    def change_over(self, one: Switch, two: Switch) -> Unit:
        common = next(iter(sorted({one.a, one.b} & {two.a, two.b})))
        make, rest = (two, one) if one.closed_at_rest else (one, two)
        far = [contact.b if contact.a == common else contact.a for contact in (make, rest)]
        lanes = [
            Lane(None, self.node(far[0]), "make", make.name),
            Lane(self.node(common), self.node(far[1]), "break", rest.name),
        ]
        return self.unit(f"{common}-{far[1]}-{far[0]}", Form.CHANGE_OVER, lanes)

    def bonds(self) -> list[Unit]:
        """A unit for every protective pin that a conductor reaches, but for those from which earth leads on."""
        pins = [t.name for t in self.part.terminals.values() if t.function is Function.PE]
        return [self.bond(name) for name in pins if self.node(name) in self.wired - self.onward]

    def bond(self, terminal: str) -> Unit:
        emblem = self.part.data.sign() if self.part.data.symbol.form is SymbolForm.METAL else ""
        return self.unit(
            f"bond {terminal}", Form.BOND, [Lane(self.node(terminal), None)], emblem=emblem, flippable=True
        )


def _coiled(split: Splitter) -> list[Unit]:
    part = split.part
    delay = "coil-on-delay" if getattr(part.data, "on_delay", None) else "coil"
    glyph = "coil-off-delay" if getattr(part.data, "off_delay", None) else delay
    names = _first_two(part)
    coil = Lane(split.node(names[0]), split.node(names[1]), glyph)
    units = [split.unit("coil", Form.LANES, [coil], main=True, flippable=True)]
    switches = part.of(Switch)
    poles = [
        switch
        for switch in switches
        if switch.a in part.terminals and part.terminals[switch.a].function is Function.POLE
    ]
    used = [pole for pole in poles if split.is_used(pole)]
    if used:
        lanes = split.lanes_of(used, part.data.sign())
        units.append(split.unit("poles", Form.LANES, lanes, linked=True, flippable=True))
    return units + split.contacts([switch for switch in switches if switch not in poles])


def _first_two(part: Part) -> list[str]:
    return list(part.terminals)[:2]


def _safety_relay(split: Splitter) -> list[Unit]:
    part = split.part
    first, second = _first_two(part)
    coil = Lane(split.node(first), split.node(second), "coil")
    units = [split.unit("supply", Form.LANES, [coil], main=True, flippable=True)]
    inputs = [t.name for t in part.terminals.values() if t.function is Function.INPUT]
    out, back = split.kept(inputs[0::2]), split.kept(inputs[1::2])
    if out:
        units += split.frame("channels out", [], out)
    if back:
        units += split.frame("channels back", back, [])
    switches = [switch for switch in part.elements if isinstance(switch, Switch) and split.is_used(switch)]
    main = [switch for switch in switches if not switch.closed_at_rest]
    if main:
        units.append(split.unit("outputs", Form.LANES, split.lanes_of(main, "make"), linked=True, flippable=True))
    return units + split.contacts([switch for switch in switches if switch.closed_at_rest])


def _poles(split: Splitter) -> list[Unit]:
    part = split.part
    symbol = part.data.symbol
    switches = part.of(Switch)
    poles: list[Pole | Switch] = part.of(Pole)
    poles = poles or [s for s in switches if s.actuator == "handle"]
    lanes = split.lanes_of(poles, part.data.sign())
    extra = [t.name for t in part.terminals.values() if t.function is Function.DC_MINUS]
    lanes += [Lane(node, None) for node in split.kept(extra)]
    linked = len(poles) > 1
    main = split.unit("", Form.LANES, lanes, linked=linked, actuator=symbol.operator, main=True, flippable=not extra)
    return [main, *split.contacts([switch for switch in switches if switch.actuator == "trip"])]


def _operated(split: Splitter) -> list[Unit]:
    part = split.part
    symbol = part.data.symbol
    switches = part.of(Switch)
    ends = [end for switch in switches for end in (switch.a, switch.b)]
    if len(set(ends)) < len(ends):
        units = split.contacts(switches)
        return [replace(units[0], main=True), *units[1:], *split.bonds()] if units else []
    used = [switch for switch in switches if split.is_used(switch)] or switches
    lanes = [Lane(split.node(s.a), split.node(s.b), split.contact_glyph(s, f"{symbol.sign}-")) for s in used]
    linked = len(lanes) > 1 or bool(symbol.operator)
    unit = split.unit("", Form.LANES, lanes, linked=linked, actuator=symbol.operator, main=True, flippable=True)
    return [unit, *split.bonds()]


def _machine(split: Splitter) -> list[Unit]:
    part = split.part
    nodes = split.kept(part.terminals) or [split.node(name) for name in part.terminals]
    return [split.unit("", Form.CIRCLE, [Lane(node, None) for node in nodes], emblem=part.data.sign(), main=True)]


def _two_ended(split: Splitter) -> list[Unit]:
    part = split.part
    a, b = _first_two(part)
    lane = Lane(split.node(a), split.node(b), part.data.sign())
    unit = split.unit("", Form.LANES, [lane], main=True, flippable=part.data.symbol.turns)
    return [unit, *split.bonds()]


def _framed(split: Splitter) -> list[Unit]:
    part = split.part
    symbol = part.data.symbol
    shown = [t for t in part.terminals.values() if split.node(t.name) in split.wired] or list(part.terminals.values())
    earth = [t for t in shown if symbol.bonds and t.function is Function.PE and split.node(t.name) in split.wired]
    shown = [t for t in shown if t not in earth]
    port = _encoder_port(part)
    right = [split.node(t.name) for t in shown if t.function in symbol.right and t.name not in port]
    last = max((n for n, node in enumerate(right, 1) if part.terminals[node[1]].function is Function.MOTOR), default=0)
    right[last:last] = [node for t in earth if (node := split.node(t.name)) in split.onward]
    right += [split.node(t.name) for t in shown if t.name in port]
    left = [split.node(t.name) for t in shown if t.function not in symbol.right and t.name not in port]
    if isinstance(part.data, Drive):
        left = _returns_last(part, left)
    frames = split.frame("", left, right, emblem=part.data.sign()) if shown else []
    frames = [replace(frame, main=n == 0, flippable=symbol.turns) for n, frame in enumerate(frames)]
    return [*frames, *(split.bonds() if symbol.bonds else [])]


def _encoder_port(part: Part) -> frozenset[str]:
    """The terminals at which a drive feeds and reads the encoder of its motor: they stand at the motor's side."""
    port = part.data.encoder if isinstance(part.data, Drive) else None
    return frozenset((*port.between, *port.signals)) if port else frozenset()


def _returns_last(part: Part, nodes: list[Node]) -> list[Node]:
    """Signal inputs first, then their returns, which usually share one rail."""
    signals = [node for node in nodes if part.terminals[node[1]].function is Function.INPUT]
    logic = getattr(part.data, "logic", None)
    names = part.data.terminals
    low = {names.get(logic.between[1], logic.between[1])} if logic else set()
    returns = [node for node in nodes if (node in signals and node[1].endswith("-")) or node[1] in low]
    signals += [node for node in nodes if node[1] in low]
    others = [node for node in nodes if node not in signals]
    return [*others, *(node for node in signals if node not in returns), *returns]


def _metalwork(split: Splitter) -> list[Unit]:
    units = split.bonds()
    return units or [split.bond(next(iter(split.part.terminals)))]


_SPLIT = {
    SymbolForm.COIL: _coiled,
    SymbolForm.CHANNELS: _safety_relay,
    SymbolForm.POLES: _poles,
    SymbolForm.MACHINE: _machine,
    SymbolForm.TWO_ENDED: _two_ended,
    SymbolForm.METAL: _metalwork,
    SymbolForm.FRAME: _framed,
    SymbolForm.CONTACTS: _operated,
}


def split_part(part: Part, wired: frozenset[Node], onward: frozenset[Node]) -> list[Unit]:
    """The units of a part other than strips and cards, which are split by the sheets they serve."""
    return _SPLIT[part.data.symbol.form](Splitter(part, wired, onward))
