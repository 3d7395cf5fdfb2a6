"""The power overview against networkx: what is drawn before a part is what separates it from its sources.

A device stands on the only way to a part exactly when the part loses its source with every path of that device taken
out of the circuit. The sheets are read back from their SVG: who feeds whom is what the lines touch.
"""

from __future__ import annotations

import re

import networkx
import pytest

from tests.drawing.drawn import SPECS, Drawn, drawn_spec, spec_design
from tests.drawing.picture import Part, Picture
from wiring.circuit.model import Conductor, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.drawing import feeds
from wiring.drawing.draw import draw
from wiring.drawing.paper import PAPERS
from wiring.parts.base import Part as MachinePart
from wiring.parts.drives import Drive
from wiring.parts.elements import Feed, Function, Input, Link, Output

#: A unit of the overview: its part, sheet and place.
Unit = tuple[str, int, float, float]
_NEAR = 0.02


def _touch(strokes: Part, x: float, y: float) -> bool:
    """Whether a point lies on one of the upright or level strokes."""
    return any(
        min(s.x1, s.x2) - _NEAR <= x <= max(s.x1, s.x2) + _NEAR
        and min(s.y1, s.y2) - _NEAR <= y <= max(s.y1, s.y2) + _NEAR
        for s in strokes.strokes
    )


def _place(part: Part) -> tuple[float, float]:
    x, y = part.data["at"].split()
    return float(x), float(y)


def _end(part: Part) -> float:
    """Where the symbol ends and its feed begins."""
    return _place(part)[0] + float(part.data["wide"])


def _is_arrow(part: Part) -> bool:
    return any(words.text.startswith("see") for words in part.words)


def _feeds(part: Part) -> set[str]:
    """The feeds that a symbol names in words: from F5 and from F6, F7."""
    texts = [words.text for words in part.words if "from " in words.text]
    return {name for text in texts for name in re.split(r",? (?:and )?", re.sub(r"(and )?from ", "", text)) if name}


def _drawn_edges(picture: Picture) -> list[tuple[Part, Part]]:
    """Feeding and fed symbol, by the lines between them."""
    symbols = [part for part in picture.of("overview") if "at" in part.data]
    found = []
    for lines in (part for part in picture.of("overview") if "at" not in part.data):
        left = min(min(s.x1, s.x2) for s in lines.strokes)
        before = [s for s in symbols if abs(_end(s) - left) < _NEAR and _touch(lines, left, _place(s)[1])]
        behind = [s for s in symbols if _place(s)[0] > left and _touch(lines, *_place(s))]
        assert len(before) == 1, lines
        assert behind
        found += [(before[0], symbol) for symbol in behind]
    return found


def _drawn(drawn: Drawn) -> tuple[networkx.DiGraph[Unit], list[Unit]]:
    """Who feeds whom on the sheets, and the symbols that stand there. An arrow leads to the symbol of its name whose
    words name the feed."""
    graph: networkx.DiGraph[Unit] = networkx.DiGraph()
    symbols: dict[str, list[tuple[Unit, Part]]] = {}
    edges: list[tuple[Unit, Unit, Part]] = []
    for picture in drawn.pictures:

        def unit(part: Part, number: int = picture.number) -> Unit:
            return (part.id, number, *_place(part))

        for part in picture.of("overview"):
            if "at" in part.data and not _is_arrow(part):
                symbols.setdefault(part.id, []).append((unit(part), part))
                graph.add_node(unit(part))
        edges += [(unit(up), unit(down), down) for up, down in _drawn_edges(picture)]
    for up, down, symbol in edges:
        if not _is_arrow(symbol):
            graph.add_edge(up, down)
            continue
        for name in symbol.words[0].text.split(", "):
            named = {u for u, part in symbols[name] if up[0] in _feeds(part)}
            assert len(named) == 1, f"the arrow {down} leads to {named}"
            graph.add_edges_from((up, target) for target in named)
    units = [u for pairs in symbols.values() for u, _ in pairs]
    for u, part in (pair for pairs in symbols.values() for pair in pairs):
        assert _feeds(part) <= {up[0] for up in graph.predecessors(u)}, f"{u} names {_feeds(part)}"
    return graph, units


