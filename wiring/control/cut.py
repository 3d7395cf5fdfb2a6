"""Which contacts, opened by a stop, part something from its supply: the minimum cut of the network, layer by layer."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.circuit.model import Inner
from wiring.control.script import Probe, Target
from wiring.parts.elements import Feed, Input, Output, Switch
from wiring.solver.lowering import ConductingElement, Lowered, is_closed
from wiring.solver.operating import OperatingPoint

if TYPE_CHECKING:
    import networkx

#: Layers looked for; more than four contacts in series are not built.
_LAYERS = 4


def opened_by(running: OperatingPoint, stopped: OperatingPoint) -> frozenset[str]:
    """The contacts that were closed in the running machine and are open after the stop."""
    return frozenset(
        edge.id
        for edge in stopped.lowered.edges
        if isinstance(edge.source, Inner)
        and isinstance(edge.source.element, Switch)
        and is_closed(edge, running.position.moved, running.position.opened)
        and not is_closed(edge, stopped.position.moved, stopped.position.opened)
    )


def cut_layers(running: OperatingPoint, stopped: OperatingPoint, target: Target) -> tuple[tuple[str, ...], ...]:
    """Sets of contacts that each part a target from its supply, apart from one another, the smallest first.

    As many layers as there are, so many contacts must fail closed before the stop is lost. A safe torque off input that
    the stop lets go is a layer of its own. Empty when nothing that the stop opens parts it.
    """
    opened = opened_by(running, stopped)
    found: list[tuple[str, ...]] = []
    for probe in target.probes:
        layers: list[tuple[str, ...]] = [
            (f"{part}:{name}",) for part, name in probe.needs if (part, name) not in stopped.attracted
        ]
        layers += _layers(running, opened, probe)
        if not found or len(layers) < len(found):
            found = layers
    return tuple(found)


def _layers(running: OperatingPoint, opened: frozenset[str], probe: Probe) -> list[tuple[str, ...]]:
    """Cuts on the side of the terminal that has the more of them: parting one side is enough."""
    sides = []
    for terminal in (probe.a, probe.b):
        left, layers = set(opened), []
        for _ in range(_LAYERS):
            cut = _least_cut(running.lowered, running, left, (probe.part, terminal))
            if cut is None:
                break
            layers.append(cut)
            left -= set(cut)
        sides.append(layers)
    return max(sides, key=len)


def _least_cut(
    lowered: Lowered, running: OperatingPoint, cuttable: set[str], load: tuple[str, str]
) -> tuple[str, ...] | None:
    """The fewest of the `cuttable` contacts between a load and every source; None when they do not part it."""
    import networkx

    graph: networkx.Graph[int | str] = networkx.Graph()
    sink, source = lowered.index[load], "source"
    graph.add_node(sink)
    contacts: dict[tuple[int, int], str] = {}
    for edge in lowered.edges:
        if edge.a == edge.b or not is_closed(edge, running.position.moved, running.position.opened):
            continue
        _add(graph, contacts, edge, edge.id in cuttable)
    for start in _sources(lowered, load):
        graph.add_edge(source, start)
    for a, b in _through_parts(lowered):
        graph.add_edge(a, b)
    if not graph.has_node(source) or not networkx.has_path(graph, source, sink):
        return None
    try:
        size, (near, _) = networkx.minimum_cut(graph, source, sink)
    except networkx.NetworkXUnbounded:
        return None
    near = set(near)
    parted = [name for ends, name in contacts.items() if (ends[0] in near) != (ends[1] in near)]
    return tuple(sorted(parted)) if size else None


def _add(
    graph: networkx.Graph[int | str],
    contacts: dict[tuple[int, int], str],
    edge: ConductingElement,
    cuttable: bool,
) -> None:
    ends = min(edge.a, edge.b), max(edge.a, edge.b)
    if not cuttable:
        graph.add_edge(*ends)
        graph.edges[ends].pop("capacity", None)
        contacts.pop(ends, None)
    elif not graph.has_edge(*ends):  # no two contacts stand between the same terminals
        graph.add_edge(*ends, capacity=1)
        contacts[ends] = edge.id


def _sources(lowered: Lowered, load: tuple[str, str]) -> list[int]:
    """Where power enters: the conductors of the mains but earth, and outputs without an input."""
    circuit = lowered.circuit
    found = [
        lowered.index[part.name, element.terminal]
        for part, element in circuit.elements(Feed)
        if isinstance(element, Feed) and element.conductor != "PE"
    ]
    found += [
        lowered.index[part.name, end]
        for part, element in circuit.elements(Output)
        if isinstance(element, Output) and element.input is None and part.name != load[0]
        for end in (element.plus, element.minus)
    ]
    return sorted(set(found))


def _through_parts(lowered: Lowered) -> list[tuple[int, int]]:
    """Input and output of every part that passes power on: its live side to its plus, its return to its minus."""
    found = []
    for part in lowered.circuit.parts.values():
        inputs = {element.name: element for element in part.elements if isinstance(element, Input)}
        for element in part.elements:
            if isinstance(element, Output) and element.input in inputs and element.name == "output":
                feed = inputs[element.input]
                found.append((lowered.index[part.name, feed.a], lowered.index[part.name, element.plus]))
    return found
