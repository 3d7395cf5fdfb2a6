"""The legend: every symbol that stands on the circuit sheets, with its word."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.book_words import in_book
from wiring.drawing.columns_of_text import CHAR
from wiring.drawing.content import Content
from wiring.drawing.paper import Paper
from wiring.drawing.shapes import Box, Group, Line, Oval, Pen, Shape, Text, moved_all, rectangle, wrapped
from wiring.drawing.symbols import SymbolSet
from wiring.drawing.symbols.glyph import ring, stroke
from wiring.drawing.units import Form, Unit

#: Room for a symbol and for its words [mm].
_HIGH, _SIGN, _WORDS = 8.75, 24.0, 47.0
#: Words of two-ended symbols, of what moves contacts, and of signs inside frames and circles.
GLYPHS = {
    "make": "make contact",
    "break": "break contact",
    "main-make": "main pole of a contactor",
    "main-break": "main pole that breaks",
    "static-make": "semiconductor switch",
    "operated-make": "make contact, operated",
    "operated-break": "break contact, operated",
    "limit-make": "position switch, make",
    "limit-break": "position switch, break",
    "breaker": "circuit-breaker",
    "disconnector": "disconnector",
    "switch-disconnector": "switch-disconnector",
    "rcd": "residual current device",
    "motor-protector": "motor protector, thermal and magnetic release",
    "fuse": "fuse",
    "electronic-fuse": "electronic fuse",
    "thermal": "thermal overload release",
    "coil": "coil",
    "coil-on-delay": "coil, picks up late",
    "coil-off-delay": "coil, releases late",
    "valve": "valve coil",
    "brake": "holding brake",
    "lamp": "lamp",
    "resistor": "resistor",
    "heater": "heater",
    "capacitor": "capacitor",
    "thermocouple": "thermocouple",
    "diode": "diode",
    "suppressor-diode": "suppressor, diode",
    "suppressor-zener": "suppressor, Zener diode",
    "suppressor-varistor": "suppressor, varistor",
    "suppressor-rc": "suppressor, resistor and capacitor",
    "load": "load",
}
ACTUATORS = {
    "button": "moved by push-button",
    "mushroom": "by emergency stop, latching",
    "selector": "by selector",
    "key": "by key",
    "foot": "by foot",
    "guard": "by guard",
    "pressure": "by pressure",
    "temperature": "by temperature",
    "float": "by level",
    "trip": "by thermal release",
    "handle": "by handle",
    "residual": "by residual current",
}
EMBLEMS = {
    "ac-dc": "AC to DC",
    "dc-dc": "DC to DC",
    "dc-ac": "DC to AC, drive",
    "ac-ac": "AC to AC, drive",
    "isolator": "isolator",
    "transformer": "transformer",
    "battery": "battery",
    "filter": "mains filter",
    "outlet": "socket outlet",
    "curtain": "light curtain",
    "sensor": "proximity sensor",
    "encoder": "encoder",
    "arrester": "surge arrester",
    "fan": "fan",
    "pump": "pump",
    "motor": "motor",
    "motor-3": "motor, three phases",
    "motor-1": "motor, one phase",
    "motor-dc": "motor, DC",
    "motor-step": "stepper motor",
    "motor-servo": "servo motor",
    "temperature": "temperature controller",
    "chopper": "braking chopper",
    "resistor": "braking resistor",
    "heat": "heating",
}


class Entry(Struct, frozen=True):
    """One symbol about (0, 0), whose line runs at y = 0 from x = 0, and its word."""

    name: str
    shapes: tuple[Shape, ...]
    words: str


def _two_ended(units: Iterable[Unit], symbols: SymbolSet) -> list[Entry]:
    moved: dict[str, bool] = {}
    for unit in units:
        for lane in unit.lanes:
            if lane.glyph and unit.form is not Form.CHANGE_OVER:
                moved[lane.glyph] = moved.get(lane.glyph, True) and bool(unit.actuator)
    return [Entry(name, _glyph(symbols, name, moved[name]), GLYPHS[name]) for name in GLYPHS if name in moved]


def _glyph(symbols: SymbolSet, name: str, moved: bool) -> tuple[Shape, ...]:
    """A symbol with the beginning of the link by which it is always moved."""
    glyph = symbols.glyph(name)
    link = stroke((glyph.link_x, glyph.link_y), (glyph.link_x, -4.0), pen=Pen.LINK)
    return (*glyph.whole, link) if moved and glyph.link_x else glyph.whole


def _moved_by(units: Iterable[Unit], symbols: SymbolSet) -> list[Entry]:
    used = {unit.actuator for unit in units if unit.actuator}
    link = stroke((0.0, 0.0), (0.0, 2.0), pen=Pen.LINK)
    return [
        Entry(name, moved_all((*symbols.actuator(name), link), 5.0, 0.5), words)
        for name, words in ACTUATORS.items()
        if name in used
    ]


def _signs(units: Iterable[Unit], symbols: SymbolSet) -> list[Entry]:
    used = {(unit.emblem, unit.form) for unit in units if unit.emblem}
    found = []
    for name, words in EMBLEMS.items():
        for form in (Form.FRAME, Form.CIRCLE):
            if (name, form) in used:
                outer: Shape = ring(5.0, 0.0, 4.1) if form is Form.CIRCLE else rectangle(Box(1.0, -4.1, 9.0, 4.1))
                found.append(Entry(name, (outer, *moved_all(symbols.emblem(name), 5.0, 0.0)), words))
                break
    return found


def _others(units: Sequence[Unit], symbols: SymbolSet) -> list[Entry]:
    forms = {unit.form for unit in units}
    bonds = {unit.emblem for unit in units if unit.form is Form.BOND}
    point, bar = ring(2.0, 0.0, 1.0), stroke((3.0, 0.0), (6.0, 0.0))
    found = []
    if Form.CHANGE_OVER in forms:
        shapes = (stroke((0.0, 1.0), (2.5, 1.0)), stroke((2.5, 1.0), (8.1, -1.3)), stroke((7.5, 1.0), (7.5, -1.2)))
        ends = (stroke((7.5, 1.0), (10.0, 1.0)), stroke((7.5, -4.0), (10.0, -4.0)), stroke((7.5, -4.0), (7.5, -2.8)))
        found.append(Entry("change-over", (*shapes, *ends), "change-over contact"))
    if Form.POINTS in forms:
        found.append(Entry("point", (point,), "terminal"))
    if any(unit.form is Form.POINTS and unit.joined for unit in units):
        found.append(Entry("bridge", (point, bar, ring(7.0, 0.0, 1.0)), "terminals, bridged"))
    if "" in bonds:
        found.append(Entry("earth", moved_all(symbols.earth(), 1.0, 0.0), "protective earth"))
    if "frame" in bonds:
        found.append(Entry("frame", moved_all(symbols.frame(), 1.0, 0.0), "frame, touchable metal"))
    if "screen" in bonds:
        found.append(Entry("screen", (Oval(5.0, 0.0, 1.2, 2.0, Pen.LINK),), "shield of a cable"))
    return found


def legend_entries(units: Sequence[Unit], symbols: SymbolSet, book: str) -> list[Entry]:
    """Every symbol that the units need, each once, in the words of a rulebook."""
    cable: tuple[Shape, ...] = (*(stroke((0.0, y), (10.0, y)) for y in (-1.0, 1.0)), Oval(5.0, 0.0, 1.1, 1.9, Pen.HAIR))
    mark = Line(((4.0, 1.2), (6.6, 1.2), (5.3, -1.1)), Pen.HAIR, True, True)
    found = [
        *_two_ended(units, symbols),
        *_moved_by(units, symbols),
        *_signs(units, symbols),
        *_others(units, symbols),
        Entry("cable", cable, "cores of one cable"),
        Entry("finding", (mark,), "finding, told at the foot"),
    ]
    return [replace(entry, words=in_book(entry.words, book)) for entry in _alike_once(found)]


def _alike_once(entries: Iterable[Entry]) -> list[Entry]:
    """Symbols that a rulebook draws alike as one entry, with the names and words of all."""
    found: dict[tuple[Shape, ...], Entry] = {}
    for entry in entries:
        alike = found.get(entry.shapes)
        if alike:
            entry = Entry(f"{alike.name} {entry.name}", entry.shapes, f"{alike.words} or {entry.words}")
        found[entry.shapes] = entry
    return list(found.values())


def set_out(entries: Sequence[Entry], box: Box) -> tuple[list[Group], list[Entry]]:
    """The entries in columns from the top of a box, and those that have no room."""
    columns = max(1, int(box.width / (_SIGN + _WORDS)))
    rows = int(box.height / _HIGH)
    wide = box.width / columns
    found = []
    for n, entry in enumerate(entries[: columns * rows]):
        x, y = box.x1 + wide * (n // rows), box.y1 + _HIGH * (n % rows) + 5.5
        lines = wrapped(entry.words, int((min(wide, _SIGN + _WORDS) - _SIGN) / CHAR))[:2]
        words = [Text(x + _SIGN, y + 0.9 + 3.7 * n - 1.85 * (len(lines) - 1), line) for n, line in enumerate(lines)]
        found.append(Group("legend", entry.name, (*moved_all(entry.shapes, x, y), *words)))
    return found, list(entries[columns * rows :])


def legend_contents(entries: Sequence[Entry], paper: Paper) -> list[Content]:
    """Sheets for the entries that had no room on the cover; none where all had."""
    found = []
    while entries:
        groups, entries = set_out(entries, paper.area)
        found.append(Content("Symbols", "legend", tuple(groups)))
    return found
