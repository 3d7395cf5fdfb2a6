"""Motors that feed a short circuit: an induction motor on its feed goes on turning and is a generator for a moment.

It gives as much as it would draw with its rotor locked: Z = U / (sqrt(3) I) with I the starting current (IEC 60909-0,
equation for asynchronous motors, one source). A motor behind a drive gives nothing, for a rectifier lets nothing back;
drives themselves give the charge of their capacitors, which is gone in less than a millisecond and not counted.
"""

from __future__ import annotations

from math import sqrt

from wiring.design.fault.paths import MAINS, FaultPaths
from wiring.design.machine import Machine
from wiring.parts.base import Part
from wiring.parts.motors import Motor
from wiring.solver.short_circuit import FeedingMotor


def rated_current(motor: Motor) -> float:
    """Rated current of an induction motor [A]; from its power, efficiency and power factor where the plan has none."""
    if motor.rated_current is not None:
        return motor.rated_current
    lines = sqrt(3.0) if motor.phases == "3" else 1.0
    return motor.rated_power / (motor.efficiency * motor.power_factor * lines * motor.voltage.volts)


def locked_rotor_ohm(motor: Motor) -> float:
    """Impedance of each winding of an induction motor, as a star, with its rotor locked [ohm]; two halves of one phase.

    Source: IEC 60909-0, impedance of asynchronous motors (one source).
    """
    starting_a = motor.start_factor * rated_current(motor)
    return motor.voltage.volts / (starting_a * (sqrt(3.0) if motor.phases == "3" else 2.0))


def feeding_motors(machine: Machine, paths: FaultPaths) -> dict[str, FeedingMotor]:
    """The induction motors that stand on the mains without a drive, or can past it, by name."""
    driven = machine.axes.driven_alone
    found = {}
    for name, part in sorted(machine.parts.items()):
        if isinstance(part.data, Motor) and part.data.phases != "DC" and name not in driven:
            ends = [(name, end) for end in part.terminals if end != "PE"]
            if _on_mains(part, paths):
                nodes = tuple(machine.lowered.index[end] for end in ends)
                found[name] = FeedingMotor(nodes, locked_rotor_ohm(part.data))
    return found


def _on_mains(part: Part, paths: FaultPaths) -> bool:
    reached = [paths.hot.get((part.name, end)) for end in part.terminals]
    return any(one is not None and paths.origins[one.origin].part == MAINS for one in reached)
