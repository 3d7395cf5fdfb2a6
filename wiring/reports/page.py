"""A page for the terminal: text and tables collected line by line, then written by rich in one go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from io import StringIO
from typing import TYPE_CHECKING, TextIO

from wiring.findings import Signal
from wiring.reports.lines import cells, clean, indented, shortened

if TYPE_CHECKING:
    from rich.padding import Padding
    from rich.text import Text

NARROWEST = 32
_NAME_ROOM = 24
_GAP = 2
_STYLES = {
    Signal.DANGER: "bold white on red",
    Signal.WARNING: "bold color(208)",
    Signal.CAUTION: "bold yellow",
    Signal.NOTICE: "bold blue",
}


@dataclass(frozen=True, slots=True)
class Grid:
    """A table as data: the headings, and rows of as many cells; the first `names` columns are set to the left."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: int = 1


@dataclass(slots=True)
class Page:
    """Collects what is printed within `width` columns for a stream of that `encoding`."""

    width: int
    encoding: str = "utf-8"
    _blocks: list[tuple[str, Signal | None] | Grid] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.width = max(self.width, NARROWEST)

    def clean(self, text: str) -> str:
        """The text as this page can print it."""
        return clean(text, self.encoding)

    def blank(self) -> None:
        """An empty line, unless the last one is empty."""
        if self._blocks and self._blocks[-1] != ("", None):
            self._blocks.append(("", None))

    def lines(self, lines: Sequence[str]) -> None:
        """Lines that are clean and fit already."""
        self._blocks.extend((line, None) for line in lines)

    def text(self, text: str, indent: int = 0, first: str = "") -> None:
        """A paragraph; `first` stands in the indent of its first line."""
        self.lines(indented(self.clean(text), self.width, indent, self.clean(first)))

    def signal(self, signal: Signal, lines: Sequence[str]) -> None:
        """Clean lines of which the first begins with the signal word."""
        self._blocks.append((lines[0], signal))
        self.lines(lines[1:])

    def grid(self, grid: Grid) -> None:
        """A table; where the page is too narrow for it, one short paragraph for each row."""
        rows = tuple(tuple(shortened(self.clean(cell), _NAME_ROOM) for cell in row) for row in grid.rows)
        clean_grid = Grid(grid.headings, rows, grid.names)
        if _natural_width(clean_grid) <= self.width:
            self._blocks.append(clean_grid)
        else:
            self._stacked(clean_grid)

    def _stacked(self, grid: Grid) -> None:
        for row in grid.rows:
            figures = zip(grid.headings[grid.names :], row[grid.names :], strict=True)
            told = ", ".join(f"{heading.lower()} {cell}" for heading, cell in figures)
            self.text(f"{', '.join(row[: grid.names])}: {told}", 4, "  -")

    def render(self, colour: bool) -> str:
        """The page as text; escape sequences only with `colour`. Every line ends with a line break."""
        from rich.console import Console

        stream = StringIO()
        console = Console(
            file=stream,
            width=self.width,
            color_system="256" if colour else None,
            no_color=False,  # the caller decides, not the environment
            legacy_windows=False,
        )
        for block in self._blocks:
            piece = _rich_table(block) if isinstance(block, Grid) else _rich_line(*block)
            console.print(piece, soft_wrap=not isinstance(block, Grid))
        return "".join(f"{line.rstrip(' ')}\n" for line in stream.getvalue().splitlines())


def _natural_width(grid: Grid) -> int:
    columns = zip(grid.headings, *grid.rows, strict=True)
    return _GAP + sum(max(map(cells, column)) + _GAP for column in columns) - _GAP


def _rich_table(grid: Grid) -> Padding:
    from rich.padding import Padding
    from rich.table import Table
    from rich.text import Text

    table = Table(box=None, pad_edge=False, padding=(0, _GAP, 0, 0), header_style="")
    for number, heading in enumerate(grid.headings):
        table.add_column(Text(heading), justify="left" if number < grid.names else "right", no_wrap=True)
    for row in grid.rows:
        table.add_row(*map(Text, row))
    return Padding(table, (0, 0, 0, _GAP), expand=False)


def _rich_line(line: str, signal: Signal | None) -> Text:
    from rich.text import Text

    text = Text(line)
    if signal is not None:
        text.stylize(_STYLES[signal], 0, len(signal))
    return text


def wants_colour(stream: TextIO, environ: Mapping[str, str]) -> bool:
    """Whether a stream may be coloured: not when piped, when NO_COLOR is set, or on a dumb terminal."""
    return stream.isatty() and not environ.get("NO_COLOR") and environ.get("TERM") != "dumb"
