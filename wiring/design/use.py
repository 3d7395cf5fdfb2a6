"""What a conductor is used for: power, control, or a signal; asked of its role and of what hangs on its rail."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Rail, Role
from wiring.parts.drives import Drive
from wiring.parts.loads import Heater, ProcessSource, Pump
from wiring.parts.motors import Shaft

if TYPE_CHECKING:
    from wiring.design.design import Design


def is_power_rail(design: Design, rail: Rail) -> bool:
    """Whether motors, drives, heaters or process sources hang on a rail; the mains always are power."""
    if rail.role in (Role.LIVE, Role.NEUTRAL):
        return True
    owners = {node[0] for node in design.roles.at.get(rail, ()) if node[0] in design.parts}
    return any(isinstance(design.parts[name].data, Drive | Heater | ProcessSource | Pump | Shaft) for name in owners)


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
    return "power" if any(is_power_rail(design, rail) for rail in rails) else "control"
