"""The plan as a network of terminals: every conductor and every inner path of a part is an edge with its place.

Nothing in here is solved; voltages and currents are asked of an operating point.
"""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING, Any, overload

from msgspec import Struct

from wiring.parts.base import A, B, Part
from wiring.parts.elements import Element, Function, Link, Pole, Switch
from wiring.parts.switching import Coiled
from wiring.plan.models import PlanFile
from wiring.plan.source import Place
from wiring.quantities import WireSize
from wiring.walks import walk

if TYPE_CHECKING:
    import networkx

#: A terminal of a part: (part, terminal). An inner point of a part has a name that begins with a full stop.
Node = tuple[str, str]

#: The inner point of a cable that its shield is.
SHIELD = ".shield"


def named(node: Node) -> str:
    """The node as a plan writes it: G1:V+; a point inside a part without its full stop."""
    return f"{node[0]}:{node[1] if node[1] == SHIELD else node[1].removeprefix('.')}"


class Conductor(Struct, frozen=True):
    """A wire, one piece of a chain, a core of a cable, or a bonded end of its shield.

    `number` is what is printed on it: that of the wire for every piece of a chain, cable and core for a core.
    `length_m`, `size` and the rest are None when the plan does not say. `kind` is wire, core or shield.
    """

    id: str
    a: Node
    b: Node
    place: Place
    number: str
    kind: str = "wire"
    size: WireSize | None = None
    colour: str | None = None
    insulation: str | None = None
    rated_v: float | None = None
    length_m: float | None = None
    route: str | None = None
    cable: str | None = None
    cores: int = 1
    conductor_class: str | None = None
    thermocouple: str | None = None
    title: str = ""

    @property
    def ends(self) -> tuple[Node, Node]:
        """Both ends."""
        return self.a, self.b

    def other(self, node: Node) -> Node:
        """The far end."""
        return self.b if node == self.a else self.a


class Inner(Struct, frozen=True):
    """A conducting path inside a part: a link, a pole or a contact, between two nodes."""

    part: str
    element: Link | Pole | Switch
    a: Node
    b: Node

    @property
    def id(self) -> str:
        """Part and path: K1:13-14."""
        return f"{self.part}:{self.element.a}-{self.element.b}"

    def other(self, node: Node) -> Node:
        """The far end."""
        return self.b if node == self.a else self.a


Edge = Conductor | Inner


