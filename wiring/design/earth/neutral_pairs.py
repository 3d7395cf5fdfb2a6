"""Parts that one line and the neutral feed."""

from __future__ import annotations

from collections.abc import Iterator, Set
from functools import cached_property, partial

from wiring.circuit.model import Conductor, Edge, Inner, Node
from wiring.circuit.roles import Role
from wiring.design.design import Design
from wiring.design.rewiring import led_through
from wiring.parts.elements import Coil, Draw, Feed, Input, Pole, Resistance, Switch
from wiring.plan.edits import Edit
from wiring.walks import Reach
from wiring.wording import natural


def neutral_pairs(design: Design) -> Iterator[tuple[str, Conductor, Conductor]]:
    """Every part that one line and the neutral feed, with each neutral and the thinnest line there, one without a size
    before all others."""
    if design.plan.rulebook != "iec":
        return
    for name in sorted(design.parts):
        ends = [(name, terminal) for terminal in design.parts[name].terminals]
        found = [c for end in ends for c in design.circuit.conductors_at(end) if c.kind != "shield"]
        lines = [c for c in found if design.roles.of_conductor(c) is Role.LIVE]
        neutrals = [c for c in found if design.roles.of_conductor(c) is Role.NEUTRAL]
        if len({_net_of(design, c) for c in lines}) != 1 or not _is_load(design, name):
            continue
        thinnest = min(lines, key=lambda c: c.size.area_mm2 if c.size else 0.0, default=None)
        if thinnest:
            yield from ((name, neutral, thinnest) for neutral in neutrals)


def _net_of(design: Design, conductor: Conductor) -> object:
    return design.nets.of[conductor.a]


def _is_load(design: Design, name: str) -> bool:
    """Whether a part takes power, so that what comes by the line leaves by the neutral."""
    return bool(design.parts[name].of(Coil, Draw, Input, Resistance))


def has_dead_pole(design: Design, part: str, elements: list[Pole | Switch]) -> bool:
    """Whether a further pole is wired and no supply reaches it: the line is lost ahead of it, which is told there."""
    ends = [(part, end) for element in elements for end in (element.a, element.b)]
    return any(
        len(design.circuit.conductors_at(end)) > 0 and not design.roles.rails.get(end)
        for end in ends
        if isinstance(elements[0], Pole) or len(end[1]) == 1
    )


def lies_on_role(design: Design, part: str, element: Pole | Switch, role: Role) -> bool:
    """Whether both ends of a pole or contact are wired and lie on conductors of a role."""
    return all(
        end in design.nets.joined and any(rail.role is role for rail in design.roles.rails.get(end, ()))
        for end in ((part, element.a), (part, element.b))
    )


class NeutralWays:
    """What lines and neutral come to from the feed, and what of it each device opens."""

    def __init__(self, design: Design) -> None:
        self.design = design

    @cached_property
    def neutral(self) -> Reach[Node, Edge]:
        """What the neutral comes to."""
        return Reach(self._fed("N"), self._steps)

    @cached_property
    def line(self) -> Reach[Node, Edge]:
        """What any line comes to."""
        return Reach(self._fed("L"), self._steps)

    def _fed(self, conductor: str) -> list[Node]:
        feeds = self.design.circuit.elements(Feed)
        ends = [(part.name, one.terminal) for part, one in feeds if one.conductor.startswith(conductor)]
        return [end for end in ends if end in self.design.circuit.edges_at]

    def _steps(self, node: Node) -> Iterator[tuple[Edge, Node]]:
        return ((edge, far) for edge, far in self.design.circuit.steps(node) if not _is_shield(edge))

    def opened_alone(self, device: str) -> list[str]:
        """The loads whose neutral a device opens with one of its poles while none of them lies in their line."""
        ends = [(device, end) for end in self.design.parts[device].terminals]
        own = partial(_is_of, device)
        lost = {node for node in self.neutral.lost_without(ends, own) if node not in self.line.came}
        off = self.line.lost_without(ends, own) if lost else set[Node]()

        names = {part for part, _ in lost}
        return [name for name in sorted(names, key=natural) if self._lies_between(name, lost, off)]

    def _lies_between(self, name: str, lost: Set[Node], off: Set[Node]) -> bool:
        for one in self.design.parts[name].of(Draw, Resistance, Input, Coil):
            assert isinstance(one, Draw | Resistance | Input | Coil)
            ends = (name, one.a), (name, one.b)
            if any(far in lost and self._is_live(near, off) for near, far in (ends, ends[::-1])):
                return True
        return False

    def _is_live(self, node: Node, off: Set[Node]) -> bool:
        return node in self.line.came and node not in off and node not in self.neutral.came


def _is_shield(edge: Edge) -> bool:
    return isinstance(edge, Conductor) and edge.kind == "shield"


def _is_of(device: str, edge: Edge) -> bool:
    return isinstance(edge, Inner) and edge.part == device


def line_led_through(design: Design, name: str) -> tuple[Edit, ...]:
    """What goes past an open pole of the same device led through it."""
    for pole in design.parts[name].of(Pole, Switch):
        for wired, bare in (((name, pole.a), (name, pole.b)), ((name, pole.b), (name, pole.a))):
            edits = led_through(design, wired, bare)
            if edits:
                return edits
    return ()
