"""Heat given off in the cabinet part by part, and the temperature that it leads to, in the state that heats most."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Conductor
from wiring.design.conductor.place import is_outside
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.drives import Drive, Inverter, ServoDrive, StepperDrive
from wiring.parts.elements import Coil, Draw, Feed, Input, Output, Resistance
from wiring.parts.loads import Fan
from wiring.parts.motion import stepper_copper_loss
from wiring.parts.motors import Shaft
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Source, Standing
from wiring.rulebooks.enclosure import Enclosure, altitude_offset, highest_inside, inside_temperature
from wiring.solver.assembly import ElementKey
from wiring.solver.operating import OperatingPoint

_INSIDE = ("cabinet", "door")
_MEASURED = Source("measurement at the machine", "", "`measured: {inside: …}`", Standing.ONE_SOURCE)
#: What a thermocouple type K of class 2 may be off [K] (IEC 60584-1:2013, table 1, from memory).
_THERMOMETER_K = 2.5


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


_SECONDS_PER_HOUR = 3600.0
#: Of its rating every device of a building opens within minutes at such a current (IEC 60898-1, 60269-1: 1.45, 1.6; UL
#: 489, 248: 2.0 within minutes; the highest of them).
_OPENS_AT = 2.0


class Inside(Struct, frozen=True):
    """The cabinet in its hottest state. Without the cabinet's data `rise_k` is None and `inside_c` the ambient.

    `device_c` is the temperature that devices are derated for: thin air above 2000 m counts as warmer air.
    `error_k` is the stated error of `inside_c`, and `source` where both stand. `missing` says in words what would be
    needed to compute the rise, empty when it was computed. Where the air was measured the rise is that of the
    measurement, in proportion to the heat, and `computed_c` what cabinet and fan alone would lead to.

    Where the air bears what surely heats it, and would not bear all that may, `unsaid_w` is the power of the parts of
    which the plan does not say how much of it stays in the cabinet; no other figure here counts it.
    """

    state: str
    heat_w: float
    parts_w: Mapping[str, float]
    rise_k: float | None
    inside_c: float
    device_c: float
    missing: str
    source: Source | None = None
    error_k: float = 0.0
    computed_c: float | None = None
    unsaid_w: Mapping[str, float] = {}


def fan_parts(machine: Machine) -> list[Part]:
    """The parts that exchange air with the outside of the cabinet."""
    return [
        part
        for part in machine.parts.values()
        if isinstance(part.data, Fan) and part.data.airflow is not None and part.data.at == "door"
    ]


def fan_m3_h(machine: Machine) -> float:
    """Air that fans exchange with the outside [m3/h]: what the cabinet's `fan` says, else the fans in its door.

    A builder who gives both describes one fan twice: the cabinet's figure is the one with the filter in place. A fan
    that stands inside moves the air there and brings in no other.
    """
    own = machine.plan.enclosure.fan if machine.plan.enclosure else None
    if own is not None:
        return own.airflow * _SECONDS_PER_HOUR
    flows = [getattr(part.data, "airflow", 0.0) for part in fan_parts(machine)]
    return float(sum(flows)) * _SECONDS_PER_HOUR


def described(machine: Machine) -> Enclosure | str:
    """The cabinet as the rulebook wants it, or what is missing."""
    given = machine.plan.enclosure
    if given is None:
        return "the cabinet (`enclosure: {size: …, material: …, mounting: …}`)"
    keys = (("size", given.size), ("material", given.material), ("mounting", given.mounting))
    absent = [key for key, value in keys if value is None]
    if absent or given.size is None or given.material is None or given.mounting is None:
        return f"{' and '.join(absent)} of the cabinet (`enclosure`)"
    return Enclosure(given.size.width, given.size.height, given.size.depth, given.material, given.mounting)


def inside_cabinet(machine: Machine, operation: Operation) -> Inside:
    """Heat and temperature in the cabinet of a machine."""
    lasting = [state for state in operation.state_entries if _lasts(machine, operation, state)]
    by_state = {state: heat_by_part(machine, operation, state) for state in lasting} or {"": {}}
    whole = _computed(machine, by_state)
    measured = machine.plan.measured.inside if machine.plan.measured else None
    if measured is None:
        return _surely(machine, by_state, whole) if _is_too_hot(whole) else whole
    more = max(whole.heat_w / measured.heat, 1.0)  # never less than was measured
    rise_k = more * (measured.temperature - measured.ambient)
    inside_c = machine.ambient_c + rise_k
    return replace(
        whole,
        rise_k=rise_k,
        inside_c=inside_c,
        device_c=inside_c + _offset_k(machine),
        missing="",
        source=_MEASURED,
        error_k=_THERMOMETER_K * more,
        computed_c=None if whole.rise_k is None else whole.inside_c,
    )


def _lasts(machine: Machine, operation: Operation, state: str) -> bool:
    """Whether a state lasts long enough to warm the air: not where a short circuit draws what opens at the building."""
    upstream = machine.plan.mains.upstream if machine.plan.mains else None
    if upstream is None or upstream.rating is None:
        return True
    currents = operation.averages[state].path_current("AC")
    feeds = [(part.name, e.terminal) for part, e in machine.circuit.elements(Feed) if e.conductor not in ("N", "PE")]
    drawn = (abs(currents.get(c.id, 0.0)) for feed in feeds for c in machine.circuit.conductors_at(feed))
    return max(drawn, default=0.0) <= _OPENS_AT * upstream.rating


def _is_too_hot(inside: Inside) -> bool:
    return inside.rise_k is not None and inside.inside_c > highest_inside("electronic").value


def _surely(machine: Machine, by_state: Mapping[str, Mapping[str, float]], whole: Inside) -> Inside:
    """What is too hot with all that may heat it: without what may leave the cabinet, where that is bearable."""
    unsaid = {name for name, part in machine.parts.items() if part.data.passes_on and part.data.heat is None}
    sure = {state: {name: w for name, w in rows.items() if name not in unsaid} for state, rows in by_state.items()}
    least = _computed(machine, sure)
    if _is_too_hot(least):
        return whole
    return replace(least, unsaid_w={name: w for name, w in whole.parts_w.items() if name in unsaid})


def _offset_k(machine: Machine) -> float:
    """By how much thin air counts as warmer for devices [K]."""
    return altitude_offset(_altitude_m(machine)).value


def _altitude_m(machine: Machine) -> float:
    return max(machine.plan.site.altitude or 0.0, 0.0)


def _computed(machine: Machine, by_state: Mapping[str, Mapping[str, float]]) -> Inside:
    """What cabinet, fan and heat of the parts say in the state that heats most, without any measurement."""
    state = max(by_state, key=lambda name: (sum(by_state[name].values()), name))
    heat_w, cabinet = sum(by_state[state].values()), described(machine)
    ambient_c, offset_k = machine.ambient_c, _offset_k(machine)
    unknown = Inside(state, heat_w, by_state[state], None, ambient_c, ambient_c + offset_k, "")
    if isinstance(cabinet, str):
        return replace(unknown, missing=cabinet)
    found = inside_temperature(cabinet, heat_w, ambient_c, _altitude_m(machine), fan_m3_h(machine))
    if isinstance(found, NotTabled):
        return replace(unknown, missing=found.reason)
    return replace(
        unknown,
        rise_k=found.rise_k,
        inside_c=found.inside_c,
        device_c=found.inside_c + offset_k,
        source=found.limit.source,
        error_k=found.error_k,
    )
