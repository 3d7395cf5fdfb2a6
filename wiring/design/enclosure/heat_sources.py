"""Heat given off in the cabinet in each state, part by part, from the averaged operating points."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from wiring.circuit.model import Conductor
from wiring.design.conductor.place import is_outside
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.drives import Drive, Inverter, ServoDrive, StepperDrive
from wiring.parts.elements import Coil, Draw, Input, Output, Resistance
from wiring.parts.motion import stepper_copper_loss
from wiring.parts.motors import Shaft
from wiring.solver.assembly import ElementKey
from wiring.solver.operating import OperatingPoint

_INSIDE = ("cabinet", "door")


class _Heat:
    """The heat of one state."""

    def __init__(self, machine: Machine, operation: Operation, state: str) -> None:
        self.machine, self.entries = machine, operation.state_entries[state]
        self.point: OperatingPoint = operation.averages[state]
        self.amps = {kind: self.point.element_current(kind) for kind in ("DC", "AC")}

    def power(self, key: ElementKey, a: str, b: str, kind: str) -> float:
        """Real power between two terminals of a part [W]."""
        total = 0.0
        for frequency in (kind,) if kind else ("DC", "AC"):
            amps = self.amps[frequency].get(key)
            if amps is None:
                continue
            layer = self.point.layer(frequency)
            first = layer.volts[self.point.lowered.index[key[0], a]]
            second = layer.volts[self.point.lowered.index[key[0], b]]
            if first is None or second is None:
                total += abs(amps) * abs(self.point.between((key[0], a), (key[0], b), frequency))
            else:
                total += ((first - second) * complex(amps).conjugate()).real
        return abs(total)

    def converter(self, part: Part) -> float:
        taken = sum(
            self.point.input_w.get((part.name, n), 0.0) for n, e in enumerate(part.elements) if isinstance(e, Input)
        )
        given = sum(
            self.power((part.name, n), e.plus, e.minus, e.kind)
            for n, e in enumerate(part.elements)
            if isinstance(e, Output)
        )
        return max(taken - given, 0.0)

    def drive(self, part: Part) -> float:
        data = part.data
        watts = sum(
            self.power((part.name, n), e.a, e.b, e.kind)
            for n, e in enumerate(part.elements)
            if isinstance(e, Draw) and e.name == "bus"
        )
        if watts <= 0.0:
            return 0.0
        if isinstance(data, StepperDrive):
            running = any(self.moves(motor) for motor in self.machine.axes[part.name].motors)
            peak_a = data.phase_current.peak_a * (1.0 if running else data.hold_current)
            return min(watts, data.quiescent + stepper_copper_loss(peak_a, data.bridge_resistance))
        assert isinstance(data, ServoDrive | Inverter)
        return min(watts, data.quiescent + (watts - data.quiescent) * (1.0 - data.efficiency))

    def moves(self, motor: Part) -> bool:
        entry = self.entries.get(motor.name)
        return entry is not None and (entry.mode or "run") == "run"

    def part(self, part: Part) -> float:
        """Heat of one part in the cabinet [W]."""
        data = part.data
        if data.heat is not None:
            return data.heat
        if isinstance(data, Shaft):
            return 0.0
        total = self.drive(part) if isinstance(data, Drive) else 0.0
        if any(isinstance(e, Input) for e in part.elements):
            total += self.converter(part)
        for n, element in enumerate(part.elements):
            match element:
                case Coil() | Resistance():
                    total += self.power((part.name, n), element.a, element.b, element.kind)
                case Draw() if element.name != "bus":
                    total += self.power((part.name, n), element.a, element.b, element.kind)
        return total

    def paths(self) -> float:
        """Heat of conductors, contacts and protective devices in the cabinet [W]."""
        dc, ac = self.point.path_current("DC"), self.point.path_current("AC")
        total = 0.0
        for edge in self.point.lowered.edges:
            if isinstance(edge.source, Conductor):
                inside = edge.source.cable is None and not is_outside(self.machine, edge.source)
            else:
                inside = self.machine.parts[edge.source.part].data.at in _INSIDE
            if inside:
                amps = hypot(abs(dc.get(edge.id, 0.0)), abs(ac.get(edge.id, 0.0)))
                total += amps * amps * edge.ohm
        return total


def heat_by_part(machine: Machine, operation: Operation, state: str) -> Mapping[str, float]:
    """Heat of every part in the cabinet in a state [W], conductors and contacts together under "conductors"."""
    heat = _Heat(machine, operation, state)
    rows = {name: heat.part(part) for name, part in machine.parts.items() if part.data.at in _INSIDE}
    rows["conductors"] = heat.paths()
    return {name: watts for name, watts in rows.items() if watts > 0.0}
