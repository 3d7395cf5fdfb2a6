"""Holes to drill and pieces to cut: those of rails and ducts, and of parts whose holes the plan gives."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil

from msgspec import Struct

from wiring.book_words import cut_words
from wiring.cabinet.box import mm
from wiring.cabinet.records import Layout, Placed
from wiring.parts.base import Part

#: Screws of rails and ducts: from each end, no farther apart than this, thread and drill for it [mm]; own choice.
_RAIL_END, _DUCT_END, _APART = 20.0, 30.0, 250.0
_RAIL_SCREW, _DUCT_SCREW = ("M5", 4.2), ("M4", 3.3)


class Drill(Struct, frozen=True, order=True):
    """One hole from the lower left corner of its `board`: plate, door or wall; `cause` is what it is for [mm]."""

    board: str
    stage: int
    cause: str
    x: float
    y: float
    diameter: float
    thread: str = ""

    @property
    def drill(self) -> str:
        """The drill, which is bought by the millimetre under both books, as metric threads are."""
        return f"{self.diameter:g} mm"

    def words(self, book: str) -> str:
        """The hole in a line."""
        thread = f" for {self.thread}" if self.thread else ""
        x, y = (cut_words(value, book) for value in (self.x, self.y))
        return f"x {x}, y {y}: drill {self.drill}{thread}, {self.cause}"


class Cut(Struct, frozen=True):
    """Pieces of one length to cut; `what` is the rail, or the duct with the `section` in which it is sold [mm]."""

    what: str
    section: tuple[float, ...]
    length: float
    names: tuple[str, ...]

    def words(self, book: str) -> str:
        """The pieces in a line."""
        size = " x ".join(cut_words(value, book) for value in self.section)
        length = cut_words(self.length, book)
        return f"{len(self.names)} x {length} {self.what}{size and f' {size}'}: {', '.join(self.names)}"


def _screws(length: float, end: float) -> Iterator[float]:
    end = min(end, length / 2)
    count = max(ceil((length - 2 * end) / _APART), 1 if length > 2 * end else 0)
    for n in range(count + 1):
        yield end + (length - 2 * end) * n / max(count, 1)


def drills_of(layout: Layout, parts: Mapping[str, Part]) -> list[Drill]:
    """Every hole in the order of work: rails and ducts of the plate first, then parts."""
    found = []
    for rail in layout.rails:
        found += [
            Drill("plate", 0, rail.name, round(rail.x + at, 1), rail.y, _RAIL_SCREW[1], _RAIL_SCREW[0])
            for at in _screws(rail.length, _RAIL_END)
        ]
    for duct in layout.ducts:
        for at in _screws(duct.length, _DUCT_END):
            across, up = (duct.ends[0] + at, duct.middle) if duct.run == "across" else (duct.middle, duct.ends[0] + at)
            found.append(Drill("plate", 1, duct.name, round(across, 1), round(up, 1), _DUCT_SCREW[1], _DUCT_SCREW[0]))
    for board, placed in layout.boards.items():
        for one in placed.values():
            found += _of_part(board, one, parts[one.name])
    return sorted(found)


def _of_part(board: str, placed: Placed, part: Part) -> Iterator[Drill]:
    for hole in part.data.holes:
        x, y = placed.x + mm(hole.at.x), placed.y + mm(hole.at.y)
        yield Drill(board, 2, placed.name, round(x, 1), round(y, 1), mm(hole.diameter), hole.thread)


def undrilled(layout: Layout, parts: Mapping[str, Part]) -> list[str]:
    """The parts that are screwed to the plate or stand in door or wall and whose holes the plan does not give."""
    placed = [one for board in layout.boards.values() for one in board.values()]
    return [one.name for one in placed if one.outline.mount != "rail" and not parts[one.name].data.holes]


def cuts_of(layout: Layout) -> list[Cut]:
    """Rails and ducts to cut, equal pieces together, the longest first."""
    groups: dict[tuple[str, tuple[float, ...], float], list[str]] = {}
    for rail in layout.rails:
        groups.setdefault(("rail TH 35", (), -rail.length), []).append(rail.name)
    for duct in layout.ducts:
        groups.setdefault(("duct", (duct.width, duct.depth), -duct.length), []).append(duct.name)
    return [Cut(what, section, -less, tuple(names)) for (what, section, less), names in sorted(groups.items())]
