"""Coils that a stop lets go by a contact on their earthed side: an earth fault takes the place of that contact."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from msgspec import Struct

from wiring.control.cut import opened_by
from wiring.design.stop.stopping import Stopping
from wiring.design.stop.stops import StopEffect
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Feed, Logic, Output
from wiring.solver.assembly import Actuator
from wiring.solver.lowering import is_closed
from wiring.solver.operating import OperatingPoint
from wiring.walks import walk

#: A way to earth above this resistance does not hold a coil in [ohm]: an IT supply's, not a TT electrode's.
_EARTHED_OHM = 1000.0


class Misplaced(Struct, frozen=True):
    """A coil of `part` whose return passes `contact`; `conductor` leads from the coil to it."""

    part: str
    contact: str
    conductor: str


def misplaced(stopping: Stopping) -> tuple[Misplaced, ...]:
    """The coils that drop out at a stop although nothing opens on their live side, each once."""
    found: dict[str, Misplaced] = {}
    for effect in stopping.effects:
        running = effect.running
        opened = opened_by(running, effect.point)
        for one in _of(stopping, running, effect, opened):
            found.setdefault(one.part, one)
    return tuple(found.values())


def _of(
    stopping: Stopping, running: OperatingPoint, effect: StopEffect, opened: Collection[str]
) -> Iterator[Misplaced]:
    earth = _spread(running, [running.lowered.earth], opened)
    live = _spread(running, _live_poles(running, earth), opened)
    dropped = running.attracted - effect.point.attracted
    for part, coil in stopping.machine.circuit.elements(Coil):
        if (part.name, coil.moves) not in dropped or _another_channel(running, part, coil, dropped, earth):
            continue
        ends = {end: running.lowered.index[part.name, end] for end in (coil.a, coil.b)}
        for end, other in ((coil.a, coil.b), (coil.b, coil.a)):
            if ends[other] in live and ends[end] not in earth and ends[end] not in live:
                yield from _contact(running, part.name, end, opened, earth)


def _another_channel(
    running: OperatingPoint,
    part: Part,
    coil: Coil,
    dropped: Collection[Actuator],
    earth: Collection[int],
) -> bool:
    """Whether a unit hears of the stop by another channel too, whose contact is not on the earthed side: an earth fault
    that feeds the one leaves the other open."""
    index = running.lowered.index
    for logic in part.of(Logic):
        others = {name for name in logic.channels if name != coil.moves and (part.name, name) in dropped}
        if coil.moves in logic.channels and others:
            coils = [one for one in part.of(Coil) if one.moves in others]
            ends = [{index[part.name, one.a], index[part.name, one.b]} for one in coils]
            if any(both & set(earth) for both in ends):
                return True
    return False


def _live_poles(running: OperatingPoint, earth: Collection[int]) -> list[int]:
    """Where power enters: poles of the mains and of supplies that are not on the earthed side."""
    index, circuit = running.lowered.index, running.lowered.circuit
    found = [
        index[part.name, feed.terminal]
        for part, feed in circuit.elements(Feed)
        if isinstance(feed, Feed) and feed.conductor not in ("N", "PE")
    ]
    found += [
        index[part.name, pole]
        for part, output in circuit.elements(Output)
        if isinstance(output, Output) and output.name == "output"
        for pole in (output.plus, output.minus)
    ]
    return [node for node in found if node not in earth]


def _spread(running: OperatingPoint, starts: list[int], opened: Collection[str]) -> set[int]:
    """The nodes that closed paths of the running machine join to some, without the contacts that the stop opens."""
    lowered, position = running.lowered, running.position
    near: dict[int, list[int]] = {}
    for edge in lowered.edges:
        if edge.id not in opened and is_closed(edge, position.moved, position.opened):
            near.setdefault(edge.a, []).append(edge.b)
            near.setdefault(edge.b, []).append(edge.a)
    for way in lowered.mains_branches:
        if abs(way.ohm) < _EARTHED_OHM:
            near.setdefault(way.a, []).append(way.b)
            near.setdefault(way.b, []).append(way.a)
    return set(walk(starts, lambda node: ((None, far) for far in near.get(node, ()))))


def _contact(
    running: OperatingPoint, part: str, end: str, opened: Collection[str], earth: Collection[int]
) -> Iterator[Misplaced]:
    """The contact that the stop opens between a coil's end and the earthed side, when one is there."""
    lowered = running.lowered
    here = _spread(running, [lowered.index[part, end]], opened)
    between = [
        edge.id
        for edge in lowered.edges
        if edge.id in opened and ((edge.a in here and edge.b in earth) or (edge.b in here and edge.a in earth))
    ]
    wires = [wire.id for wire in lowered.circuit.conductors_at((part, end))]
    if between and wires:
        yield Misplaced(part, between[0], wires[0])
