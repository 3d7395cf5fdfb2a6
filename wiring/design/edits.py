"""Changes of the machine as edits of its plan: a value of a part, a wire led elsewhere, a conductor taken away."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import TYPE_CHECKING

from wiring.circuit.model import Conductor, Node, named
from wiring.parts.base import Part
from wiring.parts.passive import EarthBar
from wiring.plan.edits import AddItem, Edit, RemoveEntry, SetValue, scalar
from wiring.rulebooks.steps import nominal

if TYPE_CHECKING:
    from wiring.design.design import Design
    from wiring.design.plan_origin import PlanOrigin
    from wiring.plan.records import TerminalRef


#: The voltage at the beginning of a rating.
_VOLTAGE = re.compile(r"^[\d.]+ V (DC|AC)")


def of_part(part: str, key: str, text: str) -> tuple[Edit, ...]:
    """A part with another value."""
    return (SetValue(("parts", part, key), text),)


def for_voltage(design: Design, part: Part, key: str, volts: float, kind: str) -> tuple[Edit, ...]:
    """A part whose rating at that key, such as `24 V DC 2 W`, is for the nominal voltage nearest to one."""
    node = design.reading.node("parts", part.name, key)
    text = node.data if node is not None else None
    if not isinstance(text, str) or not _VOLTAGE.match(text):
        return ()
    return of_part(part.name, key, scalar(_VOLTAGE.sub(f"{nominal(volts, kind):g} V {kind}", text, count=1)))


def of_conductors(design: Design, conductors: Iterable[Conductor], key: str, text: str) -> tuple[Edit, ...]:
    """Wires and cables with a value of their own, whatever their type says."""
    found: dict[tuple[str | int, ...], Edit] = {}
    for conductor in conductors:
        entry = design.origins.of_conductor.get(conductor.id)
        if entry is not None:
            path = (entry.section, entry.id, key)
            found[path] = SetValue(path, text)
    return tuple(found.values())


def coloured(design: Design, conductors: Sequence[Conductor], colour: str) -> tuple[Edit, ...]:
    """Conductors in another colour; nothing where cores are called by their colour."""
    found: list[Edit] = []
    for conductor in conductors:
        entry = design.origins.of_conductor.get(conductor.id)
        if entry is None:
            return ()
        if entry.section == "wires":
            found += of_conductors(design, [conductor], "colour", colour)
            continue
        core, cable = conductor.id.removeprefix(f"{entry.id}."), design.plan.cables[entry.index]
        if cable.colour_of(core) != conductor.colour:
            return ()
        at = list(cable.join).index(core) if isinstance(cable.colours, tuple) else core
        found.append(SetValue(("cables", entry.id, "colours", at), colour))
    return tuple(dict.fromkeys(found))


def taken_away(design: Design, conductors: Iterable[Conductor]) -> tuple[Edit, ...]:
    """The plan without these conductors; a chain is cut in two, and nothing is given where it is cut twice."""
    found: dict[tuple[str | int, ...], tuple[Edit, ...]] = {}
    for conductor in conductors:
        entry = design.origins.of_conductor.get(conductor.id)
        if entry is None:
            return ()
        core = conductor.id.removeprefix(f"{entry.id}.")
        whole = entry.section == "cables" or design.plan.wires[entry.index].start is not None
        path = (entry.section, entry.id) if entry.section == "wires" else ("cables", entry.id, "join", core)
        cut = (RemoveEntry(path),) if whole else _piece_away(design, entry, conductor)
        if not cut or (not whole and path in found):
            return ()
        found[path] = cut
    return tuple(edit for edits in found.values() for edit in edits)


def _piece_away(design: Design, entry: PlanOrigin, conductor: Conductor) -> tuple[Edit, ...]:
    """A chain or a fan-out without one of its pieces; what lies beyond it in a chain is a wire of its own."""
    wire = design.plan.wires[entry.index]
    if wire.star is not None:
        ends = [ref for ref in wire.star.to if (ref.part, ref.terminal) not in conductor.ends]
        return (SetValue(("wires", entry.id, "star", "to"), _refs(ends)),) if ends else ()
    refs = list(wire.through or ())
    nodes = [(ref.part, ref.terminal) for ref in refs]
    cuts = [n for n, pair in enumerate(pairwise(nodes), 1) if set(pair) == set(conductor.ends)]
    if len(cuts) != 1:
        return ()
    first, then = refs[: cuts[0]], refs[cuts[0] :]
    kept, rest = (first, then) if len(first) > 1 else (then, [])
    if len(kept) < 2:
        return (RemoveEntry(("wires", entry.id)),)
    edits: list[Edit] = [SetValue(("wires", entry.id, "through"), _refs(kept))]
    if len(rest) > 1:
        node = design.reading.node("wires", entry.index)
        data = node.data if node is not None and isinstance(node.data, dict) else {}
        plain = {key: str(value) for key, value in data.items() if isinstance(value, str | int | float)}
        plain = {key: scalar(value) for key, value in plain.items() if key not in ("wire", "title")}
        made = ", ".join(f"{key}: {value}" for key, value in plain.items())
        edits.append(AddItem(("wires",), f"{{wire: {_number(design)}, through: {_refs(rest)}, {made}}}"))
    return tuple(edits)


def _refs(refs: Iterable[TerminalRef]) -> str:
    return f"[{', '.join(scalar(str(ref)) for ref in refs)}]"


def led_to(design: Design, conductor: Conductor, old: Node, new: Node) -> tuple[Edit, ...]:
    """The end of a conductor at another terminal; in a chain the terminal is passed over for the other one."""
    entry = design.origins.of_conductor.get(conductor.id)
    if entry is None:
        return ()
    text = f'"{named(new)}"'
    if entry.section == "cables":
        core = conductor.id.removeprefix(f"{entry.id}.")
        return (SetValue(("cables", entry.id, "join", core, 0 if conductor.a == old else 1), text),)
    wire = design.plan.wires[entry.index]
    if wire.start is not None:
        return (SetValue(("wires", entry.id, "from" if conductor.a == old else "to"), text),)
    refs = wire.through or (wire.star.to if wire.star else ())
    places = [n for n, ref in enumerate(refs) if (ref.part, ref.terminal) == old]
    way = ("through",) if wire.through else ("star", "to")
    return (SetValue(("wires", entry.id, *way, places[0]), text),) if len(places) == 1 else ()


def swapped(design: Design, one: Node, other: Node) -> tuple[Edit, ...]:
    """What is at two terminals the other way round; nothing where an end of it cannot be moved."""
    found: list[Edit] = []
    for old, new in ((one, other), (other, one)):
        wires = [wire for wire in design.circuit.conductors_at(old) if wire.kind != "shield"]
        for wire in wires:
            moved = led_to(design, wire, old, new)
            if not moved:
                return ()
            found += moved
    return tuple(dict.fromkeys(found))


def free_points(design: Design, part: Part) -> list[Node]:
    """The terminals of a part at which nothing ends."""
    ends = [(part.name, terminal) for terminal in part.terminals]
    return [end for end in ends if not design.circuit.conductors_at(end)]


def earth_points(design: Design, count: int, bar: str = "") -> tuple[list[Node], tuple[Edit, ...]]:
    """So many free points of an earth bar that is earthed, or of that bar, and the edits that add what lacks."""
    for part in design.parts.values():
        ends = {(part.name, terminal) for terminal in part.terminals}
        if not isinstance(part.data, EarthBar) or (bar and part.name != bar) or not ends & design.earthing.reached:
            continue
        free = free_points(design, part)
        more = max(count - len(free), 0)
        first = part.data.points_ + 1
        free += [(part.name, str(first + n)) for n in range(more)]
        edits = of_part(part.name, "points", str(part.data.points_ + more)) if more else ()
        return free[:count], edits
    return [], ()


def earthed(design: Design, node: Node, bar: str = "") -> tuple[Edit, ...]:
    """A protective conductor of its own from a terminal to an earth bar, like the one that the plan has."""
    points, edits = earth_points(design, 1, bar)
    like = next((one for one in design.earthing.conductors if one.kind == "wire" and one.size is not None), None)
    if not points or like is None:
        return ()
    entry = design.origins.of_conductor[like.id]
    made = f"type: {entry.type}" if entry.type else f"colour: GNYE, insulation: {like.insulation or 'pvc-70'}"
    line = f"wire: {_number(design)}, from: {scalar(named(points[0]))}, to: {scalar(named(node))}, {made}"
    size = _line_size(design, node[0], like)
    return (*edits, AddItem(("wires",), f"{{{line}, size: {size}, length: 1 m}}"))


def _line_size(design: Design, part: str, like: Conductor) -> str:
    """The thicker of the thickest conductor at a part and a protective conductor that is there."""
    ends = [(part, terminal) for terminal in design.parts[part].terminals]
    sizes = [one.size for end in ends for one in design.circuit.conductors_at(end) if one.size is not None]
    return max([size for size in (*sizes, like.size) if size is not None], key=lambda size: size.area_mm2).text


def _number(design: Design) -> str:
    """A number that no wire or cable has."""
    taken = {*(wire.wire for wire in design.plan.wires), *(cable.cable for cable in design.plan.cables)}
    return next(name for name in (f"PE{n}" for n in range(1, len(taken) + 2)) if name not in taken)