def _conducting(drawn: Drawn) -> networkx.MultiGraph[Node]:
    """The circuit without bonds, shields and resistances; a part that makes power of power joins its inputs to its
    outputs, through an inner point of its own so that it counts as one device."""
    circuit = drawn.design.circuit
    graph = circuit.graph.copy()
    for a, b, key, data in list(graph.edges(keys=True, data=True)):
        edge: Conductor | Inner = data["edge"]
        bond = is_earth_point(circuit, a) or is_earth_point(circuit, b)
        shield = isinstance(edge, Conductor) and edge.kind == "shield"
        weak = isinstance(edge, Inner) and isinstance(edge.element, Link) and edge.element.ohm >= 1.0
        if bond or shield or weak:
            graph.remove_edge(a, b, key)
    return graph


def _starts(part: MachinePart) -> list[Node]:
    """Where power begins: hot terminals of the inlet, the positive one of a source, the motor side of a drive."""
    names = [f.terminal for f in part.of(Feed) if f.conductor not in ("N", "PE")]
    names += [o.plus for o in part.of(Output) if o.name == "output"]
    if isinstance(part.data, Drive):
        names += [t.name for t in part.terminals.values() if t.function in (Function.MOTOR, Function.LOAD)]
    return [(part.name, name) for name in names]


def _ends(part: MachinePart) -> list[Node]:
    """Where a load or a source of the power overview takes its power in: inputs of power, loads, motor phases."""
    own = {node[1] for node in _starts(part)} | {o.minus for o in part.of(Output)}
    wanted = {end for e in part.of(Input) for end in (e.a, e.b)}
    functions = (Function.MOTOR,) if part.data.is_motor else (Function.SUPPLY, Function.LOAD, Function.MOTOR)
    wanted |= {t.name for t in part.terminals.values() if t.function in functions}
    return [(part.name, name) for name in wanted - own]


def _poles(part: MachinePart) -> list[Node]:
    return [(part.name, t.name) for t in part.terminals.values() if t.function is Function.POLE]


def _charged(part: MachinePart) -> list[Node]:
    return [(part.name, t.name) for t in part.terminals.values() if t.function is Function.DC_PLUS]


def _returns(drawn: Drawn) -> set[Node]:
    """Where current goes back: minus of every source, neutral of the inlet."""
    circuit = drawn.design.circuit
    found = {(p.name, f.terminal) for p, f in circuit.elements(Feed) if f.conductor == "N"}
    return found | {(p.name, o.minus) for p, o in circuit.elements(Output)}


class _Reach:
    """What a source reaches on the hot side, with every path of one device open ("" for none)."""

    def __init__(self, drawn: Drawn) -> None:
        self.graph = _conducting(drawn)
        back = {n for node in _returns(drawn) for n in networkx.node_connected_component(self.graph, node)}
        self.graph.remove_nodes_from(back)
        self.cache: dict[tuple[str, str], set[Node]] = {}
        parts = drawn.design.circuit.parts
        hot = {name: [n for n in _starts(part) if n in self.graph] for name, part in parts.items()}
        self.sources = {name: nodes for name, nodes in hot.items() if nodes}

    def of(self, source: str, device: str = "") -> set[Node]:
        if (source, device) not in self.cache:
            edges = [e for e in self.graph.edges(keys=True) if self._is_of(e, device)]
            view = networkx.restricted_view(self.graph, [], edges)
            starts = self.sources[source]
            self.cache[source, device] = {n for s in starts for n in networkx.node_connected_component(view, s)}
        return self.cache[source, device]

    def _is_of(self, edge: tuple[Node, Node, str], device: str) -> bool:
        return bool(device) and getattr(self.graph.edges[edge]["edge"], "part", "") == device


@pytest.mark.parametrize("name", SPECS)
def test_devices_before_every_part_are_those_that_part_it_from_its_source(name: str) -> None:
    _check_chains(drawn_spec(name))


def test_a_device_that_is_left_by_every_pole_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """The planted fault: all poles of a part are one, so that two supplies behind one contactor share their feeds."""

    def by_part(self: feeds._Feeding) -> dict[feeds.Way, int]:
        names = sorted({way.part for way in self.before})
        return {way: names.index(way.part) for way in self.before}

    monkeypatch.setattr(feeds._Feeding, "classes", by_part)
    design = spec_design("foam-gantry")
    with pytest.raises(AssertionError, match=r"G[14] from X0: drawn"):
        _check_chains(Drawn(design, draw(design, None, PAPERS["A3"]), PAPERS["A3"]))


