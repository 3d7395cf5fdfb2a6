"""Lists of the bench on a terminal."""

from __future__ import annotations

from io import StringIO
from typing import TYPE_CHECKING

from wiring.documents.table import Table
from wiring.reports.lines import clean
from wiring.reports.page import NARROWEST, Page
from wiring.reports.terminal import print_cautions

if TYPE_CHECKING:
    from rich.table import Table as RichTable


def render_list(table: Table, *, width: int, encoding: str = "utf-8") -> str:
    """The table within `width` columns (32 at the least), its notes and the cautions; long cells run over lines."""
    page = Page(width, encoding)
    page.text(f"{table.title}: {len(table.rows)} rows" if table.rows else f"{table.title}: none")
    body = _rows(table, max(width, NARROWEST), encoding) if table.rows else ""
    below = Page(width, encoding)
    below.blank()
    for note in table.notes:
        below.text(note, 2, "")
    print_cautions(below)
    return page.render(False) + body + below.render(False)


def _rows(table: Table, width: int, encoding: str) -> str:
    from rich.console import Console

    stream = StringIO()
    Console(file=stream, width=width, color_system=None, no_color=True, legacy_windows=False).print(
        _rich(table, encoding)
    )
    return "".join(f"{line.rstrip(' ')}\n" for line in stream.getvalue().splitlines())


def _rich(table: Table, encoding: str) -> RichTable:
    from rich.table import Table as RichTable
    from rich.text import Text

    shown = RichTable(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="")
    for column in table.columns:
        justify = "right" if column.unit else "left"
        shown.add_column(Text(clean(column.heading, encoding)), justify=justify, overflow="fold")  # type: ignore[arg-type]
    for row in table.words():
        shown.add_row(*(Text(clean(cell, encoding)) for cell in row))
    return shown
