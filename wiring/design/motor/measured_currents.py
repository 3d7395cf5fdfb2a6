"""Motors whose current was measured in a state: they take what it says, in place of what follows from their work."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.design.machine import Machine
from wiring.design.motor.demands import work_in, work_power
from wiring.parts.base import Part
from wiring.parts.motors import Motor
from wiring.plan.models import StateEntry


def _electric_w_per_a(data: Motor) -> float:
    """What one ampere in a line of a motor takes at its own voltage [W]."""
    lines = 3.0**0.5 if data.phases == "3" else 1.0
    return lines * data.voltage.volts * data.loaded_power_factor


def with_measured_currents(machine: Machine, state: str, entries: Mapping[str, StateEntry]) -> Mapping[str, StateEntry]:
    """The entries of a state, each motor whose current was measured in it at the power that the current makes."""
    measured = machine.plan.measured
    found = dict(entries)
    for name, by_state in measured.motors.items() if measured else ():
        data = machine.parts[name].data
        if state in by_state and name in entries and isinstance(data, Motor):
            watts = by_state[state] * _electric_w_per_a(data) * data.loaded_efficiency
            found[name] = entries[name].model_copy(update={"power": watts})
    return found


def computed_current(motor: Part, entry: StateEntry) -> float:
    """Current in a line of a motor that follows from its work in a state, or from its rated power [A]."""
    assert isinstance(motor.data, Motor)
    watts = work_power(work_in(entry, motor))
    shaft_w = motor.data.rated_power if watts is None else abs(watts)
    return shaft_w / (motor.data.loaded_efficiency * _electric_w_per_a(motor.data))
