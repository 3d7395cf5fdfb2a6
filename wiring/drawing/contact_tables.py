"""The table under a coil: its contacts that make and that break, where each is drawn, those that no wire uses, and the
places of its other terminals."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import zip_longest

from wiring.design.design import Design
from wiring.drawing.labels import Contact, ContactRow
from wiring.drawing.units import Form, Unit
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.traits import SymbolForm

_COILS = (SymbolForm.COIL, SymbolForm.CHANNELS)


def sibling_label(unit: Unit) -> str:
    """How the main unit calls another of its part: the terminals at its ends, of a change-over contact all three."""
    if unit.form is Form.CHANGE_OVER:
        return unit.what
    nodes = unit.nodes
    first, last = nodes[0][1], nodes[-1][1]
    return first if first == last else f"{first}-{last}"


def contact_tables(design: Design, units: Sequence[Unit]) -> Mapping[str, Sequence[ContactRow]]:
    """The rows of the table under every coil that moves contacts, by the unit of the coil."""
    members: dict[str, list[Unit]] = {}
    for unit in units:
        members.setdefault(unit.part, []).append(unit)
    found: dict[str, Sequence[ContactRow]] = {}
    for name, own in members.items():
        part = design.parts.get(name)
        main = next((unit for unit in own if unit.main), None)
        if part is not None and main is not None and part.data.symbol.form in _COILS:
            rows = _rows(part, [unit for unit in own if unit is not main])
            found |= {main.id: rows} if rows else {}
    return found


def _rows(part: Part, others: Sequence[Unit]) -> list[ContactRow]:
    makes: list[Contact] = []
    breaks: list[Contact] = []
    rest: list[Contact] = []
    drawn: set[str] = set()
    for unit in others:
        contacts = {lane.contact for lane in unit.lanes if lane.contact}
        drawn |= contacts
        if unit.form is not Form.BOND:
            only_breaks = all("break" in lane.glyph for lane in unit.lanes) and unit.form is Form.LANES
            own = rest if not contacts else breaks if only_breaks else makes
            own.append((sibling_label(unit), unit.id))
    for switch in part.of(Switch):
        if switch.name not in drawn and switch.a in part.terminals and switch.b in part.terminals:
            (breaks if switch.closed_at_rest else makes).append((switch.name, ""))
    return [(*pair, None) for pair in zip_longest(makes, breaks)] + [(None, None, one) for one in rest]
