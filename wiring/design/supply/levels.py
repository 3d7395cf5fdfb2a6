"""The voltage at a node, of a conductor, and the worst that each element of a part sees in any state."""

from __future__ import annotations

from collections.abc import Mapping

from wiring.circuit.model import Conductor, Node
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.supply.given_voltages import Loaded
from wiring.design.supply.rail_levels import Level
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Function


def highest_at(machine: Machine, node: Node) -> Level | None:
    """The highest voltage of the rails that reach a node, through contacts too; a single line counts to neutral."""
    levels = machine.levels
    rails = machine.roles.rails.get(node, ())
    found = [levels[rail] for rail in rails if rail in levels]
    return max(found, key=lambda level: (level.volts, level.source), default=None)


def motor_levels(machine: Machine) -> Mapping[Node, Level]:
    """The voltage that each drive puts on the nets of its motor conductors."""
    found = {}
    for axis in machine.axes.values():
        data = axis.drive.data
        if not isinstance(data, Drive):
            continue
        kind = data.supply.kind or "AC"
        three = getattr(data, "phases", "1") == "3" and kind == "AC"
        level = Level(data.supply.high, data.supply.high / (3.0**0.5 if three else 1.0), kind, axis.drive.name)
        for terminal in axis.drive.terminals.values():
            if terminal.function is Function.MOTOR:
                found[machine.nets.of[axis.drive.name, terminal.name]] = level
    return found


def conductor_level(machine: Machine, conductor: Conductor, motors: Mapping[Node, Level]) -> Level | None:
    """The voltage that the insulation of a conductor sees, `motors` from `motor_levels`; None where there is none."""
    found = [level for end in conductor.ends if (level := highest_at(machine, end)) is not None]
    found += [motors[net] for end in conductor.ends if (net := machine.nets.of[end]) in motors]
    return max(found, key=lambda level: (level.earth_v, level.source), default=None)


def worst_volts(operation: Operation, part: Part, element: Loaded, kind: str) -> tuple[float, str]:
    """The largest voltage of one kind across an element in any state [V], and that state."""
    ends = (part.name, element.a), (part.name, element.b)
    found = [(abs(point.between(*ends, kind)), state) for state, point in operation.states.items()]
    return max(found, key=lambda entry: entry[0], default=(0.0, ""))
