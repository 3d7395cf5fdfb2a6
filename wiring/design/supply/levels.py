"""The voltage at a node, of a conductor, and the worst that each element of a part sees in any state; what a load gets
that no state feeds, and what capacitors are charged to.
"""

from __future__ import annotations

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.fault.records import Short
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.supply.given_voltages import Loaded, Reachable, voltages_given
from wiring.design.supply.rail_levels import Level
from wiring.parts.base import Part
from wiring.parts.elements import Pole
from wiring.walks import walk


def highest_at(machine: Machine, node: Node) -> Level | None:
    """The highest voltage of the rails that reach a node, through contacts too; a single line counts to neutral."""
    levels = machine.levels
    rails = machine.roles.rails.get(node, ())
    found = [levels[rail] for rail in rails if rail in levels]
    return max(found, key=lambda level: (level.volts, level.source), default=None)


def conductor_level(machine: Machine, conductor: Conductor) -> Level | None:
    """The voltage that the insulation of a conductor sees; None where there is none."""
    motors = machine.topology.motor_levels
    found = [level for end in conductor.ends if (level := highest_at(machine, end)) is not None]
    found += [motors[net] for end in conductor.ends if (net := machine.nets.of[end]) in motors]
    return max(found, key=lambda level: (level.earth_v, level.source), default=None)


def worst_volts(operation: Operation, part: Part, element: Loaded, kind: str) -> tuple[float, str]:
    """The largest voltage of one kind across an element in any state [V], and that state."""
    ends = (part.name, element.a), (part.name, element.b)
    found = [(abs(point.between(*ends, kind)), state) for state, point in operation.states.items()]
    return max(found, key=lambda entry: entry[0], default=(0.0, ""))


#: Below this a load counts as not fed: what leaks through inputs and open outputs (own choice).
_DEAD_V = 0.5


def reachable_volts(machine: Machine, operation: Operation, part: Part, element: Loaded) -> list[Reachable]:
    """What can come to lie across an element that no state feeds; nothing for one that is fed in some state."""
    if any(worst_volts(operation, part, element, kind)[0] > _DEAD_V for kind in ("DC", "AC")):
        return []
    return voltages_given(machine, part, element)


class DevicesAhead:
    """The protective devices on the shortest ways from points to the sources that reach them: one walk back from all
    sources tells how far each point lies, and a way leads over the first step of each point that comes nearer."""

    def __init__(self, machine: Machine) -> None:
        self._circuit = machine.circuit
        goals = [pole.node for pole in machine.nets.poles if pole.main]
        came = walk(goals, lambda node: [step for step in self._circuit.steps(node) if self._leads(step[0], node)])
        self._far: dict[Node, int] = {}
        for node, step in came.items():
            self._far[node] = 0 if step is None else self._far[step[0]] + 1
        self._known: dict[Node, tuple[str, ...]] = {}

    def of(self, part: Part, element: Loaded) -> list[str]:
        """Those ahead of both ends of an element, from the sources on, each once."""
        ends = [(part.name, end) for end in (element.a, element.b)]
        return list(dict.fromkeys(name for end in ends for name in self._from(end)))

    def _leads(self, edge: Edge, far: Node) -> bool:
        return isinstance(edge, Inner) or (edge.kind != "shield" and not is_earth_point(self._circuit, far))

    def _from(self, start: Node) -> tuple[str, ...]:
        if start not in self._far:
            return ()
        way, node = [], start
        while self._far[node] and node not in self._known:
            far = self._far[node] - 1
            edge, there = next(
                step for step in self._circuit.steps(node) if self._far.get(step[1]) == far and self._leads(*step)
            )
            way.append((node, edge))
            node = there
        devices = self._known.get(node, ())
        for here, edge in reversed(way):
            if isinstance(edge, Inner) and isinstance(edge.element, Pole):
                devices = (*devices, edge.part)
            self._known[here] = devices
        return devices


def charged_volts(design: Design, part: Part, ends: tuple[str, ...]) -> float:
    """The voltage to which capacitors at some terminals of a part are charged [V]; 0 where nothing feeds them."""
    shorts: list[Short] = [
        design.short_circuits.to_return[part.name, end]
        for end in ends
        if (part.name, end) in design.short_circuits.to_return
    ]
    rails = {rail.rectifier: rail.highest_v for rail in design.unregulated}
    return max((rails.get(short.origin.part, _peak_volts(short)) for short in shorts), default=0.0)


def _peak_volts(short: Short) -> float:
    return short.volts if short.dc else 2.0**0.5 * short.volts
