"""Motors that stand on the mains without a drive, as the rules on motor circuits count them."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.motors import Motor
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.motors import full_load_current
from wiring.solver.operating import OperatingPoint

#: What is left beside the motors below this share of a current is rounding, and the phases of a delta (own choice).
_ROUNDING = 0.02
_MARKED = Source("marking of the motor", "", "", Standing.CONFIRMED)


def full_load(part: Part) -> Limit | NotTabled:
    """Full-load current of a motor for conductors and short circuits [A]: that of the table, else its rated current.

    NotTabled where neither is known. Source: NFPA 70, 430.6(A)(1).
    """
    data = part.data
    assert isinstance(data, Motor)
    tabled = full_load_current(data.rated_power, data.voltage.volts, 3 if data.phases == "3" else 1)
    if isinstance(tabled, Limit):
        return tabled
    if data.rated_current is None:
        return NotTabled(f"the full-load current of {part.name} (`rated_current`)")
    return Limit(data.rated_current, "A", _MARKED)


def direct_motors(machine: Machine) -> tuple[Part, ...]:
    """The motors that no drive moves or that contacts lead past it, in the order of their names."""
    driven = machine.axes.driven_alone
    motors = (part for part in machine.parts.values() if isinstance(part.data, Motor) and part.name not in driven)
    return tuple(sorted(motors, key=lambda part: part.name))


def needed_ampacity(
    machine: Machine, operation: Operation, name: str, loads: Mapping[str, float], margin: float
) -> float:
    """Ampacity that a way of motors needs [A]: in each state those that run, a quarter more of the largest, the rest.

    `loads` are the full-load currents of the motors that are fed through it [A]. Source: NFPA 70, 430.22 and 430.24.
    """
    most = 0.0
    for point in operation.states.values():
        solved = {motor: _solved(machine, point, motor) for motor in loads}
        running = [amps for motor, amps in loads.items() if len(loads) == 1 or abs(solved[motor]) > 0.0]
        if running:
            rest = _beside(machine, point, name, solved)
            most = max(most, sum(running) + (margin - 1.0) * max(running) + rest)
    return most


def short_of_full_load(machine: Machine, point: OperatingPoint, loads: Mapping[str, float]) -> float:
    """What the motors that run in a state take less than their full-load currents `loads`, together [A]."""
    short = 0.0
    for motor, amps in loads.items():
        taken = abs(_solved(machine, point, motor)) * (3.0**0.5 if len(machine.parts[motor].elements) == 3 else 1.0)
        short += max(amps - taken, 0.0) if taken > 0.0 else 0.0
    return short


def beside_motors(machine: Machine, operation: Operation, name: str, motors: tuple[str, ...]) -> float:
    """The most that a way carries in a state beside the solved currents of its motors [A]."""
    rest = 0.0
    for point in operation.states.values():
        rest = max(rest, _beside(machine, point, name, {motor: _solved(machine, point, motor) for motor in motors}))
    return rest


def _beside(machine: Machine, point: OperatingPoint, name: str, solved: Mapping[str, complex]) -> float:
    dc, ac = point.path_current("DC").get(name, 0.0), point.path_current("AC").get(name, 0.0)
    rest = _rest(machine, solved, dc, ac)
    return rest if rest > _ROUNDING * hypot(abs(dc), abs(ac)) else 0.0


def _rest(machine: Machine, solved: Mapping[str, complex], dc: complex, ac: complex) -> float:
    """What is carried beside motors [A]: the phases of a single-phase motor are known, not of a delta."""
    if abs(dc) > abs(ac):
        return max(abs(dc) - sum(map(abs, solved.values())), 0.0)
    if all(len(machine.parts[motor].elements) == 1 for motor in solved):
        motors = sum(solved.values())
        return min(abs(ac - motors), abs(ac + motors))
    lines_a: float = sum(3.0**0.5 * abs(amps) for amps in solved.values())
    return max(abs(ac) - lines_a, 0.0)


def _solved(machine: Machine, point: OperatingPoint, motor: str) -> complex:
    """Current of a motor in a state [A], the largest of its phases."""
    currents = {**point.element_current("DC"), **point.element_current("AC")}
    phases = (currents.get((motor, n), 0.0) for n in range(len(machine.parts[motor].elements)))
    return max(phases, key=abs, default=0.0)
