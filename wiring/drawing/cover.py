"""The cover: what the machine is, the list of sheets, the symbols used, the cautions."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from wiring.design.design import Design
from wiring.drawing.columns_of_text import CHAR, LINE, Column
from wiring.drawing.legend import Entry, set_out
from wiring.drawing.paper import Paper
from wiring.drawing.shapes import (
    Box,
    Group,
    Line,
    Pen,
    Shape,
    Text,
    rectangle,
    shortened,
    wrapped,
)

CAUTIONS = (
    "This tool assists and does not certify. Local electrical code and the authority having jurisdiction decide.",
    "Work on mains, verification and commissioning belong to people qualified and licensed for it where the law says "
    "so.",
    "Before touching anything: isolate, lock off, prove dead, wait for capacitors to discharge.",
    "Contacts are drawn without power, without outside force and with guards closed; main switches, breakers and motor "
    "protectors are drawn switched on.",
)
#: Lines above the contents of the set: facts of the machine and a heading; and a line of air below.
_ABOVE_CONTENTS = 6


class Contents(Struct, frozen=True):
    """A line of the list of sheets."""

    number: int
    title: str


def _conventions(column: Column, book: str, place: str) -> None:
    column.heading("How to read")
    unit, thick = ("AWG", "16 AWG") if book == "na" else ("mm²", "1.5 mm²")
    column.line(
        f"A wire carries its number, its size ({unit} unless another unit stands there) and its colour letters."
    )
    column.line(f"▷ sheet/{place} part:terminal says where an interrupted wire goes on.")
    column.line(f"Thick lines are {thick} and more. Dashed lines are mechanical links and shields.")
    column.line("A ring holds the cores of one cable. A numbered triangle is a finding; its text stands at the foot.")
    column.line("Terminals that stand one above the other and are joined by a bar are bridged.")


def _facts(design: Design) -> list[str]:
    plan = design.plan
    lines = [f"Rulebook: {'North American' if plan.rulebook == 'na' else 'IEC'}"]
    if plan.mains:
        mains = plan.mains
        frequency = f", {mains.frequency:g} Hz" if mains.frequency else ""
        lines.append(
            f"Supply: {mains.system}, {mains.voltage.volts:g} V AC{frequency}, {mains.earthing or 'earthing not given'}"
        )
    return lines


def _colours(design: Design) -> str:
    from wiring.plan.colours import colour_name

    used = sorted({c.colour for c in design.circuit.conductors if c.colour})
    return ", ".join(f"{code} {colour_name(code)}" for code in used)


def _columns(paper: Paper) -> tuple[Box, Box]:
    """Contents to the left, symbols to the right, between the head and the cautions."""
    area = paper.area
    middle = area.x1 + area.width * (0.5 if paper.upright else 0.43)
    top, foot = area.y1 + 22.0, area.y2 - 40.0
    return Box(area.x1, top, middle - 6.0, foot), Box(middle + 2.0, top, area.x2, foot)


def room_for_overview(paper: Paper, sheets: int) -> Box:
    """What the contents of so many sheets leave free below them; its height is below zero for too many."""
    left, _ = _columns(paper)
    return Box(left.x1, left.y1 + (sheets + _ABOVE_CONTENTS) * LINE, left.x2, left.y2)


def cover_groups(
    design: Design, entries: Sequence[Entry], listed: Sequence[Contents], paper: Paper
) -> tuple[list[Group], list[Entry]]:
    """What stands on the cover, and the symbols that had no room on it."""
    area = paper.area
    head: list[Shape] = [
        Text(area.x1, area.y1 + 9.0, shortened(design.plan.machine, int(area.width / (CHAR * 2.8))), 7.0, bold=True),
        Text(area.x1, area.y1 + 16.0, shortened("Circuit diagrams", 60), 3.5),
        Line(((area.x1, area.y1 + 19.5), (area.x2, area.y1 + 19.5)), Pen.FRAME),
    ]
    left, right = (Column(box, design.plan.rulebook) for box in _columns(paper))
    foot = right.box.y2
    for fact in _facts(design):
        left.line(fact)
    left.heading("Sheets")
    for n, entry in enumerate(listed):
        if left.room <= 1 and n < len(listed) - 1:
            left.line(f"… to sheet {listed[-1].number}")
            break
        left.line(shortened(f"{entry.number:>3}  {entry.title}", left.most))
    _conventions(right, design.plan.rulebook, "line" if paper.has_lines else "zone")
    colours = _colours(design)
    if colours:
        right.line(f"Colours: {colours}.")
    right.heading("Symbols")
    legend, rest = set_out(entries, Box(right.box.x1, right.y, right.box.x2, foot))
    cautions = _cautions(Box(area.x1, foot + 4.0, area.x2, area.y2))
    return [Group("cover", "", (*head, *left.shapes, *right.shapes, *cautions)), *legend], rest


def _cautions(box: Box) -> list[Shape]:
    shapes: list[Shape] = [rectangle(box, Pen.FRAME), Text(box.x1 + 4.0, box.y1 + 6.0, "CAUTIONS", 3.5, bold=True)]
    y = box.y1 + 7.0
    for caution in CAUTIONS:
        for line in wrapped(caution, int((box.width - 8.0) / CHAR)):
            y += LINE
            shapes.append(Text(box.x1 + 4.0, y, line))
    return shapes
