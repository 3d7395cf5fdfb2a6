"""The protective devices in the way of each mains conductor of a load, where they are not the same ones."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from functools import partial

from msgspec import Struct

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.circuit.roles import Role
from wiring.design.connection.never_closed import live_elements
from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.elements import Feed, Link, Pole, Switch
from wiring.walks import walk, way_to


class PolePassed(Struct, frozen=True):
    """A load of which the mains conductor at `end` runs past `device`, which another one of it runs through, or, with
    `through`, runs through another device than its line does."""

    part: Part
    end: Node
    other: Node
    device: str
    through: str
    neutral: bool


def poles_passed(design: Design) -> Iterator[PolePassed]:
    """Every load that one pole or the neutral of which goes another way than the rest; each load and device once."""
    feeds = {
        (part.name, feed.terminal): feed.conductor
        for part, feed in design.circuit.elements(Feed)
        if isinstance(feed, Feed) and feed.conductor != "PE"
    }
    leads = partial(_leads, {bond.id for bond in design.roles.bonds})
    fed = design.circuit.walk(feeds, leads)
    steps = {node: [step for step in design.circuit.steps(node) if leads(*step)] for node in fed}
    known: dict[Node, tuple[str, frozenset[str]] | None] = {}
    told: set[frozenset[str]] = set()
    for part, element in live_elements(design):
        ends = [(part.name, element.a), (part.name, element.b)]
        for end in ends:
            if end not in known:
                known[end] = _devices(design, end, feeds, steps) if end in fed else None
        ways = {end: way for end in ends if (way := known[end]) is not None}
        for one in _compared(design, part, ways):
            key = frozenset((part.name, one.device, one.through))
            if key not in told:
                told.add(key)
                yield one


def _compared(design: Design, part: Part, ways: Mapping[Node, tuple[str, frozenset[str]]]) -> Iterator[PolePassed]:
    for end, (conductor, devices) in ways.items():
        for other, (line, others) in ways.items():
            if other == end or line == "N" or conductor == line:
                continue
            missed, extra = sorted(others - devices), sorted(devices - others)
            if conductor == "N" and extra and missed:
                yield PolePassed(part, end, other, missed[0], extra[0], True)
            elif conductor != "N" and missed and not extra:
                yield PolePassed(part, end, other, missed[-1], "", False)
            elif missed and extra and all(len(design.parts[name].of(Pole)) > 1 for name in (missed[0], extra[0])):
                yield PolePassed(part, end, other, missed[0], extra[0], False)


def _leads(bonds: Container[str], edge: Edge, _: Node) -> bool:
    """Whether the mains pass, in either direction."""
    if isinstance(edge, Conductor):
        return edge.kind != "shield" and edge.id not in bonds
    return isinstance(edge.element, Pole | Switch) or (isinstance(edge.element, Link) and edge.element.ohm == 0)


def _devices(
    design: Design, end: Node, feeds: Mapping[Node, str], steps: Mapping[Node, Sequence[tuple[Edge, Node]]]
) -> tuple[str, frozenset[str]] | None:
    """The mains conductor that a terminal reaches through contacts, and the protective devices on the way."""
    came = walk([end], steps.__getitem__, feeds)
    reached = [node for node in came if node in feeds]
    if len(reached) != 1 or Role.PE in {rail.role for rail in design.roles.rails.get(end, ())}:
        return None
    way = way_to(came, {reached[0]})
    inner = [edge for edge in way if isinstance(edge, Inner) and isinstance(edge.element, Pole)]
    return feeds[reached[0]], frozenset(edge.part for edge in inner if edge.part in design.devices.by_name)
