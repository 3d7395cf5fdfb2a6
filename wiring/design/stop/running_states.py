"""The states from which the stops are proved: those that differ in what is worked, picked up or fed."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence

from wiring.control.alive import is_alive
from wiring.control.script import Target, operators_of
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint


def worked_while_running(machine: Machine, running: OperatingPoint) -> frozenset[Actuator]:
    """The operators that stand worked in a state from which the stops are proved."""
    return running.position.moved & {one.actuator for one in operators_of(machine.circuit)}


def running_states(machine: Machine, operation: Operation, targets: Sequence[Target]) -> Mapping[str, OperatingPoint]:
    """By name the states that differ and feed some target; first, always, that in which most are alive."""
    live = {
        name: frozenset(target.name for target in targets if is_alive(target, point))
        for name, point in operation.proved.items()
    }
    found: dict[Hashable, tuple[str, OperatingPoint]] = {}
    for name in sorted(live, key=lambda name: (len(live[name]), name), reverse=True):
        point = operation.proved[name]
        if live[name] or not found:
            key = worked_while_running(machine, point), point.attracted, live[name]
            found.setdefault(key, (name, point))
    return dict(found.values())
