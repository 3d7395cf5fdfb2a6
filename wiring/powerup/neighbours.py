"""Neighbouring terminals that must be apart, on the dead machine: measured where no other line shows a bridge."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence

from wiring.circuit.model import Node, named
from wiring.circuit.roles import Role, is_earth_point
from wiring.disjoint_sets import joined
from wiring.parts.elements import Switch
from wiring.parts.signals import IoCard
from wiring.powerup.builder import LEAST_V, UNPLUGGED, Builder, practice
from wiring.powerup.causes import BRIDGE_OHM
from wiring.powerup.drives import with_power
from wiring.powerup.low_rank_update import BranchChange
from wiring.powerup.ohms import DeadMeter, measure
from wiring.powerup.reading import Reading
from wiring.powerup.step import Line, Meter, Setting, Stage
from wiring.powerup.wires import JOINED_OHM, all_out_setting
from wiring.solver.lowering import is_closed

#: Above this ratio of voltages the lower side is taken to be destroyed by a bridge (own choice).
_MUCH_HIGHER = 1.4
#: What a reading between two outputs is worth: a bridge, and a conductor of the one in the terminal of the other.
_OUTPUTS = 3


def insulation_between(to: Builder) -> None:
    """Neighbouring terminals with conductors that must stay apart, where no other line measures between the two.

    Where a bridge would destroy something, what hangs together with the contactors held in is measured once: among the
    conductors at rest where no contactor has a part in it, in a position with one contactor held in where that takes
    fewer readings. The rest, net by net with every device out, is for the annex.
    """
    apart = [
        ((part.name, first), (part.name, second))
        for part in to.design.parts.values()
        for first, second in part.beside
        if _has_wire(to, (part.name, first)) and _has_wire(to, (part.name, second))
    ]
    held = to.survey.held_in(*to.survey.contactors)
    pieces, bridged = Pieces(to), Bridged(to)
    danger = [pair for pair in apart if would_destroy(to, *pair) and not bridged.shows(pair)]
    danger = _once(to, danger, pieces.at(held), held)
    still = [pair for pair in danger if all(pieces.is_alone(end, held) for end in pair)]
    moving = [pair for pair in danger if pair not in still]
    used = dict.fromkeys(
        (held, *(line.setting for line in to.lines if line.stage is Stage.POLARITY and not line.annex))
    )
    best = min(
        (_told_by(to, pieces, moving, one) for one in used if one),
        key=lambda told: (len(told[1]), told[0] != UNPLUGGED),
    )
    _measure_apart(to, *best)
    _measure_apart(to, UNPLUGGED, still)
    with to.annex():
        switched = _once(to, [pair for pair in apart if _are_outputs(to, pair)], to.design.nets.of, UNPLUGGED)
        known = len(to.lines)
        _measure_apart(to, UNPLUGGED, switched)
        to.offered |= {line.action: _OUTPUTS for line in to.lines[known:]}
        out = all_out_setting(to)
        bridged = Bridged(to)
        rest = [pair for pair in apart if pair not in switched and not bridged.shows(pair)]
        _measure_apart(to, out, _once(to, rest, to.design.nets.of, out))


def _told_by(
    to: Builder, pieces: Pieces, pairs: list[tuple[Node, Node]], setting: Setting
) -> tuple[Setting, list[tuple[Node, Node]]]:
    """A position, and the pairs to measure in it so that all are told; all of them where it joins one by itself."""
    once = _once(to, pairs, pieces.at(setting), setting)
    told = {pieces.key(pair, setting) for pair in once}
    return setting, once if all(pieces.key(pair, setting) in told for pair in pairs) else pairs


class Pieces:
    """What metal joins in positions of the dead machine: each piece by a number."""

    def __init__(self, to: Builder) -> None:
        self.to = to
        self._at: dict[Setting, Mapping[Node, int]] = {}

    def at(self, setting: Setting) -> Mapping[Node, int]:
        """For every terminal a number that all share which metal joins."""
        if setting not in self._at:
            cold = self.to.survey.cold
            closed = [edge for edge in cold.edges if is_closed(edge, setting.moved, setting.opened)]
            ends = [(edge.a, edge.b) for edge in closed if edge.ohm <= JOINED_OHM]
            roots = joined(range(cold.count), ends)
            self._at[setting] = {node: roots[number] for node, number in cold.index.items()}
        return self._at[setting]

    def key(self, pair: tuple[Node, Node], setting: Setting) -> frozenset[int]:
        """The two pieces that a pair of terminals lies on."""
        return frozenset(self.at(setting)[end] for end in pair)

    def is_alone(self, end: Node, setting: Setting) -> bool:
        """Whether a terminal hangs together with the same others at rest as in a position."""
        now, at_rest = self.at(setting), self.at(UNPLUGGED)
        return {node for node, n in now.items() if n == now[end]} == {
            node for node, n in at_rest.items() if n == at_rest[end]
        }


class Bridged:
    """Whether a line of the main sheet reads wrong on the dead machine where two terminals touch."""

    def __init__(self, to: Builder) -> None:
        self.lines: dict[Setting, list[Line]] = {}
        for line in to.lines:
            if not line.annex and line.meter is Meter.OHM and line.setting and line.red and line.black:
                self.lines.setdefault(line.setting, []).append(line)
        self.meters = {setting: DeadMeter(to.survey.cold_with_bridges, setting) for setting in self.lines}

    def shows(self, pair: tuple[Node, Node]) -> bool:
        """Of a pair: by a reading between the two, or on any way that leads through both."""
        return any(self._is_wrong(setting, pair) for setting in self.lines)

    def _is_wrong(self, setting: Setting, pair: tuple[Node, Node]) -> bool:
        meter, lines = self.meters[setting], self.lines[setting]
        a, b = (meter.lowered.index[end] for end in pair)
        if a == b:
            return False
        found = meter.read(
            [BranchChange(a, b, 1.0 / BRIDGE_OHM)],
            [(line.red, line.black) for line in lines if line.red and line.black],
        )
        return found is not None and any(Reading(line, ohm).is_wrong for line, ohm in zip(lines, found, strict=True))


def _once(
    to: Builder, pairs: Sequence[tuple[Node, Node]], of: Mapping[Node, Hashable], setting: Setting
) -> list[tuple[Node, Node]]:
    """One pair of terminals of all that stand for the same, but those that are one point."""
    first: dict[frozenset[Hashable], tuple[Node, Node]] = {}
    for pair in pairs:
        first.setdefault(frozenset(of[end] for end in pair), pair)
    found = [pair for key, pair in first.items() if len(key) == 2]
    readings = measure(to.survey.cold, setting, found) if found else ()
    return [pair for pair, ohm in zip(found, readings, strict=True) if ohm is None or ohm > JOINED_OHM]


def _measure_apart(to: Builder, setting: Setting, pairs: Sequence[tuple[Node, Node]]) -> None:
    is_power = bool(setting.opened) or setting == to.survey.held_in(*to.survey.contactors) != UNPLUGGED
    stage = Stage.SHORTS if is_power else Stage.POLARITY
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
    """Whether a bridge puts the voltage of one terminal on a neighbour that is made for much less: earth, and a neutral
    that is earthed, bring none."""
    if any(_is_earthed(to, end) for end in (first, second)):
        return False
    low, high = sorted((to.survey.safety.volts_at(first), to.survey.safety.volts_at(second)))
    low_at_work, high_at_work = sorted((_at_work(to, first), _at_work(to, second)))
    return high > _MUCH_HIGHER * low or high_at_work > _MUCH_HIGHER * low_at_work > LEAST_V


def _is_earthed(to: Builder, node: Node) -> bool:
    mains = to.design.plan.mains
    neutral = to.design.roles.role.get(node) is Role.NEUTRAL
    return (neutral and mains is not None and mains.earthing not in (None, "IT")) or is_earth_point(
        to.design.circuit, node
    )


def _at_work(to: Builder, node: Node) -> float:
    """The voltage of a terminal to earth with the outputs of the program on [V]."""
    point = to.run(with_power(to, "", plugged=False, outputs=True)).point
    return max(abs(point.volts(node, kind) or 0.0) for kind in ("DC", "AC"))


def _are_outputs(to: Builder, pair: tuple[Node, Node]) -> bool:
    """Whether a program switches both: the test page has them on together, so that no lamp tells one from the other."""
    card = to.design.parts[pair[0][0]]
    ends = [end for one in card.of(Switch) for end in (one.a, one.b)] if isinstance(card.data, IoCard) else []
    return all(ends.count(end) == 1 for _, end in pair)


def _has_wire(to: Builder, end: Node) -> bool:
    return any(wire.kind != "shield" for wire in to.design.circuit.conductors_at(end))
