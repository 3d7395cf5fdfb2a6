"""Every conductor end to end, terminals that must be apart, and the poles of the main switch, on the dead machine."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from itertools import pairwise

from wiring.circuit.model import Conductor, Node, named
from wiring.circuit.roles import is_earth_point
from wiring.disjoint_sets import joined
from wiring.parts.elements import Switch
from wiring.parts.motors import Motor, Shaft
from wiring.parts.protection import Disconnector
from wiring.powerup.bonding import way_between
from wiring.powerup.builder import UNPLUGGED, Builder, practice
from wiring.powerup.drives import with_power
from wiring.powerup.live import LEAST_V
from wiring.powerup.ohms import measure
from wiring.powerup.step import Meter, Setting, Sort, Stage, Who
from wiring.solver.lowering import is_closed

#: Room for the leads and clips of a meter [ohm], and for the length of a conductor.
LEADS_OHM, LENGTH_SHARE = 0.3, 0.2
#: Above this ratio of voltages the lower side is taken to be destroyed by a bridge (own choice).
_MUCH_HIGHER = 1.4
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
    found = {wire for wire in to.survey.motor_wires if not _of_unknown_winding(to, wire)}
    for line in to.lines:
        measured = line.stage in (Stage.POLARITY, Stage.BOND) and line.expected.sort is Sort.VALUE
        tells_joints = measured and line.expected.high - (line.expected.value or 0.0) < JOINED_OHM
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
    """Neighbouring terminals with conductors that must stay apart, where no other line measures between the two.

    Where a bridge would destroy something, what hangs together with the contactors held in is measured once: among the
    conductors at rest where no contactor has a part in it. The rest, net by net with every device out, is for the
    annex.
    """
    apart = [
        ((part.name, first), (part.name, second))
        for part in to.design.parts.values()
        for first, second in pairwise(part.terminals)
        if _has_wire(to, (part.name, first)) and _has_wire(to, (part.name, second))
    ]
    held = to.survey.held_in(*to.survey.contactors)
    hanging, at_rest = _hanging_together(to, held), _hanging_together(to, UNPLUGGED)
    danger = _once(to, [pair for pair in apart if would_destroy(to, *pair)], hanging, held)
    still = [pair for pair in danger if all(_alone(to, end, hanging, at_rest) for end in pair)]
    _measure_apart(to, Stage.SHORTS, held, [pair for pair in danger if pair not in still])
    _measure_apart(to, Stage.POLARITY, UNPLUGGED, still)
    with to.annex():
        out = all_out_setting(to)
        _measure_apart(to, Stage.SHORTS, out, _once(to, apart, to.design.nets.of, out))


def _alone(to: Builder, end: Node, hanging: Mapping[Node, int], at_rest: Mapping[Node, int]) -> bool:
    """Whether a terminal hangs together with the same others at rest as with the contactors held in."""
    return {node for node, n in hanging.items() if n == hanging[end]} == {
        node for node, n in at_rest.items() if n == at_rest[end]
    }


def _hanging_together(to: Builder, setting: Setting) -> Mapping[Node, int]:
    """For every terminal a number that all share which metal joins in a position."""
    cold = to.survey.cold
    edges = [edge for edge in cold.edges if edge.ohm <= JOINED_OHM and is_closed(edge, setting.moved, setting.opened)]
    roots = joined(range(cold.count), [(edge.a, edge.b) for edge in edges])
    return {node: roots[number] for node, number in cold.index.items()}


def _once(
    to: Builder, pairs: Sequence[tuple[Node, Node]], of: Mapping[Node, Hashable], setting: Setting
) -> list[tuple[Node, Node]]:
    """One pair of terminals of all that stand for the same, but those that are one point or measured on the main
    sheet already."""
    covered = {
        frozenset((of[line.red], of[line.black]))
        for line in to.lines
        if not line.annex and line.meter is Meter.OHM and line.red and line.black and line.stage is Stage.SHORTS
    }
    first: dict[frozenset[Hashable], tuple[Node, Node]] = {}
    for pair in pairs:
        first.setdefault(frozenset(of[end] for end in pair), pair)
    found = [pair for key, pair in first.items() if len(key) == 2 and key not in covered]
    readings = measure(to.survey.cold, setting, found) if found else ()
    return [pair for pair, ohm in zip(found, readings, strict=True) if ohm is None or ohm > JOINED_OHM]


def _measure_apart(to: Builder, stage: Stage, setting: Setting, pairs: Sequence[tuple[Node, Node]]) -> None:
    if pairs:
        to.ohms(
            stage,
            setting,
            pairs,
            [f"{to.design.parts[a[0]].title}: {named(a)} to its neighbour {named(b)}" for a, b in pairs],
            "a strand or a bridge across, or a conductor in the neighbour's terminal",
            practice("coil_resistance"),
            rows=[
                ("", ", its neighbour")
                if stage is Stage.POLARITY
                else ("Neighbours of different voltage", f"{named(a)} to {named(b)}")
                for a, b in pairs
            ],
        )


def would_destroy(to: Builder, first: Node, second: Node) -> bool:
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
