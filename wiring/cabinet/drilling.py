"""Holes to drill and pieces to cut: those of rails and ducts, and of parts whose holes the plan gives."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil

from msgspec import Struct

from wiring.cabinet.box import mm
from wiring.cabinet.records import Layout, Placed
from wiring.parts.base import Part

#: Screws of rails and ducts: from each end, no farther apart than this, thread and drill for it [mm]; own choice.
_RAIL_END, _DUCT_END, _APART = 20.0, 30.0, 250.0
_RAIL_SCREW, _DUCT_SCREW = ("M5", 4.2), ("M4", 3.3)


class Drill(Struct, frozen=True, order=True):
    """One hole from the lower left corner of its `board`: plate or door; `cause` is what it is for [mm]."""

    board: str
    stage: int
    cause: str
    x: float
    y: float
    diameter: float
    thread: str = ""


class Cut(Struct, frozen=True):
    """Pieces of one length to cut; `what` is the rail or duct with its section [mm]."""

    what: str
    length: float
    names: tuple[str, ...]


def _screws(length: float, end: float) -> Iterator[float]:
    end = min(end, length / 2)
    count = max(ceil((length - 2 * end) / _APART), 1 if length > 2 * end else 0)
    for n in range(count + 1):
        yield end + (length - 2 * end) * n / max(count, 1)


def drills_of(layout: Layout, parts: Mapping[str, Part]) -> list[Drill]:
    """Every hole in the order of work: rails and ducts of the plate first, then parts, then the door."""
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
    for board, placed in (("plate", layout.plate), ("door", layout.door)):
        for one in placed.values():
            found += _of_part(board, one, parts[one.name])
    return sorted(found)


def _of_part(board: str, placed: Placed, part: Part) -> Iterator[Drill]:
    for hole in part.data.holes:
        x, y = placed.x + mm(hole.at.x), placed.y + mm(hole.at.y)
        yield Drill(board, 2, placed.name, round(x, 1), round(y, 1), mm(hole.diameter), hole.thread)


def undrilled(layout: Layout, parts: Mapping[str, Part]) -> list[str]:
    """The parts that are screwed to the plate or stand in the door and whose holes the plan does not give."""
    placed = [*layout.plate.values(), *layout.door.values()]
    return [one.name for one in placed if one.outline.mount != "rail" and not parts[one.name].data.holes]


def cuts_of(layout: Layout) -> list[Cut]:
    """Rails and ducts to cut, equal pieces together, the longest first."""
    pieces = [("rail 35 mm", rail.length, rail.name) for rail in layout.rails]
    pieces += [(f"duct {duct.width:g} x {duct.depth:g} mm", duct.length, duct.name) for duct in layout.ducts]
    groups: dict[tuple[str, float], list[str]] = {}
    for what, length, name in pieces:
        groups.setdefault((what, length), []).append(name)
    ordered = sorted(groups, key=lambda key: (key[0], -key[1]))
    return [Cut(what, length, tuple(groups[what, length])) for what, length in ordered]
