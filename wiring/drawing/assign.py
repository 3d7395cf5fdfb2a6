"""Which sheet every unit belongs to.

Most units say it by their kind. Terminals, card pins, contacts and passive parts go where their wires lead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Circuit, Node
from wiring.circuit.roles import Role
from wiring.design.design import Design
from wiring.drawing.functions import AXIS, BOND, DC, FOLLOWS, HINT, IO, MAINS, PROCESS, STOP, base_of, rank_of
from wiring.drawing.notes import notes_of
from wiring.drawing.sections import bridge_groups, card_units, is_card, is_strip, relay_names, strip_units
from wiring.drawing.split import split_part
from wiring.drawing.units import Form, Unit
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Function, Switch
from wiring.parts.traits import SheetFunction, SymbolForm

_HOME = {
    SheetFunction.MAINS: MAINS,
    SheetFunction.DC: DC,
    SheetFunction.STOP: STOP,
    SheetFunction.IO: IO,
    SheetFunction.PROCESS: PROCESS,
    SheetFunction.BOND: BOND,
}


def conductor_links(circuit: Circuit) -> Mapping[Node, list[Node]]:
    """The far ends of the conductors at every terminal, in the order of the conductors."""
    found: dict[Node, list[Node]] = {}
    for conductor in circuit.conductors:
        found.setdefault(conductor.a, []).append(conductor.b)
        found.setdefault(conductor.b, []).append(conductor.a)
    return found


class _Context(Struct, frozen=True):
    design: Design
    links: Mapping[Node, list[Node]]
    wired: frozenset[Node]
    axis_of: Mapping[str, str]
    stop_parts: frozenset[str]


def _earth_onward(circuit: Circuit) -> frozenset[Node]:
    """Protective pins of drives from which earth leads on in the cable of the motor alone: they stand by its phases."""
    cables: dict[Node, set[str]] = {}
    for conductor in circuit.conductors:
        for node in conductor.ends:
            cables.setdefault(node, set()).add(conductor.cable or "")

    def of(part: Part, function: Function) -> dict[Node, set[str]]:
        nodes = [(part.name, t.name) for t in part.terminals.values() if t.function is function]
        return {node: cables[node] for node in nodes if node in cables}

    found: set[Node] = set()
    for part in circuit.parts.values():
        phases = set[str]().union(*of(part, Function.MOTOR).values()) if isinstance(part.data, Drive) else set()
        found |= {node for node, own in of(part, Function.PE).items() if own <= phases - {""}}
    return frozenset(found)


def _axis_parts(design: Design) -> dict[str, str]:
    found: dict[str, str] = {}
    for name, axis in sorted(design.axes.items()):
        found[name] = AXIS + name
        for part in (*axis.motors, *axis.brakes):
            found.setdefault(part.name, AXIS + name)
    return found


def _context(design: Design) -> _Context:
    links = conductor_links(design.circuit)
    stops = design.plan.stops.values()
    parts = {name for stop in stops for name in (*stop.devices, stop.reset or "")}
    return _Context(design, links, frozenset(links), _axis_parts(design), frozenset(parts))


def _near_axis(part: Part, context: _Context) -> str | None:
    """The axis that most conductors of an encoder or resistor lead to."""
    counts: dict[str, int] = {}
    for terminal in part.terminals:
        for far, _ in context.links.get((part.name, terminal), ()):
            if far in context.axis_of:
                counts[context.axis_of[far]] = counts.get(context.axis_of[far], 0) + 1
    return min(counts, key=lambda name: (-counts[name], name)) if counts else None


def _carries_load(part: Part, context: _Context) -> bool:
    """Whether contacts stand in a power circuit: all their wires lead to main poles and loads."""
    ends = [far for terminal in part.terminals for far in context.links.get((part.name, terminal), ())]
    parts = context.design.parts
    functions = {parts[name].terminals[terminal].function for name, terminal in ends if name in parts}
    return bool(functions) and functions <= {Function.POLE, Function.LOAD, Function.MOTOR}


def _is_operator(part: Part) -> bool:
    return part.data.sheet_function is SheetFunction.INPUT


def _is_bonding(part: Part) -> bool:
    return part.data.sheet_function is SheetFunction.BOND


def _serves_card(part: Part, context: _Context) -> bool:
    """Whether an operator leads to an input of a card, over terminals and other operators."""
    parts = context.design.parts
    seen: set[Node] = set()
    queue = [(part.name, terminal) for terminal in sorted(part.terminals)]
    while queue:
        node = queue.pop()
        if node in seen:
            continue
        seen.add(node)
        owner = parts.get(node[0])
        if owner is None:
            continue
        if is_card(owner):
            return True
        is_operator = _is_operator(owner)
        if is_operator or (is_strip(owner) and not _is_bonding(owner)):
            queue += context.links.get(node, ())
        if is_operator:
            for switch in owner.of(Switch):
                if node[1] in (switch.a, switch.b):
                    queue += [(owner.name, switch.a), (owner.name, switch.b)]
    return False


def _of_poles(part: Part, context: _Context) -> str:
    roles = {context.design.roles.role.get((part.name, name), Role.NONE) for name in part.terminals}
    if roles & {Role.LIVE, Role.NEUTRAL}:
        return MAINS
    return DC if roles & {Role.PLUS, Role.ZERO, Role.AC} else MAINS


def _definite(unit: Unit, part: Part, context: _Context) -> str | None:
    """The function that a unit says by itself, None where it follows its wires."""
    if part.data.sheet:
        return HINT + part.data.sheet
    if unit.form is Form.BOND:
        return BOND
    if part.name in context.axis_of:
        return context.axis_of[part.name]
    function = part.data.sheet_function
    if part.data.near_axis:
        return _near_axis(part, context) or _HOME[function]
    if function is SheetFunction.INPUT and _carries_load(part, context):
        return PROCESS
    if function is SheetFunction.INPUT:
        is_stop = part.name in context.stop_parts or not _serves_card(part, context)
        return STOP if is_stop else IO
    switches = function in (SheetFunction.POLES, SheetFunction.MAINS) and unit.form is Form.LANES
    if unit.what == "poles" or (switches and unit.main):
        return _of_poles(part, context)
    if _is_contact(unit) and _reaches_input(unit, context):
        return IO
    if function is SheetFunction.WIRES or unit.form is Form.CHANGE_OVER or _is_contact(unit):
        return None
    return _HOME.get(function, STOP)


def _reaches_input(unit: Unit, context: _Context) -> bool:
    """Whether a contact is wired to an input of a card."""
    for node in unit.nodes:
        for name, terminal in context.links.get(node, ()):
            far = context.design.parts.get(name)
            if far and is_card(far) and far.terminals[terminal].function is Function.INPUT:
                return True
    return False


def _is_contact(unit: Unit) -> bool:
    return not unit.main and unit.form is Form.LANES and len(unit.lanes) == 1 and unit.what not in ("poles", "outputs")


class _Assigner:
    """Gives every terminal its function: the definite ones first, then by neighbours, round by round."""

    def __init__(self, context: _Context) -> None:
        self.context = context
        self.home: dict[Node, str] = {}

    def best(self, sheets: Iterable[str]) -> str | None:
        found = sorted(set(sheets), key=lambda sheet: (FOLLOWS.index(base_of(sheet)), sheet))
        return found[0] if found else None

    def around(self, nodes: Iterable[Node]) -> Iterator[str]:
        for node in nodes:
            for far in self.context.links.get(node, ()):
                if far in self.home:
                    yield self.home[far]

    def settle(self, groups: list[tuple[list[Node], str]]) -> None:
        """Give each group of terminals its function; one that no wire decides takes its default."""
        found: dict[int, str] = {}
        while len(found) < len(groups):
            fresh = {}
            for index, (nodes, _) in enumerate(groups):
                sheet = None if index in found else self.best(self.around(nodes))
                if sheet is not None:
                    fresh[index] = sheet
            if not fresh:
                index = next(n for n in range(len(groups)) if n not in found)
                fresh = {index: groups[index][1]}
            for index, sheet in fresh.items():
                found[index] = sheet
                for node in groups[index][0]:
                    self.home.setdefault(node, sheet)


def _groups_of(design: Design, pending: list[Unit], context: _Context) -> list[tuple[list[Node], str]]:
    groups = [(unit.nodes, STOP if _is_contact(unit) else IO) for unit in pending]
    for part in design.parts.values():
        if is_strip(part) or is_card(part):
            relays = relay_names(part)
            pairs = [s for s in part.elements if isinstance(s, Switch) and s.name in relays]
            together = {end for pair in pairs for end in (pair.a, pair.b)}
            groups += [([(part.name, pair.a), (part.name, pair.b)], IO) for pair in pairs]
            default = BOND if _is_bonding(part) else IO
            for name in part.terminals:
                if (part.name, name) in context.wired and name not in together:
                    groups.append(([(part.name, name)], default))
    return groups


def _hinted(design: Design, assigner: _Assigner, context: _Context) -> None:
    """Earth bars and hinted strips say where all of their points are."""
    for part in design.parts.values():
        if is_strip(part) or is_card(part):
            sheet = HINT + part.data.sheet if part.data.sheet else BOND if _is_bonding(part) else ""
            for terminal in part.terminals.values():
                supplied = is_card(part) and terminal.function is Function.SUPPLY
                own = sheet or (IO if supplied else "")
                if own and (part.name, terminal.name) in context.wired:
                    assigner.home[part.name, terminal.name] = own


def _beside(context: _Context, home: Mapping[Node, str]) -> dict[Node, str]:
    """The device that a bridged point stands beside: an input or card that takes its plus and its return from bridges.

    So the supply of a sensor need not cross the rows of all others.
    """
    found: dict[str, dict[Node, tuple[str, int]]] = {}
    for part in filter(is_strip, context.design.parts.values()):
        for name, bridge in bridge_groups(part).items():
            node = (part.name, name)
            for far in context.links.get(node, ()):
                device = context.design.parts.get(far[0])
                framed = device and device.data.symbol.form in (SymbolForm.FRAME, SymbolForm.CARD)
                if framed and home[node] == IO == home.get(far):
                    found.setdefault(far[0], {})[node] = (part.name, bridge)
    return {node: name for name, own in found.items() if len(set(own.values())) > 1 for node in own}


def find_units(design: Design) -> list[Unit]:
    """Every unit of a design with the sheet it belongs to, in the order of the parts."""
    context = _context(design)
    assigner = _Assigner(context)
    settled: list[Unit] = []
    pending: list[Unit] = []
    onward = _earth_onward(design.circuit)
    for part in design.parts.values():
        if is_strip(part) or is_card(part):
            continue
        for unit in split_part(part, context.wired, onward):
            sheet = _definite(unit, part, context)
            named = replace(unit, notes=notes_of(unit, part))
            if sheet is None:
                pending.append(named)
                continue
            settled.append(replace(named, sheet=sheet))
            for node in unit.nodes:
                assigner.home.setdefault(node, sheet)
    _hinted(design, assigner, context)
    groups = [(n, d) for n, d in _groups_of(design, pending, context) if n[0] not in assigner.home]
    assigner.settle(groups)
    settled += [replace(unit, sheet=assigner.home.get(unit.nodes[0], IO)) for unit in pending]
    beside = _beside(context, assigner.home)
    for part in design.parts.values():
        if is_strip(part):
            settled += strip_units(part, assigner.home, context.wired, beside)
        elif is_card(part):
            cards = card_units(part, assigner.home, context.wired)
            settled += [replace(unit, notes=notes_of(unit, part)) for unit in cards]
    return sorted(settled, key=lambda unit: (rank_of(unit.sheet), unit.part, unit.id))
