"""What braking axes feed back into their DC bus when all of them stop at once, and what falling loads feed back.

The energy of every turning mass goes into the capacitors of the bus, for a supply cannot take it back. Losses are left
out, so the voltage is an upper bound. A motor on an inverter that runs down without power, by its data and every stop,
gives nothing back: the ramp of its inverter, which no plan knows, keeps the bus where it is. A load that is lowered
gives torque times speed for as long as it is lowered; of that, what the drives of the bus take anyway is used up. A
screw that holds its load by itself gives nothing back.
"""

from __future__ import annotations

from math import inf

from msgspec import Struct

from wiring.design.fault.records import ShortCircuits
from wiring.design.machine import Machine
from wiring.design.motor.bus_rails import BusRail, bus_rails, choppers_on, clamp_of
from wiring.design.motor.demands import Moment, demands_in, work_in
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.bus import bus_rise, rotating_energy
from wiring.parts.drives import Inverter
from wiring.parts.motors import Shaft
from wiring.plan.models import StateEntry


class Bus(Struct, frozen=True):
    """One bus in the state that feeds most back into it. Voltages in V, `energy_j` in J, `capacitance_f` in F.

    `source` is the supply of a common DC rail, or the drive itself where it rectifies the mains. `limit_v` is the
    lowest voltage that a part on the bus bears, `limit_part` that part; `clamp_v` where a braking chopper sets in
    (infinite: none). `missing` are (part, key) that the plan would have to give.

    `descent_w` is what lowered loads feed back [W], in the state with most of it, and `lasting_w` the most of it over
    time that is left over, each weighed with its duty; `idle_w` what drives take at rest.
    `choppers` are the parts on the bus that burn what it cannot keep.
    """

    source: str
    drives: tuple[str, ...]
    motors: tuple[str, ...]
    state: str
    energy_j: float
    capacitance_f: float
    volts: float
    reached_v: float
    clamp_v: float
    limit_v: float
    limit_part: str
    limit_key: str
    missing: tuple[tuple[str, str], ...]
    descent_w: float = 0.0
    lasting_w: float = 0.0
    idle_w: float = 0.0
    choppers: tuple[str, ...] = ()

    @property
    def surplus_w(self) -> float:
        """Power that lowered loads leave over for as long as they are lowered [W]."""
        return max(self.descent_w - self.idle_w, 0.0)


def _speed(entry: StateEntry | None, motor: Part) -> float | None:
    """Speed in a state [rad/s], 0 at rest, None where the plan gives none."""
    if entry is None or entry.mode in ("hold", "off"):
        return 0.0
    speed = work_in(entry, motor).speed
    return None if speed is None else abs(speed)


def _driven_w(entry: StateEntry | None, motor: Part) -> float:
    """Power with which the load drives the motor in a state [W]: speed and torque have opposite signs."""
    if entry is None or entry.mode in ("hold", "off"):
        return 0.0
    work = work_in(entry, motor)
    return max(0.0, -(work.speed or 0.0) * (work.torque or 0.0))


def _coasts(machine: Machine, drive: Part, motor: Part) -> bool:
    """Whether a motor on an inverter runs down by itself, by its data and every stop, and nothing can brake it."""
    data = motor.data
    assert isinstance(data, Shaft)
    braked = not isinstance(drive.data, Inverter) or drive.data.braking
    return bool(data.run_down) and not braked and all(stop.category == 0 for stop in machine.plan.stops.values())


def _energy(
    machine: Machine, drive: Part, motor: Part, entry: StateEntry | None
) -> tuple[float, list[tuple[str, str]]]:
    """Energy of a motor and its load in a state [J], and what is missing to know it."""
    data = motor.data
    assert isinstance(data, Shaft)
    speed = _speed(entry, motor)
    if data.self_locking or speed == 0.0 or _coasts(machine, drive, motor):
        return 0.0, []
    missing = [
        (motor.name, key)
        for key, value in (("rotor_inertia", data.rotor_inertia), ("load_inertia", data.load_inertia))
        if value is None
    ]
    if speed is None:
        speed, missing = data.max_speed or 0.0, missing if data.max_speed else [*missing, (motor.name, "work: speed")]
    return rotating_energy((data.rotor_inertia or 0.0) + (data.load_inertia or 0.0), speed), missing


