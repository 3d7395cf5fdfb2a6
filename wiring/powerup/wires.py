"""Every conductor end to end, terminals that must be apart, and the poles of the main switch, on the dead machine."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from wiring.circuit.model import Conductor, Node, named
from wiring.circuit.roles import is_earth_point
from wiring.parts.elements import Switch
from wiring.parts.motors import Motor, Shaft
from wiring.parts.protection import Disconnector
from wiring.powerup.bonding import is_protective, way_between
from wiring.powerup.builder import UNPLUGGED, Builder, practice
from wiring.powerup.continuity import Way, ways_over
from wiring.powerup.drives import with_power
from wiring.powerup.live import LEAST_V
from wiring.powerup.ohms import measure, measure_fixed
from wiring.powerup.step import Meter, Setting, Sort, Stage
from wiring.powerup.survey import pairs_of

#: Room for the leads and clips of a meter [ohm], and for the length of a conductor.
_LEADS_OHM, _LENGTH = 0.3, 0.2
#: Above this ratio of voltages the lower side is taken to be destroyed by a bridge (own choice).
_MUCH_HIGHER = 1.4
#: Terminals joined by less than this are one point for an ohmmeter [ohm].
_JOINED_OHM = 1.0
#: A joint of a few ohms in a conductor with this current gets hot [A]: it is measured on the main sheet (derived:
#: 10 ohm and 1 A give 10 W in a terminal). So are ways that pass as many conductors as `_LONG`.
_POWER_A, _LONG = 1.0, 5


def continuity(to: Builder) -> None:
    """Every conductor that is neither bonding nor of a motor, on as few ways of metal as pass them all."""
    circuit = to.design.circuit
    wanted = {
        wire.id: _carries(to, wire.id)
        for wire in circuit.conductors
        if wire.kind != "shield" and wire.id not in to.survey.motor_wires and not is_protective(to, wire)
    }
    dangerous = _dangerous_wires(to)
    power = [name for name, amps in wanted.items() if amps >= _POWER_A or name in dangerous]
    first = [way for way in ways_over(to, UNPLUGGED, power) if not _has_second(to, way)]
    passed = {name for way in first for name in way[2]}
    rest = [way for way in ways_over(to, UNPLUGGED, set(wanted) - passed) if not _has_second(to, way)]
    long = [way for way in rest if len(set(way[2]) & set(wanted)) >= _LONG]
    _measure_ways(to, [*first, *long])
    with to.annex():
        _measure_ways(to, [way for way in rest if way not in long])


def _dangerous_wires(to: Builder) -> set[str]:
    """The conductors that destroy something in the neighbour's terminal: where DC is fed, where voltages meet."""
    parts, volts_at = to.design.parts.values(), to.survey.safety.volts_at
    pairs = [pair for part in parts for pair in pairs_of(part)]
    fed = [pair.a for pair in pairs if pair.takes_power and not pair.is_coil and pair.kind == "DC"]
    beside = [((part.name, a), (part.name, b)) for part in parts for a, b in pairwise(part.terminals)]
    meeting = [max(ends, key=volts_at) for ends in beside if _would_destroy(to, *ends)]
    return {wire.id for end in (*fed, *meeting) for wire in to.design.circuit.conductors_at(end)}


def _carries(to: Builder, wire: str) -> float:
    figure = to.design.conductors.get(wire)
    return figure.current_a if figure else 0.0


def _measure_ways(to: Builder, ways: Sequence[Way]) -> None:
    turned = [way if way[0] <= way[1] else (way[1], way[0], way[2]) for way in ways]
    ways = sorted(turned, key=lambda way: (way[0][0], way[1][0]))
    if ways:
        to.ohms(
            Stage.POLARITY,
            UNPLUGGED,
            [way[:2] for way in ways],
            [f"{named(way[0])} to {named(way[1])}{_passed(to, way)}" for way in ways],
            "open, a loose joint, a device that is out, or an end in the neighbour's terminal",
            _LENGTH,
            _LEADS_OHM,
            rows=[(f"From {way[0][0]}", f"{way[0][1]} to {named(way[1])}{_passed(to, way)}") for way in ways],
        )


