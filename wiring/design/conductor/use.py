"""What a conductor is used for: power, control, signal or earth, by its rail or branch by branch."""

from __future__ import annotations

from math import sqrt

from wiring.circuit.model import Conductor, Node
from wiring.circuit.roles import Role
from wiring.design.machine import Machine
from wiring.parts.elements import Coil, Function, Switch
from wiring.parts.motors import BrakingResistor


def braking_circuit(machine: Machine, conductor: Conductor) -> tuple[float, str] | None:
    """What a conductor between a drive and its braking resistor carries lastingly at most [A]: that which heats the
    resistor with the power that it bears; and that resistor. None for any other conductor."""
    if machine.roles.of_conductor(conductor) is not Role.NONE:
        return None
    net = machine.nets.of[conductor.a]
    near = ((name, machine.parts[name].data) for name, _ in machine.nets.members[net] if name in machine.parts)
    found = [(sqrt(data.power / data.resistance), name) for name, data in near if isinstance(data, BrakingResistor)]
    return max(found, default=None)


def use_of(machine: Machine, conductor: Conductor) -> str:
    """power, control, signal or earth, by the role of a conductor and what hangs on its rail."""
    role = machine.roles.of_conductor(conductor)
    if role is Role.PE:
        return "earth"
    if role is Role.MOTOR or braking_circuit(machine, conductor) is not None:
        return "power"
    if role is Role.SIGNAL:
        return "signal"
    rails = machine.roles.rails[conductor.a] or machine.roles.rails[conductor.b]
    return "power" if any(rail in machine.power_rails for rail in rails) else "control"


def _is_control_end(machine: Machine, node: Node) -> bool:
    """Whether a conductor ends here at a coil, a lamp, a card or a signal of a drive; contacts are asked apart."""
    part = machine.parts.get(node[0])
    if part is None:
        return False
    terminal = part.terminals.get(node[1])
    if terminal is not None and terminal.function in (Function.INPUT, Function.OUTPUT):
        return True
    at_coil = any(node[1] in (coil.a, coil.b) for coil in part.of(Coil))
    return at_coil or (part.data.is_control and not _contacts(machine, node))


def _contacts(machine: Machine, node: Node) -> list[Switch]:
    part = machine.parts.get(node[0])
    return [e for e in part.of(Switch) if node[1] in (e.a, e.b)] if part else []


def _switches_power(machine: Machine, node: Node) -> bool:
    """Whether every contact at a node leads from power to power."""
    ends = ((node[0], end) for contact in _contacts(machine, node) for end in (contact.a, contact.b))
    return all(end in machine.power_nodes for end in ends)


def circuit_use(machine: Machine, conductor: Conductor) -> str:
    """power, control, signal or earth, judged by the branch that the conductor belongs to and not by its rail alone.

    A lamp on the rail of motors is a control circuit. Mains conductors are power unless they end at a coil, a lamp or
    a card.
    """
    if conductor.id not in machine.uses:
        machine.uses[conductor.id] = _use_in_branch(machine, conductor)
    return machine.uses[conductor.id]


def _use_in_branch(machine: Machine, conductor: Conductor) -> str:
    use = use_of(machine, conductor)
    role = machine.roles.of_conductor(conductor)
    if use != "power" or role in (Role.MOTOR, Role.NONE):
        return use
    if any(_is_control_end(machine, end) for end in conductor.ends):
        return "control"
    if role in (Role.LIVE, Role.NEUTRAL):
        return "power"
    on_way = all(end in machine.power_nodes and _switches_power(machine, end) for end in conductor.ends)
    return "power" if on_way else "control"
