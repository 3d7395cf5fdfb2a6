"""What a conductor is used for: power, control, or a signal; asked of its role and of what hangs on its rail."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import Rail, Role
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw, Input, Resistance
from wiring.parts.loads import Heater, ProcessSource, Pump
from wiring.parts.motors import Shaft

if TYPE_CHECKING:
    from wiring.design.design import Design


def is_power_rail(design: Design, rail: Rail) -> bool:
    """Whether motors, drives, heaters or process sources hang on a rail; the mains always are power."""
    if rail.role in (Role.LIVE, Role.NEUTRAL):
        return True
    return any(takes_power(design, node) for node in design.roles.at.get(rail, ()))


def power_rails(design: Design) -> frozenset[Rail]:
    """The rails on which motors, drives, heaters or process sources hang."""
    return frozenset(rail for rail in design.roles.at if is_power_rail(design, rail))


def is_power_part(part: Part) -> bool:
    """Whether a part is one of those that take power to work: drive, motor, heater, pump, process source."""
    return isinstance(part.data, Drive | Heater | ProcessSource | Pump | Shaft)


def takes_power(design: Design, node: Node) -> bool:
    """Whether a node is a main supply terminal of such a part; its enable, logic and signal terminals do not count."""
    part = design.parts.get(node[0])
    if part is None or not is_power_part(part):
        return False
    for element in part.elements:
        match element:
            case Draw() if element.name != "logic":
                ends = (element.a, element.b)
            case Input():
                ends = (element.a, element.b)
            case Resistance() if element.load:
                ends = (element.a, element.b)
            case _:
                continue
        if node[1] in ends:
            return True
    return False


def use_of(design: Design, conductor: Conductor) -> str:
    """power, control, signal or earth."""
    role = design.roles.of_conductor(conductor)
    if role is Role.PE:
        return "earth"
    if role is Role.MOTOR:
        return "power"
    if role is Role.SIGNAL:
        return "signal"
    rails = design.roles.rails[conductor.a] or design.roles.rails[conductor.b]
    return "power" if any(rail in design.power_rails for rail in rails) else "control"
