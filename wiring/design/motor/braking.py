"""What braking resistors must turn into heat: at every stop, and while a load is lowered."""

from __future__ import annotations

from collections.abc import Iterable
from math import sqrt

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.motor.bus_rails import braking_resistors
from wiring.design.motor.regeneration import Bus
from wiring.design.stop.stops import targets
from wiring.parts.bus import braking_resistor_rating, stored_energy
from wiring.parts.drives import BusChopper, Drive
from wiring.parts.motors import BrakingResistor


class BrakingDuty(Struct, frozen=True):
    """One braking resistor behind the chopper of one drive, or one chopper on a bus, which is its own `drive` then.
    Powers in W, `energy_j` of one stop in J.

    `pulse_w` is what the resistor turns into heat while the chopper is on, `stops_w` the rating that its stops ask for,
    0 without any; each None where `missing`, (part, key), would have to tell. `lasting_w` is what it turns into heat
    without end: what lowered loads feed back, weighed with their duty, and the mean of the stops. `ramp_w` is what the
    stop `braked_by` feeds back at first, where it brakes within `braked_s`; `untimed` are stops that do not say in what
    time they brake.
    """

    resistor: str
    drive: str
    motors: tuple[str, ...]
    clamp_v: float | None
    pulse_w: float | None
    energy_j: float | None
    descent_w: float
    lasting_w: float
    stops_w: float | None
    missing: tuple[tuple[str, str], ...]
    ramp_w: float = 0.0
    braked_by: str = ""
    braked_s: float = 0.0
    untimed: tuple[str, ...] = ()


def _stop_energy(bus: Bus, clamp_v: float) -> float:
    """What is left of a stop when the capacitors have risen to the clamp [J]."""
    kept = stored_energy(bus.capacitance_f, clamp_v) - stored_energy(bus.capacitance_f, min(bus.volts, clamp_v))
    return max(bus.energy_j - kept, 0.0)


def _ramp_power(bus: Bus, energy_j: float, seconds: float) -> float:
    """What an even ramp feeds back when the capacitors have risen to the clamp [W].

    Speed falls in proportion to time, so P = 2 E / t x (1 - s / t), and what is left is E (1 - s / t)².
    """
    return 2.0 * sqrt(bus.energy_j * energy_j) / seconds


def _braking_stops(machine: Machine, bus: Bus) -> tuple[tuple[str, float | None], ...]:
    """The stops that brake a motor of a bus before its power goes, each with the time that it has [s]."""
    return tuple(
        (name, stop.delay)
        for name, stop in machine.plan.stops.items()
        if stop.category == 1 and {part.name for part in targets(machine.circuit, stop)} & set(bus.motors)
    )


def _for_stops(data: BrakingResistor | BusChopper, energy_j: float) -> float | None:
    """The rating that stops ask for [W]; None where there are some and their cycle is not known."""
    if energy_j == 0.0:
        return 0.0
    return braking_resistor_rating(energy_j, data.cycle) if data.cycle is not None else None


def _duty(machine: Machine, bus: Bus, drive: str, resistor: str) -> BrakingDuty:
    data, clamp_v = machine.parts[resistor].data, None
    assert isinstance(data, BrakingResistor | BusChopper)
    setting = machine.parts[drive].data
    if isinstance(setting, Drive | BusChopper):
        clamp_v = setting.clamp
    inertia = {row for row in bus.missing if row[0] in bus.motors}
    missing = inertia | ({(drive, "clamp")} if clamp_v is None else set())
    energy_j = stops_w = None
    lasting_w = bus.lasting_w
    if not missing and clamp_v is not None:
        energy_j = _stop_energy(bus, clamp_v)
        stops_w = _for_stops(data, energy_j)
        lasting_w += energy_j / data.cycle if data.cycle is not None else 0.0
        if stops_w is None:
            missing.add((resistor, "cycle"))
    pulse_w = None if clamp_v is None or data.resistance is None else clamp_v**2 / data.resistance
    unknown = [key for key in ("power", "resistance") if getattr(data, key) is None]
    if energy_j is None or energy_j > 0.0 or bus.surplus_w > 0.0:
        missing |= {(resistor, key) for key in unknown}
    if pulse_w is not None and data.power is not None and pulse_w > data.power and data.peak_power is None:
        missing.add((resistor, "peak_power"))
    stops = _braking_stops(machine, bus) if energy_j else ()
    braked_s, braked_by = min(((delay, name) for name, delay in stops if delay), default=(0.0, ""))
    return BrakingDuty(
        resistor,
        drive,
        bus.motors,
        clamp_v,
        pulse_w,
        energy_j,
        bus.surplus_w,
        lasting_w,
        stops_w,
        tuple(sorted(missing)),
        _ramp_power(bus, energy_j, braked_s) if energy_j and braked_s else 0.0,
        braked_by,
        braked_s,
        tuple(name for name, delay in stops if not delay),
    )


def braking_duties(machine: Machine, buses: Iterable[Bus]) -> tuple[BrakingDuty, ...]:
    """The duty of every braking resistor that is wired to a drive with an axis, and of every chopper on a bus."""
    found = []
    for bus in buses:
        found += [
            _duty(machine, bus, drive, resistor)
            for drive in bus.drives
            for resistor in braking_resistors(machine, machine.parts[drive])
        ]
        found += [_duty(machine, bus, chopper, chopper) for chopper in bus.choppers]
    return tuple(found)
