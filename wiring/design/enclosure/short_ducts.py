"""Ducts on the plate that end too early: before a part of their row, or before the duct that they should meet."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from wiring.cabinet.conflicts import lies_over
from wiring.cabinet.records import DuctPiece, Placed

if TYPE_CHECKING:
    from wiring.cabinet.lengths import Courses


class ShortDuct(Struct, frozen=True):
    """A duct that passes neither above nor below a part, `lacking` mm of it, and the duct that does.

    `over` is what that one would lie over, "" where it has room.
    """

    duct: str
    part: str
    lacking: float
    longer: DuctPiece
    over: str


def short_ducts(courses: Courses) -> Iterator[ShortDuct]:
    """Every part that no duct reaches, with that which runs nearest to its row."""
    across = [duct for duct in courses.layout.ducts if duct.run == "across"]
    for placed in courses.beside_no_duct if across else ():
        duct = min(across, key=lambda one: (round(_aside(one, placed)), _lacking(one, placed), one.name))
        start, end = min(duct.x, placed.x), max(duct.x + duct.length, placed.area.right)
        longer = replace(duct, x=start, length=end - start)
        yield ShortDuct(duct.name, placed.name, _lacking(duct, placed), longer, lies_over(courses.layout, longer))


def _aside(duct: DuctPiece, placed: Placed) -> float:
    return max(duct.area.y - placed.area.top, placed.area.y - duct.area.top)


def _lacking(duct: DuctPiece, placed: Placed) -> float:
    return max(duct.x - placed.x, placed.area.right - duct.x - duct.length, 0.0)


def parted_ducts(courses: Courses) -> dict[tuple[str, str], list[str]]:
    """Pairs of ducts that no ducts join, with the conductors that lead from one to the other."""
    found: dict[tuple[str, str], list[str]] = {}
    for name, ducts in courses.parted.items():
        found.setdefault(ducts, []).append(name)
    return found
