"""What the solved machine asks of a rated key: from the operating points and the plan, by no rule.

Currents and voltages are those of the operating points, the voltage of a contact that of the rails at it; torque, speed
and power follow from the states (P = T w). Each function gives SI, or None where the machine asks for nothing there: a
contact without a current, a supply that feeds nothing, a motor that never runs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import hypot

from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.elements import Draw, Input, Output, Pole, Switch
from wiring.parts.motors import Motor, Shaft, StepperMotor
from wiring.parts.protection import Disconnector
from wiring.parts.storage import Charger

Asked = Callable[[Design, Part], float | None]
#: Below this a current is what leaks through inputs and meters [A].
_LEAST_A = 1e-3


def _most(values: Iterable[float]) -> float | None:
    most = max(values, default=0.0)
    return most if most > 0.0 else None


def _paths(design: Design, ids: Iterable[str]) -> float | None:
    """The largest current of some paths over the states [A]."""
    names = list(ids)
    points = [(p.path_current("DC"), p.path_current("AC")) for p in design.states.values()]
    amps = _most(hypot(abs(dc.get(one, 0.0)), abs(ac.get(one, 0.0))) for dc, ac in points for one in names)
    return amps if amps is not None and amps > _LEAST_A else None


def _inner(design: Design, part: Part, *kinds: type) -> list[str]:
    wired = design.nets.joined
    return [
        path.id
        for path in design.circuit.inner
        if path.part == part.name and isinstance(path.element, kinds) and {path.a, path.b} <= wired
    ]


def contact_a(design: Design, part: Part) -> float | None:
    """Current of its contacts; direct current asks for the rating for it alone, where there is one."""
    if getattr(part.data, "dc_rated", None) is not None and rail_kinds(design, part) == {"DC"}:
        return None
    return _paths(design, _inner(design, part, Switch))


def pole_a(design: Design, part: Part) -> float | None:
    """Current of its poles."""
    return _paths(design, _inner(design, part, Pole))


def wire_a(design: Design, part: Part) -> float | None:
    """The largest current that one conductor brings to it."""
    return _paths(design, (c.id for end in part.terminals for c in design.circuit.conductors_at((part.name, end))))


def through_a(design: Design, part: Part) -> float | None:
    """Current that enters at one of its terminals, over all conductors there."""
    found = []
    for point in design.states.values():
        for end in part.terminals:
            node = (part.name, end)
            wires = [c for c in design.circuit.conductors_at(node) if c.kind != "shield"]
            sums = (sum(p.get(c.id, 0.0) * (1 if c.a == node else -1) for c in wires) for p in _currents(point))
            found.append(hypot(*(abs(one) for one in sums)))
    amps = _most(found)
    return amps if amps is not None and amps > _LEAST_A else None


def _currents(point: object) -> tuple[dict[str, complex], dict[str, complex]]:
    return point.path_current("DC"), point.path_current("AC")  # type: ignore[attr-defined]


def output_a(design: Design, part: Part) -> float | None:
    """Current of its own output; a charger gives what it limits itself to, and asks for nothing."""
    if isinstance(part.data, Charger):
        return None
    keys = [(part.name, n) for n, e in enumerate(part.elements) if isinstance(e, Output)]
    found = (
        abs(p.element_current(kind).get(key, 0.0))
        for p in design.states.values()
        for kind in ("DC", "AC")
        for key in keys
    )
    amps = _most(found)
    return amps if amps is not None and amps > _LEAST_A else None


def output_va(design: Design, part: Part) -> float | None:
    """Apparent power of its own output."""
    amps = output_a(design, part)
    volts = getattr(part.data, "secondary", None)
    return amps * volts.volts if amps is not None and volts is not None else None


def rail_kinds(design: Design, part: Part) -> set[str]:
    """The kinds of voltage of the rails at its poles."""
    ends = [(part.name, end) for switch in part.of(Switch) for end in (switch.a, switch.b)]
    return {design.levels[rail].kind for end in ends for rail in design.roles.rails[end] if rail in design.levels}


def rail_v(design: Design, part: Part) -> float | None:
    """The voltage to earth or return of the rails at it, the least of those that are worth a rating."""
    rails = {rail for end in part.terminals for rail in design.roles.rails[part.name, end]}
    return _most(min(design.levels[r].earth_v, design.levels[r].volts) for r in rails if r in design.levels)


def load_v(design: Design, part: Part) -> float | None:
    """The voltage across what takes power in it."""
    found = []
    for element in part.elements:
        if isinstance(element, Draw | Input) or type(element).__name__ in ("Coil", "Resistance"):
            ends = (part.name, element.a), (part.name, element.b)
            found += [abs(p.between(*ends, kind)) for p in design.states.values() for kind in ("DC", "AC")]
    volts = _most(found)
    return volts if volts is not None and volts > 1.0 else None


def short_a(design: Design, part: Part) -> float | None:
    """Half of the short-circuit current at it: the loop of a far short is at most twice as long in a cabinet."""
    row = design.short_circuits.devices.get(part.name)
    return 0.5 * row.nearest.highest.initial_a if row is not None else None


def _works(design: Design, part: Part) -> list[tuple[float | None, float | None, float | None]]:
    """Torque, speed and power of every state that runs a motor, without sign."""
    found = []
    for entries in design.state_entries.values():
        entry = entries.get(part.name)
        if entry is None or entry.mode in ("hold", "off") or not isinstance(part.data, Shaft):
            continue
        base = part.data.work
        values = [getattr(entry, key, None) for key in ("torque", "speed", "power")]
        own = [getattr(base, key, None) for key in ("torque", "speed", "power")]
        torque, speed, power = (
            abs(a) if a is not None else abs(b) if b is not None else None for a, b in zip(values, own, strict=True)
        )
        if power is None and torque is not None and speed is not None:
            power = torque * speed
        found.append((torque, speed, power))
    return found


def work_torque(design: Design, part: Part) -> float | None:
    """Torque of its work."""
    return _most(torque for torque, _, _ in _works(design, part) if torque is not None)


def work_speed(design: Design, part: Part) -> float | None:
    """Speed of its work."""
    return _most(speed for _, speed, _ in _works(design, part) if speed is not None)


def work_power(design: Design, part: Part) -> float | None:
    """Power of its work, beyond its service factor."""
    power = _most(power for _, _, power in _works(design, part) if power is not None)
    factor = (part.data.service_factor or 1.0) if isinstance(part.data, Motor) else 1.0
    return power / factor if power is not None else None


def driven_power(design: Design, part: Part) -> float | None:
    """Power of the work of the motors on a drive."""
    axis = design.axes.get(part.name)
    return _most(work_power(design, motor) or 0.0 for motor in axis.motors) if axis else None


def driven_a(design: Design, part: Part) -> float | None:
    """Rated currents of the motors on a drive together, effective values."""
    axis = design.axes.get(part.name)
    found = [getattr(motor.data, "rated_current", None) for motor in axis.motors] if axis else []
    amps = [one if isinstance(one, float) else one.rms_a for one in found if one is not None]
    return sum(amps) or None


def setting_a(design: Design, part: Part) -> float | None:
    """The setting of the drive of a stepper motor, effective value; a twentieth is the coarseness of its switches."""
    for axis in design.axes.values():
        if part in axis.motors and len(axis.motors) == 1:
            current = getattr(axis.drive.data, "phase_current", None)
            return current.rms_a / 1.06 if current is not None else None
    return None


def stepper_a(design: Design, part: Part) -> float | None:
    """Three quarters of the rating of the motor on a stepper drive: below it the torque is gone."""
    axis = design.axes.get(part.name)
    motors = [motor.data for motor in axis.motors] if axis else []
    return 0.75 * motors[0].phase_current.rms_a if len(motors) == 1 and isinstance(motors[0], StepperMotor) else None


def held_torque(design: Design, part: Part) -> float | None:
    """Torque of the weight that a brake holds."""
    held = design.parts.get(getattr(part.data, "holds", ""))
    torque = held.data.gravity_torque if held is not None and isinstance(held.data, Shaft) else None
    return abs(torque) if torque else None


def ahead_a(design: Design, part: Part) -> float | None:
    """The rating of the fuse or breaker that the current of a drive passes last."""
    shorts = [short for short in design.short_circuits.at_part.get(part.name, ()) if short.devices]
    known = design.short_circuits.known
    return _most(known[short.devices[-1]].rating_a for short in shorts if short.devices[-1] in known)


def guarded_a(design: Design, part: Part) -> float | None:
    """The rating of the device that limits the current of its conductors."""
    wires = (c.id for end in part.terminals for c in design.circuit.conductors_at((part.name, end)))
    return _most(one.rating_a for wire in wires if (one := design.protections.get(wire)) is not None)


def charging_a(design: Design, part: Part) -> float | None:
    """What the chargers of the plan give together."""
    return _most([sum(one.data.rated for one in design.parts.values() if isinstance(one.data, Charger))])


def bus_v(design: Design, part: Part) -> float | None:
    """The voltage that feeds a drive; at the mains the peak of it."""
    short = next(iter(design.short_circuits.at_part.get(part.name, ())), None)
    return None if short is None else short.volts * (1.0 if short.dc else 2.0**0.5)


def thickest_mm2(design: Design, part: Part) -> float | None:
    """The thickest conductor at its terminals [mm2]."""
    found = (c for end in part.terminals for c in design.circuit.conductors_at((part.name, end)))
    return _most(c.size.area_mm2 for c in found if c.size is not None and c.kind != "shield")


def most_wires(design: Design, part: Part) -> float | None:
    """The most conductors at one terminal."""
    at_one = [sum(c.kind != "shield" for c in design.circuit.conductors_at((part.name, end))) for end in part.terminals]
    return _most(float(one) for one in at_one)


def inrush_a(design: Design, part: Part) -> float | None:
    """What it closes on at once, by the data of the parts behind it."""
    switch = isinstance(part.data, Disconnector)
    rows = [row for row in design.inrushes if part.name in row.contacts and not (switch and row.moment)]
    lines = {row.line for row in rows}
    return _most(sum(row.amps or 0.0 for row in rows if row.line == line) for line in lines)


def nearly_nothing(design: Design, part: Part) -> float | None:
    """A thousandth of an ampere, volt or watt, for what follows from no single point: peaks, outputs, braking."""
    return 1e-3 if any((part.name, end) in design.nets.joined for end in part.terminals) else None
