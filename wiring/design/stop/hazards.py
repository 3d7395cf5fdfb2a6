"""Which parts can hurt, and where to see whether they are fed: at the part's own inputs, or at its drive."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from msgspec.structs import replace

from wiring.circuit.axes import Axes
from wiring.circuit.model import Circuit
from wiring.control.alive import probe_is_alive
from wiring.control.script import Probe
from wiring.parts.base import Part
from wiring.parts.contacts import split_pair
from wiring.parts.drives import Drive, Inverter
from wiring.parts.elements import Coil, Draw, Input, Output, Resistance
from wiring.parts.loads import ProcessSource, Valve
from wiring.parts.motors import Brake, Shaft
from wiring.solver.operating import OperatingPoint

if TYPE_CHECKING:
    from wiring.design.machine import Machine

#: Below this share of its rated voltage a load is taken as dead (own choice: motors and heaters do nothing there).
DEAD_SHARE = 0.1
#: Above this share of its voltage a signal input is on: 11 V of 24 V, type 3 of IEC 61131-2 (from memory).
_ON_SHARE = 11.0 / 24.0
#: Voltage of a signal input where the plan gives none (common practice) [V].
_USUAL_SIGNAL_V = 24.0


def hazards(circuit: Circuit) -> list[Part]:
    """The parts whose power a stop must remove, in the order of their names."""
    return [part for part in circuit.parts.values() if part.data.is_hazard()]


def moves_people(part: Part) -> bool:
    """Whether a part moves something that hurts at once when it starts: a motor, or a valve that is a hazard."""
    return part.data.is_hazard() and isinstance(part.data, Shaft | Valve)


def drives_of(part: Part, axes: Axes) -> list[Part]:
    """The drives that move a motor; empty for a part that is fed without a drive."""
    return list(axes.drives.get(part.name, ()))


def fed_at(part: Part, axes: Axes) -> list[Part]:
    """Where a part is fed: at the drives that move it, at itself where none does or contacts lead past one."""
    drives = drives_of(part, axes) if isinstance(part.data, Shaft) else []
    return drives if part.name in axes.driven_alone else [*drives, part]


def _drive_probes(drive: Part) -> list[Probe]:
    """Where a drive is fed; with safe torque off inputs it is alive only while all of them are attracted."""
    sto = isinstance(drive.data, Drive) and bool(drive.data.sto)
    coils = [e for e in drive.of(Coil) if e.moves.startswith("sto")]
    needs = tuple((drive.name, coil.moves) for coil in coils) if sto else ()
    return [
        Probe(drive.name, bus.a, bus.b, bus.kind, max(0.5 * bus.lockout_v, 1.0), needs)
        for bus in drive.of(Draw)
        if bus.name == "bus"
    ]


def _load_probes(part: Part) -> list[Probe]:
    found = []
    for element in part.elements:
        match element:
            case Draw() | Input() | Coil():
                kind = element.kind or "DC"
            case Resistance() if element.load:
                kind = element.kind
            case _:
                continue
        dead_v = max(DEAD_SHARE * _rated_volts(part, element), 0.5)
        found.append(Probe(part.name, element.a, element.b, kind, dead_v))
    return found


def probes_of(part: Part, axes: Axes) -> tuple[Probe, ...]:
    """Where to see whether a hazard is fed: a motor through its drive, anything else at its own terminals."""
    fed = fed_at(part, axes)
    return tuple(p for one in fed for p in (_load_probes(one) if one is part else _drive_probes(one)))


def brakes_of(parts: Iterable[Part], stopped: Collection[Part]) -> list[Part]:
    """The brakes that must hold when a stop takes the torque away: those of vertical axes that do not lock."""
    falling = {
        part.name
        for part in stopped
        if isinstance(part.data, Shaft) and part.data.vertical and not part.data.self_locking
    }
    return [part for part in parts if isinstance(part.data, Brake) and part.data.holds in falling]


def brake_probes(brake: Part) -> tuple[Probe, ...]:
    """Where to see whether a brake is held open: its coil, above the voltage at which it falls in."""
    coils = brake.of(Coil)
    return tuple(Probe(brake.name, coil.a, coil.b, coil.kind or "DC", coil.drop_out_v) for coil in coils)


def _rated_volts(part: Part, element: Draw | Input | Coil | Resistance) -> float:
    if isinstance(element, Input):
        return element.low_v
    if isinstance(element, Coil):
        return element.pick_up_v
    rated = getattr(part.data, "rated", None) or getattr(part.data, "voltage", None)
    voltage = getattr(rated, "voltage", rated)
    return float(getattr(voltage, "volts", 0.0))


def is_live(part: Part, axes: Axes, point: OperatingPoint) -> bool:
    """Whether a hazard is fed at an operating point."""
    return any(probe_is_alive(probe, point) for probe in probes_of(part, axes))


def bus_is_fed(drive: Part, point: OperatingPoint) -> bool:
    """Whether a drive has power at its input, whatever keeps it from giving torque."""
    return any(probe_is_alive(replace(probe, needs=()), point) for probe in _drive_probes(drive))


def is_commanded(part: Part, machine: Machine) -> bool:
    """Whether power alone does not set a part to work: its drive, or the source it hangs on, waits for a command."""
    sources = {
        machine.nets.of[other.name, element.plus]
        for other, element in machine.circuit.elements(Output)
        if isinstance(other.data, ProcessSource) and other.data.enable
    }
    waits = isinstance(part.data, ProcessSource) and bool(part.data.enable)
    fed = any(machine.nets.of[part.name, end] in sources for end in part.terminals)
    return waits or fed or bool(drives_of(part, machine.axes))


def run_inputs(part: Part) -> list[tuple[str, str]]:
    """The inputs that tell an inverter to run, as pairs of terminals; all of one whose functions no plan says; and that
    which allows the output of a process source."""
    data = part.data
    if isinstance(data, ProcessSource) and data.enable:
        a, b = split_pair(data.enable)
        return [(data.terminals.get(a, a), data.terminals.get(b, b))]
    if not isinstance(data, Inverter):
        return []
    pairs = [tuple(data.terminals.get(end, end) for end in pair) for pair in data.signal_inputs()]
    return [(a, b) for a, b in pairs if not data.functions or data.functions.get(a) in ("run", "reverse")]


def is_told_to_run(motor: Part, axes: Axes, point: OperatingPoint) -> bool:
    """Whether a run input of a drive of a motor is fed."""
    for drive in drives_of(motor, axes):
        signals = getattr(drive.data, "signals", None)
        on_v = _ON_SHARE * (signals.volts if signals else _USUAL_SIGNAL_V)
        for a, b in run_inputs(drive):
            if abs(point.between((drive.name, a), (drive.name, b), "DC")) > on_v:
                return True
    return False


def waits_for_input(motor: Part, machine: Machine) -> bool:
    """Whether a motor turns only while a run input is fed: that of a drive of which the plan says what its inputs do,
    and that is wired."""
    drives = [drive for drive in drives_of(motor, machine.axes) if getattr(drive.data, "functions", None)]
    return any((drive.name, a) in machine.nets.joined for drive in drives for a, _ in run_inputs(drive))