def _descent(motor: Part, entry: StateEntry | None) -> tuple[float, list[tuple[str, str]]]:
    """Power that a load feeds back in a state [W], by its weight or by a torque against its speed; what is missing."""
    data = motor.data
    assert isinstance(data, Shaft)
    speed, driven_w = _speed(entry, motor), _driven_w(entry, motor)
    if data.self_locking or speed == 0.0:
        return 0.0, []
    if not data.vertical:
        return driven_w, []
    if data.gravity_torque is None:
        return driven_w, [(motor.name, "gravity_torque")]
    if speed is None and data.max_speed is None:
        return driven_w, [(motor.name, "work: speed")]
    return max(driven_w, abs(data.gravity_torque) * (speed if speed is not None else data.max_speed or 0.0)), []


def _idle_power(machine: Machine, rail: BusRail) -> float:
    """What the drives of a bus take while their motors hold [W]; steppers with their winding loss."""
    demand = demands_in(machine.circuit, machine.axes, {}, Moment.WORK).demand
    drives = {axis.drive.name for axis in rail.axes}
    return sum(row.watts or 0.0 for (part, _), row in demand.items() if part in drives)


class _Returned(Struct, frozen=True):
    """The most that comes back in any state, as energy of stops with the state, and as power of lowered loads, at once
    and over time."""

    energy_j: float
    state: str
    descent_w: float
    lasting_w: float
    missing: frozenset[tuple[str, str]]


def _returned(machine: Machine, operation: Operation, rail: BusRail) -> _Returned:
    best: tuple[float, str] = (-1.0, "")
    descent_w = lasting_w = 0.0
    missing: set[tuple[str, str]] = set()
    for state, entries in operation.state_entries.items():
        energy_j = falling_w = weighed_w = 0.0
        for drive, motor in ((axis.drive, motor) for axis in rail.axes for motor in axis.motors):
            entry = entries.get(motor.name)
            joules, unknown = _energy(machine, drive, motor, entry)
            watts, unweighed = _descent(motor, entry)
            energy_j, falling_w = energy_j + joules, falling_w + watts
            weighed_w += watts * (work_in(entry, motor).duty if entry is not None else 0.0)
            missing.update(unknown, unweighed)
        best = max(best, (energy_j, state), key=lambda row: row[0])
        descent_w, lasting_w = max(descent_w, falling_w), max(lasting_w, weighed_w)
    return _Returned(*best, descent_w, lasting_w, frozenset(missing))


def _reached(rail: BusRail, returned: _Returned, surplus: bool, clamp_v: float) -> float:
    """Voltage that a bus reaches [V]: the rise of its capacitors, held at its clamp; infinite where nothing ends it."""
    if returned.energy_j == 0.0 and not surplus:
        return rail.volts
    rise = inf
    if rail.capacitance_f > 0.0 and not surplus:
        rise = bus_rise(rail.volts, returned.energy_j, rail.capacitance_f)
    return min(rise, max(clamp_v, rail.volts))


def braking_buses(machine: Machine, operation: Operation, faults: ShortCircuits) -> tuple[Bus, ...]:
    """Every bus with axes on it, by the name of its source."""
    found = []
    for rail in bus_rails(machine, faults):
        returned = _returned(machine, operation, rail)
        missing = set(returned.missing)
        clamp = clamp_of(machine, faults, rail)
        limit, part, key = min(rail.limits, default=(inf, "", ""))
        if rail.capacitance_f <= 0.0:
            missing |= {(axis.drive.name, "bus_capacitance") for axis in rail.axes}
        if not part:
            missing |= {(axis.drive.name, "bus_limit") for axis in rail.axes}
        idle_w = _idle_power(machine, rail) if returned.descent_w else 0.0
        found.append(
            Bus(
                rail.source,
                tuple(axis.drive.name for axis in rail.axes),
                tuple(motor.name for axis in rail.axes for motor in axis.motors),
                returned.state,
                returned.energy_j,
                rail.capacitance_f,
                rail.volts,
                _reached(rail, returned, returned.descent_w > idle_w, clamp),
                clamp,
                limit,
                part,
                key,
                tuple(sorted(missing)),
                returned.descent_w,
                max(returned.lasting_w - idle_w, 0.0),
                idle_w,
                choppers_on(machine, faults, rail),
            )
        )
    return tuple(found)
