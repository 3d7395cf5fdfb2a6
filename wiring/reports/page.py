"""A page for the terminal: text and tables collected line by line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TextIO

from msgspec import Struct, field

from wiring.book_words import in_book
from wiring.findings import Signal
from wiring.reports.lines import cells, clean, indented, shortened

NARROWEST = 32
_NAME_ROOM = 24
_GAP = 2
_STYLES = {
    Signal.DANGER: "bold white on red",
    Signal.WARNING: "bold color(208)",
    Signal.CAUTION: "bold yellow",
    Signal.NOTICE: "bold blue",
}


class Grid(Struct, frozen=True):
    """A table as data: the headings, and rows of as many cells; the first `names` columns are set to the left."""

    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    names: int = 1


class Page(Struct):
    """Collects what is printed within `width` columns for a stream of that `encoding`, in the words of a `book`."""

    width: int
    encoding: str = "utf-8"
    book: str = ""
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
        self.lines(indented(self.clean(in_book(text, self.book)), self.width, indent, self.clean(first)))

    @property
    def height(self) -> int:
        """Lines so far."""
        return sum(len(block.rows) + 1 if isinstance(block, Grid) else 1 for block in self._blocks)

    def append(self, other: Page) -> None:
        """All that another page holds, an empty line at its beginning left out where this one ends with one."""
        for block in other._blocks:
            if block == ("", None):
                self.blank()
            else:
                self._blocks.append(block)

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
        """The page as text; escape sequences only with `colour`. Every line ends with a line break.

        Lines are set already, so that the console library is asked for nothing but colour.
        """
        lines = (line for block in self._blocks for line in _set(block, colour))
        return "".join(f"{line.rstrip(' ')}\n" for line in lines)


def _set(block: tuple[str, Signal | None] | Grid, colour: bool) -> Iterator[str]:
    if isinstance(block, Grid):
        yield from _set_grid(block)
    elif colour and block[1] is not None:
        yield _coloured(block[0], block[1])
    else:
        yield block[0]


def _natural_width(grid: Grid) -> int:
    columns = zip(grid.headings, *grid.rows, strict=True)
    return _GAP + sum(max(map(cells, column)) + _GAP for column in columns) - _GAP


def _set_grid(grid: Grid) -> Iterator[str]:
    """The lines of a table, names to the left and figures to the right of their column."""
    widths = [max(map(cells, column)) for column in zip(grid.headings, *grid.rows, strict=True)]
    for row in (grid.headings, *grid.rows):
        gaps = (" " * (width - cells(cell)) for width, cell in zip(widths, row, strict=True))
        pieces = (
            cell + gap if n < grid.names else gap + cell for n, (cell, gap) in enumerate(zip(row, gaps, strict=True))
        )
        yield " " * _GAP + (" " * _GAP).join(pieces)


def _coloured(line: str, signal: Signal) -> str:
    """The line with its first word, the signal, in colour."""
    from rich.color import ColorSystem
    from rich.style import Style

    end = len(signal)
    return Style.parse(_STYLES[signal]).render(line[:end], color_system=ColorSystem.EIGHT_BIT) + line[end:]


def wants_colour(stream: TextIO, environ: Mapping[str, str]) -> bool:
    """Whether a stream may be coloured: not when piped, when NO_COLOR is set, or on a dumb terminal."""
    return stream.isatty() and not environ.get("NO_COLOR") and environ.get("TERM") != "dumb"
