"""How far conductors are stripped and how firmly terminals are tightened, by the largest conductor that they take."""

from __future__ import annotations

from wiring.book_words import largest_words
from wiring.design.design import Design
from wiring.documents.table import Cell, Column, Table, by_name, listed
from wiring.parts.base import Part
from wiring.parts.passive import Metalwork
from wiring.rulebooks.tables import load
from wiring.units import DIMENSIONS

_COLUMNS = (Column("Largest conductor"), Column("Strip"), Column("Tighten"), Column("From"), Column("Parts"))
_NOTE = (
    "Typical of screw terminals by their size: the data sheet and the marking on the part go before it, and a spring "
    "clamp has no torque. Too loose it burns, too tight the thread goes: use a torque driver, isolated and proved dead."
)
#: Units of length and torque in which each book's people work.
_UNITS = {"iec": ("mm", "N·m"), "na": ("in", "lb·in")}


def termination_table(design: Design) -> Table:
    """One row for all terminals of one size that have a conductor; parts of unknown size below."""
    sizes: dict[float, list[str]] = {}
    unknown = []
    for part in by_name(design.parts.values(), "name"):
        mine = _by_size(part, _wired(design, part))
        unknown += [part.name] if None in mine else []
        for size, names in mine.items():
            whole = len(mine) == 1
            sizes.setdefault(size or 0.0, []).extend(
                [part.name] if whole else [f"{part.name}:{name}" for name in names]
            )
    sizes.pop(0.0, None)
    book = design.plan.rulebook
    written = _written(design)
    rows = [
        (largest_words(written.get(size, f"{size:.3g} mm2"), size, book), *_typical(book, size), " ".join(sizes[size]))
        for size in sorted(sizes)
    ]
    said = f"Read it on the part, for the plan does not say what size its terminals take (`sizes`): {listed(unknown)}."
    return Table("Stripping and tightening", _COLUMNS, tuple(rows), (_NOTE, *([said] if unknown else [])))


def _written(design: Design) -> dict[float, str]:
    """Largest sizes of terminals [mm2] as the plan or the library writes them."""
    sizes = [part.data.sizes for part in design.parts.values() if part.data.sizes]
    ranges = [one for many in sizes for one in (many.values() if isinstance(many, dict) else [many])]
    return {one.high.area_mm2: one.high.text for one in ranges}


def _wired(design: Design, part: Part) -> list[str]:
    if isinstance(part.data, Metalwork):
        return []
    return [name for name in part.terminals if design.circuit.conductors_at((part.name, name))]


def _by_size(part: Part, names: list[str]) -> dict[float | None, list[str]]:
    """Terminals by the largest conductor [mm2] that they take, None where it is not known."""
    found: dict[float | None, list[str]] = {}
    for name in names:
        takes = part.terminals[name].sizes_mm2
        found.setdefault(takes[1] if takes else None, []).append(name)
    return found


def _typical(book: str, largest_mm2: float) -> tuple[Cell, Cell, Cell]:
    row = load("common", "terminations").at_or_above("largest_mm2", largest_mm2)
    if row is None:
        return None, None, "above the sizes of the table"
    length, torque = _UNITS[book]
    strip, turn = DIMENSIONS["length"].units[length] * 1e3, DIMENSIONS["torque"].units[torque]
    return (
        _span(row.number("strip_low_mm") / strip, row.number("strip_high_mm") / strip, length),
        _span(row.number("torque_low_nm") / turn, row.number("torque_high_nm") / turn, torque),
        f"typical; {row.source.standing}",
    )


def _span(low: float, high: float, unit: str) -> str:
    return f"{low:.2g} to {high:.2g} {unit}"