class Circuit(Struct, frozen=True, dict=True):
    """Parts, nodes and edges, all in the order of their names so that no result depends on the order of the plan."""

    plan: PlanFile
    parts: Mapping[str, Part]
    conductors: tuple[Conductor, ...]
    inner: tuple[Inner, ...]
    nodes: tuple[Node, ...]

    @property
    def edges(self) -> tuple[Edge, ...]:
        """Every conductor and inner path."""
        return (*self.conductors, *self.inner)

    @cached_property
    def edges_at(self) -> Mapping[Node, tuple[Edge, ...]]:
        """The conductors and inner paths at each node."""
        found: dict[Node, list[Edge]] = {node: [] for node in self.nodes}
        for edge in self.edges:
            found[edge.a].append(edge)
            if edge.b != edge.a:
                found[edge.b].append(edge)
        return {node: tuple(edges) for node, edges in found.items()}

    def steps(self, node: Node) -> tuple[tuple[Edge, Node], ...]:
        """The conductors and inner paths at a node, each with its far end."""
        return self._steps_at[node]

    @cached_property
    def _steps_at(self) -> Mapping[Node, tuple[tuple[Edge, Node], ...]]:
        return {node: tuple((edge, edge.other(node)) for edge in edges) for node, edges in self.edges_at.items()}

    def walk(
        self, starts: Iterable[Node], leads: Callable[[Edge, Node], bool], until: Container[Node] = ()
    ) -> dict[Node, tuple[Node, Edge] | None]:
        """A walk over the conductors and inner paths that lead on to their far end, as `walks.walk` gives it."""
        steps_at = self._steps_at
        return walk(starts, lambda node: [step for step in steps_at[node] if leads(*step)], until)

    def conductors_at(self, node: Node) -> tuple[Conductor, ...]:
        """The conductors that end at a node."""
        return self._conductors_at.get(node, ())

    @cached_property
    def _conductors_at(self) -> Mapping[Node, tuple[Conductor, ...]]:
        return {
            node: tuple(edge for edge in edges if isinstance(edge, Conductor)) for node, edges in self.edges_at.items()
        }

    @cached_property
    def earth_points(self) -> frozenset[Node]:
        """The protective earth terminals."""
        return frozenset(
            (name, end)
            for name, part in self.parts.items()
            for end, terminal in part.terminals.items()
            if terminal.function is Function.PE
        )

    @cached_property
    def conductor(self) -> Mapping[str, Conductor]:
        """Conductors by their id."""
        return {conductor.id: conductor for conductor in self.conductors}

    @cached_property
    def cables(self) -> Mapping[str, tuple[Conductor, ...]]:
        """Cores and shield ends by their cable."""
        found: dict[str, list[Conductor]] = {}
        for conductor in self.conductors:
            if conductor.cable is not None:
                found.setdefault(conductor.cable, []).append(conductor)
        return {cable: tuple(cores) for cable, cores in found.items()}

    @cached_property
    def mechanical_locks(self) -> Mapping[tuple[str, str], frozenset[tuple[str, str]]]:
        """The coils that a mechanical lock keeps from coming in, each with those that must not be in for that.

        A lock that one of two contactors names holds both.
        """
        locks: dict[tuple[str, str], set[tuple[str, str]]] = {}
        for part in self.parts.values():
            other = part.data.interlock if isinstance(part.data, Coiled) else ""
            if other in self.parts and other != part.name:
                locks.setdefault((part.name, "coil"), set()).add((other, "coil"))
                locks.setdefault((other, "coil"), set()).add((part.name, "coil"))
        return {coil: frozenset(others) for coil, others in locks.items()}

    @cached_property
    def hold_to_run(self) -> frozenset[str]:
        """The devices that stop by being let go: a stop names them, a state says that a hand or foot holds them, and
        they spring back and open a contact then (IEC 60204-1:2016 9.2.3.7, from memory)."""
        held = {name for state in self.plan.states.values() for name, entry in state.items() if entry.mode == "worked"}
        named = {device for stop in self.plan.stops.values() for device in stop.devices}
        return frozenset(name for name in held & named if name in self.parts and _lets_go(self.parts[name]))

    @overload
    def elements(self, one: type[A], /) -> tuple[tuple[Part, A], ...]: ...
    @overload
    def elements(self, one: type[A], two: type[B], /) -> tuple[tuple[Part, A | B], ...]: ...
    @overload
    def elements(self, *types: type[Element]) -> tuple[tuple[Part, Element], ...]: ...
    def elements(self, *types: type[Any]) -> tuple[tuple[Part, Any], ...]:
        """Every element of the given types with its part, in order."""
        found = self._by_types.get(types)
        if found is None:
            found = tuple((part, element) for part in self.parts.values() for element in part.of(*types))
            self._by_types[types] = found
        return found

    def keyed(self, kind: type[A]) -> dict[tuple[str, int], A]:
        """The elements of a type by their part and their place among its elements, in order."""
        found = self._by_kind.get(kind)
        if found is None:
            found = self._by_kind[kind] = {
                (part.name, n): element
                for part in self.parts.values()
                for n, element in enumerate(part.elements)
                if isinstance(element, kind)
            }
        return found

    @cached_property
    def _by_kind(self) -> dict[type[Any], dict[tuple[str, int], Any]]:
        return {}

    @cached_property
    def _by_types(self) -> dict[tuple[type[Element], ...], tuple[tuple[Part, Element], ...]]:
        return {}

    @cached_property
    def graph(self) -> networkx.MultiGraph[Node]:
        """The network as a networkx multigraph keyed by part and terminal; `edge` is the conductor or inner path."""
        import networkx

        graph: networkx.MultiGraph[Node] = networkx.MultiGraph()
        graph.add_nodes_from(self.nodes)
        for edge in self.edges:
            graph.add_edge(edge.a, edge.b, key=edge.id, edge=edge)
        return graph


def _lets_go(part: Part) -> bool:
    return part.data.springs_back() and any(not switch.closed_at_rest for switch in part.of(Switch))
