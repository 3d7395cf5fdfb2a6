"""Terminals and cards, which are split by the sheets that they serve."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.drawing.functions import IO, base_of, rank_of
from wiring.drawing.split import Splitter
from wiring.drawing.units import MOST_LANES, Form, Lane, Unit
from wiring.parts.base import Part
from wiring.parts.elements import Function, Link, Switch
from wiring.parts.signals import IoCard
from wiring.parts.traits import SymbolForm


def is_strip(part: Part) -> bool:
    """Whether it is a row of points, each drawn where its wires lead."""
    return part.data.symbol.form is SymbolForm.STRIP


def is_card(part: Part) -> bool:
    """Whether it is drawn in sections, one for each sheet that it serves."""
    return part.data.symbol.form is SymbolForm.CARD


def bridge_groups(part: Part) -> dict[str, int]:
    """The number of the bridge that each point is on; points without a bridge have none."""
    group: dict[str, int] = {}
    for number, element in enumerate(part.elements):
        if isinstance(element, Link) and element.ohm == 0.0:
            group.setdefault(element.a, number)
            old = group.get(element.b, group[element.a])
            merged = min(old, group[element.a])
            for name, value in list(group.items()):
                if value in (old, group[element.a]):
                    group[name] = merged
            group[element.b] = merged
    return group


def strip_units(part: Part, home: Mapping[Node, str], wired: frozenset[Node], beside: Mapping[Node, str]) -> list[Unit]:
    """Terminals as they are drawn: the bridged points of a sheet together, each other point alone.

    Points that stand `beside` a device are a piece of their own.
    """
    bridges = bridge_groups(part)
    pieces: dict[tuple[str, str, tuple[str, str]], list[Node]] = {}
    for name in part.terminals:
        node = (part.name, name)
        if node in wired:
            key = ("bridge", str(bridges[name])) if name in bridges else ("point", name)
            pieces.setdefault((home[node], beside.get(node, ""), key), []).append(node)
    split = Splitter(part, wired)
    units = []
    for (sheet, _, (_, bridge)), nodes in pieces.items():
        for start in range(0, len(nodes), MOST_LANES):
            chunk = nodes[start : start + MOST_LANES]
            what = chunk[0][1]
            lanes = [Lane(node, node) for node in chunk]
            joined = chunk[0][1] in bridges
            units.append(split.unit(what, Form.POINTS, lanes, sheet=sheet, joined=joined, bridge=bridge))
    return units


def card_units(part: Part, home: Mapping[Node, str], wired: frozenset[Node]) -> list[Unit]:
    """Sections of a card, one for each sheet that it serves."""
    split = Splitter(part, wired)
    sections: dict[str, tuple[list[Node], list[Node]]] = {}
    relays = [element for element in part.elements if isinstance(element, Switch) and element.name in relay_names(part)]
    units: list[Unit] = []
    done = {(part.name, end) for relay in relays for end in (relay.a, relay.b)}
    for relay in relays:
        if split.is_used(relay):
            lane = Lane(split.node(relay.a), split.node(relay.b), "make")
            units.append(split.unit(relay.name, Form.LANES, [lane], sheet=home[split.node(relay.a)], flippable=True))
    for terminal in part.terminals.values():
        node = (part.name, terminal.name)
        if node in wired and node not in done:
            left, right = sections.setdefault(home[node], ([], []))
            (right if terminal.function is Function.OUTPUT else left).append(node)
    for sheet in sorted(sections, key=rank_of):
        left, right = _with_commons(part, *sections[sheet])
        units += split.frame(sheet, left, right, sheet=sheet)
    if not units:
        units = split.frame("", [], [], sheet=IO)
    main = next((n for n, unit in enumerate(units) if unit.form is Form.FRAME and base_of(unit.sheet) == IO), 0)
    return [replace(unit, main=n == main) for n, unit in enumerate(units)]


def _with_commons(part: Part, left: list[Node], right: list[Node]) -> tuple[list[Node], list[Node]]:
    """The common of outputs stands with them where the section has no inputs."""
    functions = {part.terminals[node[1]].function for node in left}
    if right and functions <= {Function.COMMON}:
        return [], [*right, *left]
    return left, right


def relay_names(part: Part) -> set[str]:
    """The outputs of a card that are contacts of a relay."""
    outputs = part.data.outputs if isinstance(part.data, IoCard) else {}
    return {name for name, word in outputs.items() if word.startswith("relay")}
