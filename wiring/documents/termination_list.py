"""How far conductors are stripped and how firmly terminals are tightened: as the plan says, else typical by size."""

from __future__ import annotations

from msgspec import Struct

from wiring.book_words import largest_words
from wiring.design.design import Design
from wiring.documents.table import Cell, Column, Table, by_name, listed
from wiring.parts.base import Part
from wiring.parts.passive import Metalwork
from wiring.rulebooks.tables import load
from wiring.units import DIMENSIONS

_COLUMNS = (Column("Largest conductor"), Column("Strip"), Column("Tighten"), Column("From"), Column("Parts"))
_NOTE = (
    "What is typical is so of screw terminals of that size: the data sheet and the marking on the part go before it "
    "(write them as `tightening` and `stripping`), and a spring clamp has no torque. Too loose it burns, too tight the "
    "thread goes: use a torque driver, isolated and proved dead."
)
#: Units of length and torque in which each book's people work.
_UNITS = {"iec": ("mm", "N·m"), "na": ("in", "lb·in")}


class _Kind(Struct, frozen=True, order=True):
    """Terminals worked alike: the largest conductor [mm2], and torque [N·m] and stripped length [m] of the plan."""

    largest_mm2: float
    torque_nm: float
    strip_m: float


def termination_table(design: Design) -> Table:
    """One row for all terminals that are worked alike and have a conductor; parts of unknown size below."""
    kinds: dict[_Kind, list[str]] = {}
    unknown = []
    for part in by_name(design.parts.values(), "name"):
        mine = _by_kind(part, _wired(design, part))
        unknown += [part.name] if any(not (kind.largest_mm2 or _is_full(kind)) for kind in mine) else []
        for kind, names in mine.items():
            whole = len(mine) == 1
            kinds.setdefault(kind, []).extend([part.name] if whole else [f"{part.name}:{name}" for name in names])
    book = design.plan.rulebook
    written = _written(design)
    rows = [
        (_largest(kind.largest_mm2, written, book), *_worked(book, kind), " ".join(kinds[kind]))
        for kind in sorted(kinds)
        if kind.largest_mm2 or kind.torque_nm or kind.strip_m
    ]
    said = f"Read it on the part, for the plan does not say what size its terminals take (`sizes`): {listed(unknown)}."
    return Table("Stripping and tightening", _COLUMNS, tuple(rows), (_NOTE, *([said] if unknown else [])))


def _is_full(kind: _Kind) -> bool:
    return bool(kind.torque_nm and kind.strip_m)


def _largest(size_mm2: float, written: dict[float, str], book: str) -> Cell:
    return largest_words(written.get(size_mm2, f"{size_mm2:.3g} mm2"), size_mm2, book) if size_mm2 else None


def _written(design: Design) -> dict[float, str]:
    """Largest sizes of terminals [mm2] as the plan or the library writes them."""
    sizes = [part.data.sizes for part in design.parts.values() if part.data.sizes]
    ranges = [one for many in sizes for one in (many.values() if isinstance(many, dict) else [many])]
    return {one.high.area_mm2: one.high.text for one in ranges}


def _wired(design: Design, part: Part) -> list[str]:
    if isinstance(part.data, Metalwork):
        return []
    return [name for name in part.terminals if design.circuit.conductors_at((part.name, name))]


def _by_kind(part: Part, names: list[str]) -> dict[_Kind, list[str]]:
    """Terminals by how they are worked, 0 for what is not known."""
    found: dict[_Kind, list[str]] = {}
    for name in names:
        takes = part.terminals[name].sizes_mm2
        torque, strip = part.data.own_termination(name)
        found.setdefault(_Kind(takes[1] if takes else 0.0, torque or 0.0, strip or 0.0), []).append(name)
    return found


def _worked(book: str, kind: _Kind) -> tuple[Cell, Cell, Cell]:
    """How far it is stripped, how firmly tightened, and where that comes from: the plan goes before what is typical."""
    length, torque = _UNITS[book]
    strip, turn = DIMENSIONS["length"].units[length], DIMENSIONS["torque"].units[torque]
    own_strip = f"{kind.strip_m / strip:.2g} {length}" if kind.strip_m else None
    own_turn = f"{kind.torque_nm / turn:.2g} {torque}" if kind.torque_nm else None
    if own_strip and own_turn:
        return own_strip, own_turn, "plan"
    row = load("common", "terminations").at_or_above("largest_mm2", kind.largest_mm2) if kind.largest_mm2 else None
    given = "strip from the plan; " if own_strip else "torque from the plan; " if own_turn else ""
    if row is None:
        return own_strip, own_turn, f"{given}{'above the sizes of the table' if kind.largest_mm2 else 'rest not known'}"
    low, high = (row.number(f"strip_{end}_mm") / (1e3 * strip) for end in ("low", "high"))
    least, most = (row.number(f"torque_{end}_nm") / turn for end in ("low", "high"))
    source = f"{given}{'rest ' if given else ''}typical; {row.source.standing}"
    return own_strip or _span(low, high, length), own_turn or _span(least, most, torque), source


def _span(low: float, high: float, unit: str) -> str:
    return f"{low:.2g} to {high:.2g} {unit}"
