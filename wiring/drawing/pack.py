"""Blocks on sheets, in the order of the functions; what still fits shares a sheet, so that circuits stay together."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from random import Random

from msgspec import Struct, field

from wiring.drawing.block import Block
from wiring.drawing.footprint import Footprint, Ground
from wiring.drawing.functions import rank_of
from wiring.drawing.grid import MODULE
from wiring.drawing.shapes import Box


class Placed(Struct, frozen=True):
    """A block with its upper left corner on the sheet."""

    block: Block
    x: float
    y: float


#: So many pages back that what is left of a function may stand on any of them, where that saves a sheet.
_ALL = 1000
#: Where all blocks would fill no more than this of one page less, so many other orders are tried for it.
_FILLED, _TRIALS = 0.7, 50
#: A block with the cells that it takes.
Piece = tuple[Block, Footprint]


class Page(Struct):
    """One sheet in the making."""

    area: Box
    ground: Ground
    placed: list[Placed] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)

    @property
    def functions(self) -> list[str]:
        """What the sheet shows, in order."""
        return sorted({placed.block.sheet for placed in self.placed}, key=rank_of)

    def copy(self) -> Page:
        """A page to try on."""
        return Page(self.area, self.ground.copy(), list(self.placed), list(self.pieces))

    def foot(self, block: Block) -> float:
        """How far down the devices stand from which the lines of a block come; 0 where none of them is here."""
        lines = {potential.arriving.end[0] for potential in block.potentials if potential.arriving}
        hung = [(placed.y, unit) for placed in self.placed for unit in placed.block.hung]
        return max((y + unit.bottom for y, unit in hung for tap in unit.taps if tap.end[0] in lines), default=0.0)

    def add(self, piece: Piece, *, runs_down: bool = False) -> bool:
        """Put a block where it fits, uppermost and leftmost. False when there is no room; an empty page takes any.

        With `runs_down` its lines are no higher than the devices that feed them.
        """
        block, cells = piece
        start = max(0, int((self.foot(block) - self.area.y1) / MODULE)) if runs_down else 0
        place = self.ground.free(cells, start)
        if place is None and self.placed:
            return False
        x, y = place or (0, 0)
        if place:
            self.ground.take(cells, x, y)
        left = self.area.x1 + (x - 1 - cells.left) * MODULE
        top = self.area.y1 + (y - 1 - cells.top) * MODULE
        self.placed.append(Placed(block, left, top))
        self.pieces.append(piece)
        return True


def _all_on(page: Page, pieces: Sequence[Piece], *, runs_down: bool = False) -> Page | None:
    trial = page.copy()
    return trial if all(trial.add(piece, runs_down=runs_down) for piece in pieces) else None


def _by_function(piece: Piece) -> tuple[object, ...]:
    return rank_of(piece[0].sheet), _large_first(piece)


def _large_first(piece: Piece) -> float:
    return -piece[0].height * piece[0].width


def pack(
    functions: Sequence[Sequence[Block]],
    area: Box,
    cells: Callable[[Block], Footprint],
    is_inlet: Callable[[Block], bool] = lambda block: False,
) -> list[Page]:
    """The pages for functions in order, as few as any of some ways of filling them needs; the inlet stands first."""
    pieces = [[(block, cells(block)) for block in blocks] for blocks in functions if blocks]
    large = [sorted(own, key=lambda piece: (not is_inlet(piece[0]), _large_first(piece))) for own in pieces]
    ordered = [sorted(own, key=_by_function) for own in pieces]
    largest = sorted(large, key=lambda own: sum(map(_large_first, own)))
    ways = [(large, 0), (large, 1), (ordered, 0), (ordered, 1), (largest, 0), (large, _ALL), (ordered, _ALL)]
    fillings = [_filled(own, area, back) for own, back in ways]
    tidied = [[_tidied(page, is_inlet) for page in pages] for pages in fillings]
    able = [n for n in range(len(ways)) if ways[n][0] is not largest or None not in tidied[n]]
    ready = {n: [fresh or page for fresh, page in zip(tidied[n], fillings[n], strict=True)] for n in able}
    best = min(able, key=lambda n: (len(ready[n]), any(_is_below(page, is_inlet) for page in ready[n])))
    pages = _one_fewer(large, area, ready[best], is_inlet) or ready[best]
    return sorted(_less_torn(pages, is_inlet), key=lambda page: rank_of(page.functions[0]))


def _wires(page: Page) -> set[str]:
    """The wires of a page, and those that lead to it from others."""
    units = {end[0] for placed in page.placed for unit in placed.block.units for end, *_ in unit.taps}
    return units | {tap.end[0] for placed in page.placed for hung in placed.block.hung for tap in hung.taps}


def _less_torn(pages: Sequence[Page], is_inlet: Callable[[Block], bool]) -> list[Page]:
    """The pages, with each block of a function that several show on that of them which tears fewest wires."""
    found = list(pages)
    for start, page in enumerate(pages):
        for piece in page.pieces:
            for goal, other in enumerate(found):
                if goal != start and piece[0].sheet in other.functions and piece in found[start].pieces:
                    moved = _moved(piece, found[start], other, is_inlet)
                    found[start], found[goal] = moved or (found[start], other)
    return found


def _moved(piece: Piece, page: Page, other: Page, is_inlet: Callable[[Block], bool]) -> tuple[Page, Page] | None:
    """Two pages with a block of the first on the second, None where that tears no wire less or has no room."""
    rest = [one for one in page.placed if one.block is not piece[0]]
    left = Page(page.area, page.ground, rest, [one for one in page.pieces if one is not piece])
    both = Page(page.area, page.ground, [*other.placed, Placed(piece[0], 0.0, 0.0)], [*other.pieces, piece])
    if not rest or len(_wires(left) & _wires(both)) >= len(_wires(page) & _wires(other)):
        return None
    less, more = _tidied(left, is_inlet), _tidied(both, is_inlet)
    return (less, more) if less and more else None


def _one_fewer(
    functions: Sequence[Sequence[Piece]], area: Box, pages: Sequence[Page], is_inlet: Callable[[Block], bool]
) -> list[Page] | None:
    """One page less by another order of the functions, if that tears no more of them; None where none is found.

    The first, with the inlet, stays first. Each other one is put last, then any is moved anywhere, and stays where the
    emptiest page then holds less.
    """
    ground, most = Ground.of(area), len(pages) - 1
    taken = sum(cells.count for own in functions for _, cells in own)
    if len(functions) < 3 or taken > _FILLED * most * ground.width * ground.height:
        return None
    for back in (0, 1):
        random, order = Random(0), list(functions)
        least = _emptiest(_filled(order, area, back))
        for n in range(1, _TRIALS):
            trial = list(order)
            moved = trial.pop(n if n < len(order) else random.randrange(1, len(order)))
            trial.insert(len(trial) if n < len(order) else random.randrange(1, len(order)), moved)
            filled = _filled(trial, area, back)
            if len(filled) <= most:
                again = _filled(_alike_in_order(trial), area, back)
                able = [_in_place(one, pages, is_inlet) for one in (again, filled) if len(one) <= most]
                found = next(filter(None, able), None)
                if found:
                    return found
            if _emptiest(filled) <= least:
                least, order = _emptiest(filled), trial
    return None


def _alike_in_order(functions: Sequence[Sequence[Piece]]) -> list[Sequence[Piece]]:
    """The functions with those of one kind, as axes, in their own order at the places that they take together."""
    kinds = [rank_of(own[0][0].sheet)[0] for own in functions]
    ordered = sorted(functions, key=lambda own: rank_of(own[0][0].sheet))
    of_kind = {kind: iter([own for own in ordered if rank_of(own[0][0].sheet)[0] == kind]) for kind in kinds}
    return [next(of_kind[kind]) for kind in kinds]


def _in_place(filled: Sequence[Page], before: Sequence[Page], is_inlet: Callable[[Block], bool]) -> list[Page] | None:
    """Pages that tear no more functions than those `before`, no row above the inlet; None where they are not so."""
    ready = [_tidied(page, is_inlet) or page for page in filled]
    is_below = any(_is_below(page, is_inlet) for page in ready)
    return None if is_below or _shown(filled) > _shown(before) else ready


def _emptiest(pages: Sequence[Page]) -> tuple[int, int]:
    """How many pages there are, and what the emptiest of them holds [cells]."""
    return len(pages), min(sum(cells.count for _, cells in page.pieces) for page in pages)


def _shown(pages: Sequence[Page]) -> int:
    """How often a function stands on a page."""
    return sum(len(page.functions) for page in pages)


def _is_below(page: Page, is_inlet: Callable[[Block], bool]) -> bool:
    """Whether a further row of a distribution stands above the inlet."""
    tops = [placed.y for placed in page.placed if is_inlet(placed.block)]
    others = [placed for placed in page.placed if placed.block.hung and not is_inlet(placed.block)]
    return any(placed.y < min(tops) and placed.block.sheet == page.functions[0] for placed in others) if tops else False


def _tidied(page: Page, is_inlet: Callable[[Block], bool]) -> Page | None:
    """The page with its first function at the upper left, None where that leaves no room for all others."""
    pieces = sorted(page.pieces, key=_by_function)
    own = [piece for piece in pieces if piece[0].sheet == page.functions[0]]
    rest = sorted(pieces[len(own) :], key=_large_first)
    fresh = Page(page.area, Ground.of(page.area))
    leading = [piece for piece in own if is_inlet(piece[0])]
    following = [piece for piece in pieces if piece not in leading]
    orders = ([*leading, *following], [*leading, *sorted(following, key=_large_first)], pieces, [*own, *rest])
    trials = (_all_on(fresh, order, runs_down=runs_down) for runs_down in (True, False) for order in orders)
    return next((found for found in trials if found is not None), None)


def _filled(functions: Sequence[Sequence[Piece]], area: Box, back: int) -> list[Page]:
    """One goes whole to the first page that takes it, else on fresh pages and the `back` before them."""
    pages: list[Page] = []
    for pieces in functions:
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
