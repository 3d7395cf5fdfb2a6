"""Parts whose protective terminal leads on to others, so that whoever takes them out leaves those without earth."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Node
from wiring.circuit.roles import is_earth_point
from wiring.design.design import Design
from wiring.design.earth.metal_bodies import metal_bodies
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Function, Link, Pole, Switch
from wiring.parts.incoming import Inlet
from wiring.parts.passive import Connector, EarthBar, Metalwork, Terminals

#: What is made to join protective conductors, and what belongs to the structure, is not taken out for service.
_STAYS = (Inlet, EarthBar, Terminals, Connector, Metalwork)


class Chained(Struct, frozen=True):
    """A part through whose protective terminals alone others are earthed: they, and the conductors that lead on."""

    part: str
    behind: tuple[str, ...]
    onward: tuple[Conductor, ...]


def chained_earths(design: Design) -> Iterator[Chained]:
    """Every part of the kind; what lives by it alone, as a motor by its drive, is dead once it is taken out."""
    bodies = metal_bodies(design)
    for part in design.parts.values():
        if isinstance(part.data, _STAYS):
            continue
        own = {(part.name, t.name) for t in part.terminals.values() if t.function is Function.PE}
        wires = [c for end in sorted(own) for c in design.circuit.conductors_at(end) if c in design.earthing.conductors]
        if len(wires) < 2:
            continue
        kept = _joined_past(design, design.earthing.inlets, own)
        lost = {name for name, node in bodies.items() if node in design.earthing.reached - kept - own}
        behind = tuple(sorted(name for name in lost if _lives_without(design, design.parts[name], part.name)))
        if behind:
            ends = {bodies[name] for name in behind}
            yield Chained(part.name, behind, tuple(c for c in wires if _leads_to(design, c, own, ends)))


def _leads_to(design: Design, conductor: Conductor, own: set[Node], ends: set[Node]) -> bool:
    """Whether a protective conductor of a part leads on to any of some points."""
    far = [end for end in conductor.ends if end not in own]
    return not ends.isdisjoint(_joined_past(design, far, own))


def _joined_past(design: Design, starts: Iterable[Node], gone: set[Node]) -> set[Node]:
    """The earth points that protective conductors join to some, past those of a part."""

    def leads(edge: Edge, far: Node) -> bool:
        solid = edge.kind != "shield" if isinstance(edge, Conductor) else isinstance(edge.element, Link)
        return solid and far not in gone and is_earth_point(design.circuit, far)

    return set(design.circuit.walk(starts, leads))


def _lives_without(design: Design, part: Part, gone: str) -> bool:
    """Whether a part is metal alone, or something beside the one that is taken out feeds it."""
    if isinstance(part.data, Metalwork):
        return True
    poles = {pole.node for pole in design.nets.poles if pole.main and pole.sign not in ("N", "-")}
    drives = [one for one in design.parts.values() if isinstance(one.data, Drive) and one.name not in (gone, part.name)]
    outputs = {(one.name, t.name) for one in drives for t in one.terminals.values() if t.function is Function.MOTOR}
    starts = [(part.name, t.name) for t in part.terminals.values() if t.function is not Function.PE]

    def leads(edge: Edge, far: Node) -> bool:
        passes = (
            edge.kind != "shield" if isinstance(edge, Conductor) else isinstance(edge.element, Link | Pole | Switch)
        )
        return passes and far[0] != gone and not is_earth_point(design.circuit, far)

    reached = set(design.circuit.walk(starts, leads)) - {(part.name, t) for t in part.terminals}
    return not reached.isdisjoint(poles | outputs)
