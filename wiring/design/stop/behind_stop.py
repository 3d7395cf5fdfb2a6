"""The feed of something that a stop leaves alive, led to a point that is as live in running and dead after the stop."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor, Inner, Node
from wiring.control.script import Probe
from wiring.design.edits import led_to
from wiring.design.rewiring import place_on
from wiring.design.stop.hazards import DEAD_SHARE, probes_of
from wiring.effort import walk_on
from wiring.parts.elements import Input, Switch
from wiring.parts.incoming import Transformer
from wiring.parts.sources import Converter, Supply
from wiring.plan.edits import Edit
from wiring.wording import natural

if TYPE_CHECKING:
    from wiring.design.design import Design
    from wiring.design.stop.stops import StopEffect

#: Two points whose voltages differ by less than this share stand on one pole while contacts are closed (own choice).
_ONE_POLE = 0.05


def fed_behind_stop(design: Design, effect: StopEffect, probes: Sequence[Probe]) -> tuple[Edit, ...]:
    """The feeds of all that is alive after a stop at other points; nothing where one of them finds none."""
    found: dict[Edit, None] = {}
    points = _points(design)
    for probe in probes:
        if abs(effect.point.between((probe.part, probe.a), (probe.part, probe.b), probe.kind)) > probe.dead_v:
            moved = next(_moves(design, effect, probe, points), ())
            if not moved:
                return ()
            found |= dict.fromkeys(moved)
    return tuple(found)


def probes_left(design: Design, effect: StopEffect) -> list[Probe]:
    """Where to see that what a stop leaves is alive."""
    return [probe for name in effect.left for probe in probes_of(design.parts[name], design.axes)]


def _points(design: Design) -> list[Node]:
    """The points of parts that a source reaches, as people order them."""
    reached = [node for node in design.short_circuits.paths.hot if node[0] in design.parts]
    return sorted(reached, key=lambda node: (natural(node[0]), natural(node[1])))


def _moves(design: Design, effect: StopEffect, probe: Probe, points: Sequence[Node]) -> Iterator[tuple[Edit, ...]]:
    """Each conductor of the feed, that at the load first, begun at another one of some points."""
    hot, after = design.short_circuits.paths.hot, effect.point
    ends = [(probe.part, probe.a), (probe.part, probe.b)]
    node = next((end for end in ends if end in hot), None)
    ground = ends[0] if node == ends[1] else ends[1]
    dead = [other for other in points if abs(after.between(other, ground, probe.kind)) <= probe.dead_v]
    walk_on(len(points))
    while node is not None:
        step = hot[node]
        if step.before is None:
            yield from _moves_before(design, effect, node[0], points)
        elif isinstance(step.back, Conductor):
            for other in _alike(design, effect, probe, step.before, ground, dead):
                found = place_on(design, other)
                moved = led_to(design, step.back, step.before, found[0]) if found else ()
                if found and moved:
                    yield (*found[1], *moved)
        node = step.before


def _moves_before(
    design: Design, effect: StopEffect, source: str, points: Sequence[Node]
) -> Iterator[tuple[Edit, ...]]:
    """The same for what feeds the source of the way, where that is a supply."""
    part = design.parts.get(source)
    for entry in part.of(Input) if part is not None and isinstance(part.data, Supply | Converter | Transformer) else ():
        dead_v = DEAD_SHARE * entry.low_v
        yield from _moves(design, effect, Probe(source, entry.a, entry.b, entry.kind, dead_v), points)


def _alike(
    design: Design, effect: StopEffect, probe: Probe, fed: Node, ground: Node, dead: Sequence[Node]
) -> list[Node]:
    """Of the points that are `dead` after the stop those that stand on the pole of `fed` in running, behind the same
    devices."""
    running, hot = effect.running, design.short_circuits.paths.hot
    one_pole = _ONE_POLE * abs(running.between(fed, ground, probe.kind))
    ahead = set(hot[fed].devices)
    nets: dict[object, Node] = {}
    walk_on(len(dead))
    for node in dead:
        net = design.nets.of[node]
        alike = net not in nets and abs(running.between(node, fed, probe.kind)) < one_pole
        if alike and ahead <= set(hot[node].devices):
            nets[net] = node
    # two contacts in series come before one of them, which alone would carry the stop
    return sorted(nets.values(), key=lambda node: -_contacts_before(design, node))


def _contacts_before(design: Design, node: Node) -> int:
    """How many contacts are closed on the way to a point."""
    count, step = 0, design.short_circuits.paths.hot.get(node)
    while step is not None and step.before is not None:
        count += isinstance(step.back, Inner) and isinstance(step.back.element, Switch)
        step = design.short_circuits.paths.hot.get(step.before)
    return count