def _check_chains(drawn: Drawn) -> None:
    circuit = drawn.design.circuit
    shown, units = _drawn(drawn)
    reach = _Reach(drawn)
    devices = {e.part for e in circuit.inner if circuit.parts[e.part].kind != "terminals"}
    compared = 0
    for part in (part for part in circuit.parts.values() if part.data.in_power):
        ends = {*(_ends(part) or _poles(part) or _charged(part))}
        for source in sorted(set(reach.sources) - {part.name}):
            drawn_here = [u for u in units if u[0] == part.name]
            between = _between(shown, source, drawn_here, reach.sources)
            if not ends & reach.of(source):
                assert between is None, f"{part.name} is drawn behind {source}"
                continue
            only = {d for d in devices - {source, part.name} if not ends & reach.of(source, d)}
            assert between == only, f"{part.name} from {source}: drawn {between}, networkx {only}"
            compared += 1
    assert compared >= 3


def _between(
    shown: networkx.DiGraph[Unit], source: str, loads: list[Unit], sources: dict[str, list[Node]]
) -> set[str] | None:
    """The parts on every drawn way from a source to a load that passes no other source; None where no way is drawn."""
    others = set(sources) - {source}
    ways = []
    for load in loads:
        for start in (u for u in shown if u[0] == source):
            for way in networkx.all_simple_paths(shown, start, load):
                inner = {u[0] for u in way[1:-1]}
                if not inner & others:
                    ways.append(inner - {source, load[0]})
    return set.intersection(*ways) if ways else None


@pytest.mark.parametrize("name", SPECS)
def test_no_part_stands_without_its_feed(name: str) -> None:
    """A symbol without a line before it is an inlet, a source of its own, or connected to no source at all."""
    drawn = drawn_spec(name)
    parts = drawn.design.circuit.parts
    shown, units = _drawn(drawn)
    graph = _conducting(drawn)
    fed = {n for p in parts.values() for s in _starts(p) for n in networkx.node_connected_component(graph, s)}
    floating = [u[0] for u in units if not list(shown.predecessors(u))]
    for part in (parts[p] for p in floating if not _starts(parts[p])):
        ends = [node for node in graph if node[0] == part.name]
        assert not any(node in fed for node in ends), part.name
    assert {p for p, part in parts.items() if part.data.in_power} <= {u[0] for u in units}


def _wired_to(drawn: Drawn, part: str) -> set[str]:
    """The parts that wires and terminal strips alone join with a part."""
    circuit = drawn.design.circuit
    graph: networkx.Graph[Node] = networkx.Graph()
    for edge in circuit.edges:
        is_strip = isinstance(edge, Inner) and circuit.parts[edge.part].kind == "terminals"
        if (isinstance(edge, Conductor) or is_strip) and not any(
            is_earth_point(circuit, end) for end in (edge.a, edge.b)
        ):
            graph.add_edge(edge.a, edge.b)
    nodes = {other for own in graph if own[0] == part for other in networkx.node_connected_component(graph, own)}
    return {name for name, _ in nodes if name != part and circuit.parts[name].kind != "terminals"}


@pytest.mark.parametrize("name", SPECS)
def test_what_a_device_leads_on_to_is_said_where_its_feed_ends(name: str) -> None:
    """A fuse of a control circuit feeds nothing that the overview shows: devices behind it stand beside it."""
    drawn = drawn_spec(name)
    parts = drawn.design.circuit.parts
    feeding = {up.id for picture in drawn.pictures for up, _ in _drawn_edges(picture)}
    for symbol in (part for picture in drawn.pictures for part in picture.of("overview") if "at" in part.data):
        said = [words.text.removeprefix("to ") for words in symbol.words if words.text.startswith("to ")]
        named = {one.rstrip(" …") for words in said for one in words.split(", ")}
        assert named <= _wired_to(drawn, symbol.id), symbol.id
        ends_here = symbol.id not in feeding and not _is_arrow(symbol)
        assert bool(named) or not (ends_here and parts[symbol.id].kind in ("fuse", "breaker")), symbol.id


def test_the_hot_wire_stands_behind_its_own_breaker() -> None:
    """As a person reads it off the plan of the gantry: wires 120 to 122 lead from F3 over K1 and K2 to G4."""
    shown, units = _drawn(drawn_spec("foam-gantry"))
    before = {u[0] for unit in units if unit[0] == "G4" for u in networkx.ancestors(shown, unit)}
    assert {"F3", "K1", "K2", "Q1"} <= before
    assert "F2" not in before
