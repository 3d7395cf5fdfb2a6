"""What a meter, a lead and a person must stand at a place: the greatest voltage there, in order and under a fault.

The bound asks no switch and no load how it stands: whatever contact, winding or load joins a place to a source may do
so under a fault, so the place may stand at the source's voltage. A terminal that stands beside another one on the same
part may be joined to it by a strand, a bridge or a conductor in the wrong place.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property
from itertools import permutations
from math import sqrt
from typing import TYPE_CHECKING

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.circuit.roles import is_earth_point
from wiring.parts.base import Part
from wiring.parts.elements import Draw, Feed, Input, Output
from wiring.parts.sources import Rectifier
from wiring.powerup.may_conduct import is_made_inside, may_join, sides_of
from wiring.powerup.step import Access, Who
from wiring.rulebooks.limits import tabled

if TYPE_CHECKING:
    from wiring.design.design import Design

#: Voltages to earth that meters and leads are made for (IEC 61010-031, the steps that are on the market) [V].
RATINGS_V = (300, 600, 1000)
#: Nobody puts a probe on what may stand higher than this [V].
MOST_CONTACT_V = 1000.0
#: What the mains may stand at, in its nominal voltage.
_HIGH_SHARE = tabled("iec", "ac_supply_voltage_max").value
#: Above these a person must be qualified: extra-low voltage AC (IEC 61140), the residual voltage of IEC 60204-1 at DC.
_TOUCH_AC_V, _TOUCH_DC_V = 50.0, 60.0


class ContactSafety:
    """The greatest voltage at every terminal of a machine, asked by the place of a probe."""

    def __init__(self, design: Design) -> None:
        self.design = design
        self.circuit = design.circuit

    def access(self, nodes: Iterable[Node], *, live: bool, solved_v: float = 0.0) -> Access:
        """What it takes to touch some places with one instrument; `solved_v` is what stands there in this step [V].

        `live` is False for an ohmmeter on the machine proved dead: that may go to the other terminals of a part that
        makes more than 1 kV, and nowhere near these themselves.
        """
        places = [node for node in nodes if node in self.circuit.edges_at]
        volts = max([solved_v, *(self.volts_beside(node) for node in places)])
        if volts * _HIGH_SHARE > MOST_CONTACT_V and (live or any(map(self.is_high, places))):
            return Access(volts, None, Who.QUALIFIED)
        mixed = [self.volts_after_mix_up(node) for node in places] + [
            self._lost_earth(a, b) for a, b in permutations(places, 2)
        ]
        volts = min(max([volts, *mixed]), MOST_CONTACT_V)
        rating = next(step for step in RATINGS_V if step >= min(volts * _HIGH_SHARE, MOST_CONTACT_V))
        if not live:
            return Access(volts, rating, Who.BUILDER)
        near = max([solved_v, *(self.volts_beside(node) for node in places)])
        return Access(volts, rating, Who.QUALIFIED if self._is_dangerous(places, near) else Who.INSTRUCTED)

    def is_high(self, node: Node) -> bool:
        """Whether more than 1 kV may stand at the place itself."""
        return self.volts_at(node) * _HIGH_SHARE > MOST_CONTACT_V

    def _is_dangerous(self, places: Iterable[Node], volts: float) -> bool:
        alternating = any(self._group(end) in self._alternating for node in places for end in self._beside(node))
        return volts > (_TOUCH_AC_V if alternating else _TOUCH_DC_V)

    def volts_at(self, node: Node) -> float:
        """The greatest voltage at a terminal with every contact closed and every load in the way [V]."""
        if is_earth_point(self.circuit, node):
            return 0.0
        return max(self._volts.get(self._group(node), 0.0), self._solved.get(self.design.nets.of[node], 0.0))

    def volts_beside(self, node: Node) -> float:
        """The same with the terminals beside it on the same part joined to it; all of a part that makes above 1 kV."""
        return max(self.volts_at(end) for end in self._beside(node))

    def volts_after_mix_up(self, node: Node) -> float:
        """The same with a fault anywhere that joins two neighbouring terminals, where a conductor fits both."""
        return max(self.volts_at(node), 0.0 if is_earth_point(self.circuit, node) else self._mixed[self._group(node)])

    def _lost_earth(self, earth: Node, other: Node) -> float:
        """Between two places, of which the first is earth and has the conductor of a neighbour that another source
        feeds in its terminal: the two sources in series [V]."""
        if not is_earth_point(self.circuit, earth):
            return 0.0
        own = self._group(other)
        beside = [
            self.volts_at(end) for end in self._beside(earth) if self._group(end) != own and not self.is_high(end)
        ]
        return self.volts_at(other) + max(beside, default=0.0)

    def _beside(self, node: Node) -> tuple[Node, ...]:
        part = self.circuit.parts.get(node[0])
        if part is None:
            return (node,)
        if node[1] not in part.terminals:
            return (node,)
        if part.name in self._high_parts:
            return tuple((part.name, name) for name in part.terminals)
        return (node, *((part.name, end) for pair in part.beside if node[1] in pair for end in pair if end != node[1]))

    @cached_property
    def _high_parts(self) -> frozenset[str]:
        return frozenset(node[0] for node in self.circuit.nodes if self.is_high(node))

    # Groups of terminals that hang together through anything that may conduct.

    @cached_property
    def _groups(self) -> dict[Node, Node]:
        found: dict[Node, Node] = {}
        onward: dict[Node, list[Node]] = {}
        for a, b in may_join(self.circuit):
            if not (is_earth_point(self.circuit, a) or is_earth_point(self.circuit, b)):
                onward.setdefault(a, []).append(b)
                onward.setdefault(b, []).append(a)
        for start in self.circuit.nodes:
            if start in found:
                continue
            found[start] = start
            queue = [start]
            while queue:
                for far in onward.get(queue.pop(), ()):
                    if far not in found:
                        found[far] = start
                        queue.append(far)
        return found

    def _group(self, node: Node) -> Node:
        return self._groups.get(node, node)

    # Voltages of the groups.

    @cached_property
    def _alternating(self) -> frozenset[Node]:
        found = {self._group((part.name, e.terminal)) for part, e in self.circuit.elements(Feed) if isinstance(e, Feed)}
        found |= {
            self._group((part.name, end))
            for part, output in self.circuit.elements(Output)
            if isinstance(output, Output) and output.kind == "AC"
            for end in (output.plus, output.minus)
        }
        found |= {
            self._group((part.name, name))
            for part in self.circuit.parts.values()
            for name in part.terminals
            if is_made_inside(self.circuit, part, name)
        }
        return frozenset(found)

    @cached_property
    def _volts(self) -> dict[Node, float]:
        """The greatest voltage of any source in every group; what follows another one by a ratio, behind it."""
        found: dict[Node, float] = {}

        def raise_to(node: Node, volts: float) -> None:
            group = self._group(node)
            found[group] = max(volts, found.get(group, 0.0))

        mains = self.design.plan.mains
        for part, feed in self.circuit.elements(Feed):
            if isinstance(feed, Feed) and mains and feed.conductor != "PE":
                raise_to((part.name, feed.terminal), mains.voltage.volts)
        for part, output in self.circuit.elements(Output):
            if isinstance(output, Output):
                raise_to((part.name, output.plus), _open_volts(part, output))
        for followers in (self._rectified(), self._made_by_drives()):
            for end, volts in [(end, factor * found.get(self._group(start), 0.0)) for start, end, factor in followers]:
                raise_to(end, volts)
        return found

    def _rectified(self) -> Iterator[tuple[Node, Node, float]]:
        """From the AC side of every rectifier to its DC side: the peak."""
        for part in self.circuit.parts.values():
            if isinstance(part.data, Rectifier):
                yield from (((part.name, a), (part.name, plus), sqrt(2.0)) for a, plus, _ in sides_of(part))

    def _made_by_drives(self) -> Iterator[tuple[Node, Node, float]]:
        """From where a drive is fed to what it makes of that."""
        for part in self.circuit.parts.values():
            for fed in part.elements:
                if isinstance(fed, Input | Draw):
                    peak = sqrt(2.0) if fed.kind == "AC" else 1.0
                    made = (name for name in part.terminals if is_made_inside(self.circuit, part, name))
                    yield from (((part.name, fed.a), (part.name, name), peak) for name in made)

    @cached_property
    def _solved(self) -> dict[Node, float]:
        """The greatest voltage to earth of every net in any state of the plan, solved."""
        found: dict[Node, float] = {}
        for point in self.design.states.values():
            for kind in ("DC", "AC"):
                for node in self.circuit.nodes:
                    volts = point.volts(node, kind)
                    if volts is not None:
                        net = self.design.nets.of[node]
                        found[net] = max(found.get(net, 0.0), abs(volts))
        return found

    @cached_property
    def _mixed(self) -> dict[Node, float]:
        found = {self._group(node): self.volts_at(node) for node in self.circuit.nodes}
        for part in self.circuit.parts.values():
            for first, second in part.beside:
                ends = (part.name, first), (part.name, second)
                if any(is_earth_point(self.circuit, end) or self.is_high(end) for end in ends):
                    continue
                stand = list(map(self.volts_at, ends))
                # Joined or changed over, two sources may come to lie in series.
                worst = sum(stand) if self._group(ends[0]) != self._group(ends[1]) else max(stand)
                for end in ends:
                    found[self._group(end)] = max(found[self._group(end)], worst)
        return found


def _open_volts(part: Part, output: Output) -> float:
    """What an output may stand at without load [V]."""
    given = getattr(part.data, "open_circuit", None)
    return max(output.volts, given.volts if given and output.name == "output" else 0.0)


def volts_words(volts: float) -> str:
    """ "25 kV"."""
    return f"{volts / 1e3:.3g} kV" if volts >= 1e3 else f"{volts:.3g} V"


class OutOfReach(Struct, frozen=True):
    """A part that makes or carries more than 1 kV: no lead and no hand goes there. `volts` at the most [V]."""

    part: Part
    volts: float


def out_of_reach(safety: ContactSafety) -> tuple[OutOfReach, ...]:
    """The parts with a terminal above 1 kV, by name."""
    found: dict[str, OutOfReach] = {}
    for node in safety.circuit.nodes:
        part = safety.circuit.parts.get(node[0])
        if part and safety.is_high(node):
            volts = max(safety.volts_at(node), found[part.name].volts if part.name in found else 0.0)
            found[part.name] = OutOfReach(part, volts)
    return tuple(found[name] for name in sorted(found))
