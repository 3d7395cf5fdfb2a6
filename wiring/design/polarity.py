"""What minds its polarity, and on which source it hangs the wrong way round."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Node
from wiring.circuit.roles import Rail, Role
from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.drives import StepperDrive
from wiring.parts.elements import Coil, Draw, Input, Rectifying, Resistance
from wiring.parts.incoming import Capacitor, Filter, Inlet
from wiring.parts.motors import Shaft
from wiring.parts.passive import Resistor, Suppressor
from wiring.parts.protection import SurgeArrester
from wiring.parts.switching import SafetyRelay


def polar_ends(part: Part) -> Iterator[tuple[str, str]]:
    """Positive and negative terminal of everything in a part that minds its polarity."""
    data = part.data
    for element in part.elements:
        if isinstance(data, SafetyRelay) and getattr(element, "moves", "supply") != "supply":
            continue  # what a stop relay gives its channels and takes back is its own affair
        match element:
            case Draw() | Input() if element.kind == "DC" and not isinstance(data, Shaft):
                yield element.a, element.b
            case Coil() if element.kind != "AC":
                if not element.inductive or getattr(data, "suppressor", None) in ("diode", "zener"):
                    yield element.a, element.b
            case Rectifying() if isinstance(data, Suppressor):
                yield element.b, element.a
            case Resistance() if not element.load and element.kind == "DC" and not isinstance(data, Resistor | Shaft):
                yield element.a, element.b
    if isinstance(data, Capacitor):
        yield data.terminals.get("+", "+"), data.terminals.get("-", "-")


def lies_on(rails: tuple[Rail, ...], role: Role, other: Role) -> set[str]:
    return {rail.source for rail in rails if rail.role is role and Rail(other, rail.source) not in rails}


def reversed_on(design: Design, plus: Node, minus: Node) -> str | None:
    """The source whose poles the two ends have the wrong way round."""
    rails = design.roles.rails
    wrong = lies_on(rails[plus], Role.ZERO, Role.PLUS) & lies_on(rails[minus], Role.PLUS, Role.ZERO)
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
