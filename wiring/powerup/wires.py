"""Every conductor end to end, and the poles of the main switch, on the dead machine."""

from __future__ import annotations

from wiring.circuit.model import Conductor, named
from wiring.parts.base import Part
from wiring.parts.elements import Function, Switch
from wiring.parts.motors import Motor, Shaft
from wiring.parts.protection import Disconnector
from wiring.powerup.bonding import way_between
from wiring.powerup.builder import Builder, practice
from wiring.powerup.step import Meter, Setting, Sort, Stage, Who

#: Room for the leads and clips of a meter [ohm], and for the length of a conductor.
LEADS_OHM, LENGTH_SHARE = 0.3, 0.2
#: Terminals joined by less than this are one point for an ohmmeter [ohm].
JOINED_OHM = 1.0


def wires(to: Builder) -> None:
    """Every conductor that no other line measures, from end to end with the protective devices out."""
    seen = _seen_elsewhere(to)
    rest = [wire for wire in to.design.circuit.conductors if wire.kind != "shield" and wire.id not in seen]
    if rest:
        to.ohms(
            Stage.POLARITY,
            all_off_setting(to),
            [wire.ends for wire in rest],
            [f"{_told(wire)} end to end" for wire in rest],
            "open, a loose joint, or an end in the neighbour's terminal: follow the number on it",
            LENGTH_SHARE,
            LEADS_OHM,
        )


def _told(wire: Conductor) -> str:
    return f"Wire {wire.number}" + (f", piece {wire.id}" if wire.id != wire.number and wire.kind == "wire" else "")


def all_out_setting(to: Builder) -> Setting:
    """Dead, with every protective device out."""
    return Setting(False, to.survey.poles(list(to.survey.devices)))


def all_off_setting(to: Builder) -> Setting:
    """The same with the main switch off, so that a conductor at the wrong side of a pole shows."""
    switches = {part.name for part in to.design.parts.values() if isinstance(part.data, Disconnector)}
    return Setting(False, all_out_setting(to).opened, moved=frozenset((name, "handle") for name in switches))


def _seen_elsewhere(to: Builder) -> set[str]:
    """Conductors on the way of a line with small resistance: protective ones, feeds and returns, motor cores.

    One at a protective device or main switch is never seen there: in a closed device its two sides are one point.
    """
    found = {wire for wire in to.survey.motor_wires if is_seen_with_winding(to, wire)}
    for line in to.lines:
        measured = line.stage in (Stage.SHORTS, Stage.POLARITY, Stage.BOND) and line.expected.sort is Sort.VALUE
        tells_joints = measured and line.expected.high - (line.expected.value or 0.0) < JOINED_OHM
        if tells_joints and line.red and line.black:
            found |= {wire.id for wire in way_between(to, line.red, line.black)}
    closed = set(to.survey.devices) | {
        part.name for part in to.design.parts.values() if isinstance(part.data, Disconnector)
    }
    at_device = {wire.id for wire in to.design.circuit.conductors if {end[0] for end in wire.ends} & closed}
    return found - at_device


def measured_ways(to: Builder) -> set[str]:
    """The conductors on the ways of metal that the main sheet measures from end to end."""
    lines = [line for line in to.lines if line.meter is Meter.OHM and line.expected.sort is Sort.VALUE]
    ways = [(line.red, line.black) for line in lines if not line.annex]
    return {wire.id for a, b in ways if a and b for wire in way_between(to, a, b)}


def is_seen_with_winding(to: Builder, wire: str) -> bool:
    """Whether a conductor of a motor is measured through a winding of which the plan tells the resistance."""
    if wire not in to.survey.motor_wires:
        return False
    ends = [(to.design.parts[name], terminal) for name, terminal in to.design.circuit.conductor[wire].ends]
    motors = [part.data for part, name in ends if isinstance(part.data, Shaft) and is_winding(part, name)]
    known = (not isinstance(motor, Motor) and getattr(motor, "phase_resistance", 1.0) is not None for motor in motors)
    return bool(motors) and all(known)


def is_winding(motor: Part, terminal: str) -> bool:
    """Whether a winding ends at a terminal of a motor; an encoder on the shaft has terminals there too."""
    return motor.terminals[terminal].function is Function.MOTOR


def main_switch(to: Builder) -> None:
    """Past every pole of the main switch while it is off, between the far ends of the conductors at it: one in the
    neighbour's terminal shows as well as a pole that does not open."""
    for part in to.design.parts.values():
        poles = [element for element in part.elements if isinstance(element, Switch) and element.actuator == "handle"]
        if not isinstance(part.data, Disconnector) or not poles:
            continue
        ends = [(to.survey.beyond((part.name, pole.a)), to.survey.beyond((part.name, pole.b))) for pole in poles]
        to.ohms(
            Stage.MAINS,
            all_off_setting(to),
            ends,
            [
                f"{part.title} ({part.name}) off: past pole {pole.name}, {named(a)} to {named(b)}"
                for pole, (a, b) in zip(poles, ends, strict=True)
            ],
            "a pole does not open, or a conductor goes past the switch",
            practice("coil_resistance"),
            rows=[(f"{part.title} ({part.name}) off: past every pole", f"{named(a)} to {named(b)}") for a, b in ends],
            who=Who.QUALIFIED,
        )
