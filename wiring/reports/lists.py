"""Lists of the bench on a terminal."""

from __future__ import annotations

from io import StringIO
from typing import TYPE_CHECKING, Literal

from wiring.documents.table import Table
from wiring.reports.lines import cells, clean
from wiring.reports.page import NARROWEST, Page
from wiring.reports.terminal import print_cautions

if TYPE_CHECKING:
    from rich.table import Table as RichTable


_GAP = 2
#: A longer word is cut over lines.
_LONGEST_WORD = 24


def render_list(table: Table, *, width: int, encoding: str = "utf-8") -> str:
    """The table within `width` columns (32 at the least), its notes and the cautions; long cells run over lines."""
    page = Page(width, encoding)
    page.text(f"{table.title}: {len(table.rows)} rows" if table.rows else f"{table.title}: none")
    body = _rows(table, max(width, NARROWEST), encoding) if table.rows else ""
    below = Page(width, encoding)
    below.blank()
    for note in table.notes:
        below.text(note)
    print_cautions(below)
    return page.render(False) + body + below.render(False)


def _rows(table: Table, width: int, encoding: str) -> str:
    """The rows as a table, or one short paragraph for each where the longest words do not fit side by side."""
    rows = [[clean(cell, encoding) for cell in row] for row in table.words()]
    headings = [clean(heading, encoding) for heading in table.headings]
    least = [_longest_word(column) for column in zip(headings, *rows, strict=True)]
    if sum(least) + _GAP * (len(least) - 1) > width:
        return _stacked(headings, rows, width, encoding)
    from rich.console import Console

    stream = StringIO()
    console = Console(file=stream, width=width, color_system=None, no_color=True, legacy_windows=False)
    console.print(_rich(table, headings, rows, least))
    return "".join(f"{line.rstrip(' ')}\n" for line in stream.getvalue().splitlines())


def _longest_word(column: tuple[str, ...]) -> int:
    return min(max(cells(word) for cell in column for word in cell.split() or [""]), _LONGEST_WORD)


def _stacked(headings: list[str], rows: list[list[str]], width: int, encoding: str) -> str:
    page = Page(width, encoding)
    for first, *others in rows:
        named = zip(headings[1:], others, strict=True)
        told = ", ".join(f"{heading.lower()} {cell}" for heading, cell in named if cell)
        page.text(f"{first}: {told}", 4, "  -")
    return page.render(False)


def _rich(table: Table, headings: list[str], rows: list[list[str]], least: list[int]) -> RichTable:
    from rich.table import Table as RichTable
    from rich.text import Text

    shown = RichTable(box=None, pad_edge=False, padding=(0, _GAP, 0, 0), header_style="")
    for column, heading, room in zip(table.columns, headings, least, strict=True):
        justify: Literal["left", "right"] = "right" if column.unit else "left"
        shown.add_column(Text(heading), justify=justify, overflow="fold", min_width=room)
    for row in rows:
        shown.add_row(*map(Text, row))
    return shown
