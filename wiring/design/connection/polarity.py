"""What minds its polarity, and on which source it hangs the wrong way round."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Node
from wiring.circuit.roles import Rail, Role
from wiring.design.design import Design
from wiring.design.nets import Net
from wiring.parts.base import Part
from wiring.parts.contacts import split_pair
from wiring.parts.drives import Drive, StepperDrive
from wiring.parts.elements import Coil, Draw, Input, Output, Rectifying, Resistance, Switch
from wiring.parts.heating import TemperatureController, Thermocouple
from wiring.parts.incoming import Filter, Inlet
from wiring.parts.motors import Shaft
from wiring.parts.passive import Resistor, Suppressor
from wiring.parts.protection import SurgeArrester
from wiring.parts.signals import Sensor
from wiring.parts.sources import Capacitor
from wiring.parts.switching import SafetyRelay


def polar_ends(part: Part) -> Iterator[tuple[str, str]]:
    """Positive and negative terminal of everything in a part that minds its polarity."""
    data = part.data
    for element in part.elements:
        if isinstance(data, SafetyRelay) and getattr(element, "moves", "supply") != "supply":
            continue  # what a stop relay gives its channels and takes back is its own affair
        match element:
            case Draw() | Input() if element.kind == "DC" and not getattr(element, "either_way", False):
                yield element.a, element.b
            case Coil() if element.kind != "AC":
                if not element.inductive or getattr(data, "suppressor", None) in ("diode", "zener"):
                    yield _before_diode(part, element.a), element.b
            case Rectifying() if isinstance(data, Suppressor):
                yield element.b, element.a
            case Resistance() if not element.load and element.kind == "DC" and not isinstance(data, Resistor | Shaft):
                yield element.a, element.b
    if isinstance(data, Capacitor):
        yield data.terminals.get("+", "+"), data.terminals.get("-", "-")


def _before_diode(part: Part, end: str) -> str:
    """The terminal in front of a diode inside a part that leads to a point of it; the point itself where none does."""
    diodes = (element for element in part.of(Rectifying))
    return next((diode.a for diode in diodes if diode.b == end and end.startswith(".")), end)


def _sources(design: Design) -> Iterator[tuple[Part, str, str]]:
    """Plus and minus of every source of a signal with two terminals: a thermocouple, the output of a controller."""
    for part in design.parts.values():
        if isinstance(part.data, Thermocouple):
            yield part, part.data.terminals.get("+", "+"), part.data.terminals.get("-", "-")
        for output in part.of(Output):
            if output.name != "output" and output.kind == "DC" and {output.plus, output.minus} <= part.terminals.keys():
                yield part, output.plus, output.minus


def _sinks(part: Part) -> Iterator[tuple[str, str]]:
    """Plus and minus of what takes such a signal."""
    if isinstance(part.data, TemperatureController):
        plus, minus = split_pair(part.data.input)
        yield part.data.terminals.get(plus, plus), part.data.terminals.get(minus, minus)
    yield from polar_ends(part)


def crossed_signals(design: Design) -> Iterator[tuple[Part, str, str, str]]:
    """Every part that takes a signal of two wires with its plus and minus, where these lie on the minus and plus of the
    source, by conductors or by contacts between them; its name comes last."""
    nets = design.nets
    sinks = [
        (part, plus, minus)
        for part in design.parts.values()
        for plus, minus in _sinks(part)
        if {(part.name, plus), (part.name, minus)} <= nets.of.keys()
    ]
    for source, plus, minus in _sources(design):
        high, low = (_by_contacts(design, (source.name, end)) for end in (plus, minus))
        for part, positive, negative in sinks if not high & low else ():
            crossed = nets.of[part.name, positive] in low and nets.of[part.name, negative] in high
            if crossed and part.name != source.name:
                yield part, positive, negative, source.name


def _by_contacts(design: Design, end: Node) -> set[Net]:
    """The nets that contacts of relays and switches join to a terminal."""
    return set(
        design.nets.spread(
            (design.nets.of[end],), lambda edge: isinstance(edge.element, Switch) and edge.part != end[0]
        )
    )


def misplaced_output(design: Design, part: Part) -> tuple[str, str, str] | None:
    """The supply terminal of a sensor that lies on no pole, while its output lies on the pole which that terminal
    wants: both, and the supply."""
    if not isinstance(part.data, Sensor) or not {"1", "3", "4"} <= part.terminals.keys():
        return None
    for own, sign in (("1", "+"), ("3", "-")):
        taken = _supplies_at(design, (part.name, "4"), sign)
        if taken and not _supplies_at(design, (part.name, own), sign) and (part.name, own) in design.nets.joined:
            return own, "4", min(taken)
    return None


def _supplies_at(design: Design, end: Node, sign: str) -> set[str]:
    """The supplies of direct voltage of which a pole lies at a terminal by metal alone."""
    poles = design.nets.poles_at.get(design.nets.of[end], ())
    return {pole.source for pole in poles if pole.main and pole.kind == "DC" and pole.sign == sign}


def _lies_on(rails: tuple[Rail, ...], role: Role, other: Role) -> set[str]:
    return {rail.source for rail in rails if rail.role is role and Rail(other, rail.source) not in rails}


def reversed_on(design: Design, plus: Node, minus: Node) -> str | None:
    """The source whose poles the two ends have the wrong way round."""
    rails = design.roles.rails
    wrong = _lies_on(rails[plus], Role.ZERO, Role.PLUS) & _lies_on(rails[minus], Role.PLUS, Role.ZERO)
    return min(wrong, default=None)


def is_line_swapped(design: Design, part: Part) -> bool:
    """Whether a part with terminals L and N has the neutral on L and a line on N."""
    live, back = (part.data.terminals.get(name, name) for name in ("L", "N"))
    if (
        isinstance(part.data, Inlet | Filter | SurgeArrester)
        or live not in part.terminals
        or back not in part.terminals
    ):
        return False
    roles = design.roles.role
    return roles[part.name, live] is Role.NEUTRAL and roles[part.name, back] is Role.LIVE


def phase_at(design: Design, end: Node) -> tuple[str, str] | None:
    """The stepper drive that feeds an end of a winding, and the letter of the phase."""
    for name, terminal in sorted(design.nets.members[design.nets.of[end]]):
        data = design.parts[name].data if name in design.parts else None
        if isinstance(data, StepperDrive):
            for phase in ("A+", "A-", "B+", "B-"):
                if data.terminals.get(phase, phase) == terminal:
                    return name, phase[0]
    return None


def reversed_outputs(design: Design) -> Iterator[tuple[Part, str, str, str]]:
    """The transistor outputs of drives, marked + and -, of which the minus lies on the plus of a source or the plus on
    its return, with that source."""
    rails = design.roles.rails
    for part in design.parts.values():
        for plus, minus in part.data.fault_outputs() if isinstance(part.data, Drive) else ():
            ends = part.data.terminals.get(plus, plus), part.data.terminals.get(minus, minus)
            if plus.endswith("+") and minus.endswith("-"):
                high, low = (part.name, ends[0]), (part.name, ends[1])
                wrong = _lies_on(rails[low], Role.PLUS, Role.ZERO) | _lies_on(rails[high], Role.ZERO, Role.PLUS)
                if wrong and {high, low} <= design.nets.joined:
                    yield part, *ends, min(wrong)