def _has_second(to: Builder, way: Way) -> bool:
    """Whether the ohmmeter finds another way beside the one of metal, so that an open one would not show, or
    electronics beside it."""
    if not measure_fixed(to.survey.cold, UNPLUGGED, [way[:2]])[0].fixed:
        return True
    shorted = measure(to.survey.cold, UNPLUGGED, [way[:2]], opened=frozenset(way[2][:1]))[0]
    return shorted is not None and shorted < _LEADS_OHM + _JOINED_OHM


def _passed(to: Builder, way: Way) -> str:
    """The devices and switches on the way."""
    names = dict.fromkeys(path.split(":")[0] for path in way[2] if ":" in path)
    inner = [name for name in names if name not in (way[0][0], way[1][0])]
    return f", through {', '.join(inner)}" if inner else ""


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
            _LENGTH,
            _LEADS_OHM,
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
    found = {wire for wire in to.survey.motor_wires if not _of_unknown_winding(to, wire)}
    for line in to.lines:
        measured = line.stage in (Stage.POLARITY, Stage.BOND) and line.expected.sort is Sort.VALUE
        tells_joints = measured and line.expected.high - (line.expected.value or 0.0) < _JOINED_OHM
        if tells_joints and line.red and line.black:
            found |= {wire.id for wire in way_between(to, line.red, line.black)}
    closed = set(to.survey.devices) | {
        part.name for part in to.design.parts.values() if isinstance(part.data, Disconnector)
    }
    at_device = {wire.id for wire in to.design.circuit.conductors if {end[0] for end in wire.ends} & closed}
    return found - at_device


def _of_unknown_winding(to: Builder, wire: str) -> bool:
    """Whether a conductor of a motor is measured through a winding of which the plan tells no resistance."""
    ends = {end[0] for end in to.design.circuit.conductor[wire].ends}
    motors = [part.data for name, part in to.design.parts.items() if name in ends and isinstance(part.data, Shaft)]
    return any(isinstance(motor, Motor) or getattr(motor, "phase_resistance", 1.0) is None for motor in motors)


def insulation_between(to: Builder) -> None:
    """Neighbouring terminals with conductors of different nets, where no other line measures between the two nets."""
    nets = to.design.nets.of
    covered = {
        frozenset((nets[line.red], nets[line.black]))
        for line in to.lines
        if not line.annex
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
    setting = all_out_setting(to)
    readings = measure(to.survey.cold, setting, pairs) if pairs else ()
    kept = [pair for pair, ohm in zip(pairs, readings, strict=True) if ohm is None or ohm > _JOINED_OHM]
    danger = [pair for pair in kept if _would_destroy(to, *pair)]
    _measure_apart(to, setting, danger)
    with to.annex():
        _measure_apart(to, setting, [pair for pair in kept if pair not in danger])


def _measure_apart(to: Builder, setting: Setting, pairs: Sequence[tuple[Node, Node]]) -> None:
    if pairs:
        to.ohms(
            Stage.SHORTS,
            setting,
            pairs,
            [f"{to.design.parts[a[0]].title}: {named(a)} to its neighbour {named(b)}" for a, b in pairs],
            "a strand or a bridge across, or a conductor in the neighbour's terminal",
            practice("coil_resistance"),
            rows=[("Neighbours of different voltage", f"{named(a)} to {named(b)}") for a, b in pairs],
        )


def _would_destroy(to: Builder, first: Node, second: Node) -> bool:
    """Whether a bridge puts the voltage of one terminal on a neighbour that is made for much less."""
    if is_earth_point(to.design.circuit, first) or is_earth_point(to.design.circuit, second):
        return False
    low, high = sorted((to.survey.safety.volts_at(first), to.survey.safety.volts_at(second)))
    low_at_work, high_at_work = sorted((_at_work(to, first), _at_work(to, second)))
    return high > _MUCH_HIGHER * low or high_at_work > _MUCH_HIGHER * low_at_work > LEAST_V


def _at_work(to: Builder, node: Node) -> float:
    """The voltage of a terminal to earth with the outputs of the program on [V]."""
    point = to.run(with_power(to, "", plugged=False, outputs=True)).point
    return max(abs(point.volts(node, kind) or 0.0) for kind in ("DC", "AC"))


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
            all_off_setting(to),
            [((part.name, pole.a), (part.name, pole.b)) for pole in poles],
            [f"{part.title} ({part.name}) off: across pole {pole.name}" for pole in poles],
            "a pole does not open, or a conductor goes past the switch",
            practice("coil_resistance"),
            rows=[(f"{part.title} ({part.name}) off: across every pole", pole.name) for pole in poles],
        )
