"""Blocks on sheets: in shelves from left to right, in the order of the functions; what still fits shares a sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from wiring.drawing.block import Block
from wiring.drawing.grid import MODULE
from wiring.drawing.shapes import Box

_BETWEEN = 10.0


@dataclass(frozen=True, slots=True)
class Placed:
    """A block with its upper left corner on the sheet."""

    block: Block
    x: float
    y: float


@dataclass(slots=True)
class _Shelf:
    y: float
    height: float
    x: float


@dataclass(slots=True)
class Page:
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


def pack(functions: Sequence[Sequence[Block]], area: Box) -> list[Page]:
    """The pages for the blocks of every function. A function shares the page before it when it fits there whole."""
    pages: list[Page] = []
    for blocks in functions:
        ordered = sorted(blocks, key=lambda block: -block.height * block.width)
        shared = _all_on(pages[-1], ordered) if pages else None
        if shared is not None:
            pages[-1] = shared
            continue
        fresh: list[Page] = []
        for block in ordered:
            if not any(page.add(block) for page in fresh):
                page = Page(area)
                page.add(block)
                fresh.append(page)
        pages += fresh
    return pages
