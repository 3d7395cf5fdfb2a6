"""Blocks on sheets, in the order of the functions; what still fits shares a sheet, so that circuits stay together."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct, field

from wiring.drawing.block import Block
from wiring.drawing.footprint import Footprint, Ground
from wiring.drawing.grid import MODULE
from wiring.drawing.shapes import Box


class Placed(Struct, frozen=True):
    """A block with its upper left corner on the sheet."""

    block: Block
    x: float
    y: float


#: A block with the cells that it takes.
Piece = tuple[Block, Footprint]


class Page(Struct):
    """One sheet in the making."""

    area: Box
    ground: Ground
    placed: list[Placed] = field(default_factory=list)

    @property
    def functions(self) -> list[str]:
        """What the sheet shows, in order."""
        return list(dict.fromkeys(placed.block.sheet for placed in self.placed))

    def copy(self) -> Page:
        """A page to try on."""
        return Page(self.area, self.ground.copy(), list(self.placed))

    def add(self, piece: Piece) -> bool:
        """Put a block where it fits, uppermost and leftmost. False when there is no room; an empty page takes any."""
        block, cells = piece
        place = self.ground.free(cells)
        if place is None and self.placed:
            return False
        x, y = place or (0, 0)
        if place:
            self.ground.take(cells, x, y)
        left = self.area.x1 + (x - 1 - cells.left) * MODULE
        top = self.area.y1 + (y - 1 - cells.top) * MODULE
        self.placed.append(Placed(block, left, top))
        return True


def _all_on(page: Page, pieces: Sequence[Piece]) -> Page | None:
    trial = page.copy()
    return trial if all(trial.add(piece) for piece in pieces) else None


def pack(functions: Sequence[Sequence[Block]], area: Box, cells: Callable[[Block], Footprint]) -> list[Page]:
    """The pages for functions in order, as few as any of some ways of filling them needs."""
    pieces = [[(block, cells(block)) for block in blocks] for blocks in functions]
    return min((_filled(pieces, area, back) for back in (0, 1)), key=len)


def _filled(functions: Sequence[Sequence[Piece]], area: Box, back: int) -> list[Page]:
    """One goes whole to the last page that takes it, else on fresh pages and the `back` before them."""
    pages: list[Page] = []
    for own in functions:
        pieces = sorted(own, key=lambda piece: -piece[0].height * piece[0].width)
        for n in range(len(pages)):
            filled = _all_on(pages[n], pieces)
            if filled is not None:
                pages[n] = filled
                break
        else:
            _spread_out(pages, pieces, area, max(0, len(pages) - back))
    return pages


def _spread_out(pages: list[Page], pieces: Sequence[Piece], area: Box, start: int) -> None:
    """Put the blocks of a function where there is room from page `start` on, and on new pages."""
    for piece in pieces:
        if not any(page.add(piece) for page in pages[start:]):
            pages.append(Page(area, Ground.of(area)))
            pages[-1].add(piece)
