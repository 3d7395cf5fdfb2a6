"""Blocks on sheets: in shelves from left to right, in the order of the functions; what still fits shares a sheet."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct, field

from wiring.drawing.block import Block
from wiring.drawing.grid import MODULE
from wiring.drawing.shapes import Box

_BETWEEN = 10.0


class Placed(Struct, frozen=True):
    """A block with its upper left corner on the sheet."""

    block: Block
    x: float
    y: float


class _Shelf(Struct):
    y: float
    height: float
    x: float


class Page(Struct):
    """One sheet in the making."""

    area: Box
    placed: list[Placed] = field(default_factory=list)
    shelves: list[_Shelf] = field(default_factory=list)

    @property
    def functions(self) -> list[str]:
        """What the sheet shows, in order."""
        return list(dict.fromkeys(placed.block.sheet for placed in self.placed))

    def copy(self) -> Page:
        """A page to try on."""
        return Page(self.area, list(self.placed), [_Shelf(s.y, s.height, s.x) for s in self.shelves])

    def add(self, block: Block) -> bool:
        """Put a block on the first shelf with room, or on a new one. False when there is none."""
        for n, shelf in enumerate(self.shelves):
            last = n == len(self.shelves) - 1
            room = self.area.y2 - shelf.y if last else shelf.height
            if shelf.x + block.width <= self.area.x2 + 0.01 and block.height <= room + 0.01:
                self._put(shelf, block)
                return True
        top = self.shelves[-1].y + self.shelves[-1].height + MODULE if self.shelves else self.area.y1
        if self.shelves and top + block.height > self.area.y2 + 0.01:
            return False
        shelf = _Shelf(top, 0.0, self.area.x1)
        self.shelves.append(shelf)
        self._put(shelf, block)
        return True

    def _put(self, shelf: _Shelf, block: Block) -> None:
        self.placed.append(Placed(block, shelf.x, shelf.y))
        shelf.x = _up(shelf.x + block.width + _BETWEEN, self.area.x1)
        shelf.height = max(shelf.height, block.height)


def _up(x: float, origin: float) -> float:
    """The next point of the grid."""
    return origin + MODULE * -(-(x - origin) // MODULE)


def _all_on(page: Page, blocks: Sequence[Block]) -> Page | None:
    trial = page.copy()
    return trial if all(trial.add(block) for block in blocks) else None


def _fresh(blocks: Sequence[Block], area: Box) -> list[Page]:
    """New pages for the blocks of one function."""
    pages: list[Page] = []
    for block in blocks:
        if not any(page.add(block) for page in pages):
            page = Page(area)
            page.add(block)
            pages.append(page)
    return pages


def _family_pages(functions: Sequence[Sequence[Block]], area: Box) -> list[Page]:
    """Pages for functions of one kind, each kept whole on a page where that can be."""
    pages: list[Page] = []
    for blocks in functions:
        for n, page in enumerate(pages):
            filled = _all_on(page, blocks)
            if filled is not None:
                pages[n] = filled
                break
        else:
            pages += _fresh(blocks, area)
    return pages


def pack(families: Sequence[Sequence[Sequence[Block]]], area: Box) -> list[Page]:
    """The pages for families of functions. A family shares the page before it when it fits there whole."""
    pages: list[Page] = []
    for functions in families:
        ordered = [sorted(blocks, key=lambda block: -block.height * block.width) for blocks in functions]
        shared = _all_on(pages[-1], [block for blocks in ordered for block in blocks]) if pages else None
        if shared is not None:
            pages[-1] = shared
        else:
            pages += _family_pages(ordered, area)
    return pages
