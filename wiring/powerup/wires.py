"""Every conductor end to end, terminals that must be apart, and the poles of the main switch, on the dead machine."""

from __future__ import annotations

from itertools import pairwise

from wiring.circuit.model import Conductor, Node, named
from wiring.parts.elements import Switch
from wiring.parts.motors import Motor, Shaft
from wiring.parts.protection import Disconnector
from wiring.powerup.bonding import way_between
from wiring.powerup.builder import Builder, practice
from wiring.powerup.ohms import measure
from wiring.powerup.step import Meter, Setting, Sort, Stage

#: Room for the leads and clips of a meter [ohm], and for the length of a conductor.
_LEADS_OHM, _LENGTH = 0.3, 0.2
#: Terminals joined by less than this are one point for an ohmmeter [ohm].
_JOINED_OHM = 1.0


def wires(to: Builder) -> None:
    """Every conductor that no other line measures, from end to end with the protective devices out."""
    seen = _seen_elsewhere(to)
    rest = [wire for wire in to.design.circuit.conductors if wire.kind != "shield" and wire.id not in seen]
    if rest:
        to.ohms(
            Stage.POLARITY,
            all_off(to),
            [wire.ends for wire in rest],
            [f"{_told(wire)} end to end" for wire in rest],
            "open, a loose joint, or an end in the neighbour's terminal: follow the number on it",
            _LENGTH,
            _LEADS_OHM,
        )


def _told(wire: Conductor) -> str:
    return f"Wire {wire.number}" + (f", piece {wire.id}" if wire.id != wire.number and wire.kind == "wire" else "")


def all_out(to: Builder) -> Setting:
    """Dead, with every protective device out."""
    return Setting(False, to.survey.poles(list(to.survey.devices)))


def all_off(to: Builder) -> Setting:
    """The same with the main switch off, so that a conductor at the wrong side of a pole shows."""
    switches = {part.name for part in to.design.parts.values() if isinstance(part.data, Disconnector)}
    return Setting(False, all_out(to).opened, moved=frozenset((name, "handle") for name in switches))


def _seen_elsewhere(to: Builder) -> set[str]:
    """Conductors on the way of a line with small resistance: protective ones, feeds and returns, motor cores.

    One at a protective device is never seen there: in a closed device its two sides are one point.
    """
    found = {wire for wire in to.survey.motor_wires if not _of_unknown_winding(to, wire)}
    for line in to.lines:
        measured = line.stage in (Stage.POLARITY, Stage.BOND) and line.expected.sort is Sort.VALUE
        if measured and line.red and line.black:
            found |= {wire.id for wire in way_between(to, line.red, line.black)}
    at_device = {
        wire.id for wire in to.design.circuit.conductors if {end[0] for end in wire.ends} & set(to.survey.devices)
    }
    return found - at_device


def _of_unknown_winding(to: Builder, wire: str) -> bool:
    """Whether a conductor of a motor is measured through a winding of which the plan tells no resistance."""
    ends = {end[0] for end in to.design.circuit.conductor[wire].ends}
    motors = [part.data for name, part in to.design.parts.items() if name in ends and isinstance(part.data, Shaft)]
    return any(isinstance(motor, Motor) or getattr(motor, "phase_resistance", 1.0) is None for motor in motors)


def apart(to: Builder) -> None:
    """Neighbouring terminals with conductors of different nets, where no other line measures between the two nets."""
    nets = to.design.nets.of
    covered = {
        frozenset((nets[line.red], nets[line.black]))
        for line in to.lines
        if line.meter is Meter.OHM and line.red and line.black and line.stage is Stage.SHORTS
    }
    pairs: list[tuple[Node, Node]] = []
    for part in to.design.parts.values():
        for first, second in pairwise(part.terminals):
            ends = (part.name, first), (part.name, second)
            key = frozenset(nets[end] for end in ends)
            if len(key) == 2 and key not in covered and all(_has_wire(to, end) for end in ends):
                covered.add(key)
                pairs.append(ends)
    setting = all_out(to)
    readings = measure(to.survey.cold, setting, pairs) if pairs else ()
    kept = [pair for pair, ohm in zip(pairs, readings, strict=True) if ohm is None or ohm > _JOINED_OHM]
    if kept:
        to.ohms(
            Stage.SHORTS,
            setting,
            kept,
            [f"{to.design.parts[a[0]].title}: {named(a)} and its neighbour {named(b)} are apart" for a, b in kept],
            "a strand or a bridge across, or a conductor in the neighbour's terminal",
            practice("coil_resistance"),
        )


def _has_wire(to: Builder, end: Node) -> bool:
    return any(wire.kind != "shield" for wire in to.design.circuit.conductors_at(end))


def main_switch(to: Builder) -> None:
    """Across every pole of the main switch while it is off."""
    for part in to.design.parts.values():
        poles = [element for element in part.elements if isinstance(element, Switch) and element.actuator == "handle"]
        if not isinstance(part.data, Disconnector) or not poles:
            continue
        to.ohms(
            Stage.LOCK,
            all_off(to),
            [((part.name, pole.a), (part.name, pole.b)) for pole in poles],
            [f"{part.title} ({part.name}) off: across pole {pole.name}" for pole in poles],
            "a pole does not open, or a conductor goes past the switch",
            practice("coil_resistance"),
        )
