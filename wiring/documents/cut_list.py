"""The cut list: what is cut from which roll, and how much to buy of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil

from msgspec import Struct

from wiring.design.design import Design
from wiring.documents.table import Cell, Column, Table, length_unit, listed
from wiring.documents.wire_list import cables_in_order, pieces
from wiring.plan.conductors import Cable
from wiring.wording import counted, natural

#: Cut off each piece for stripping and for one end made anew [m]; own choice, no source.
WIRE_WASTE_M = 0.1
CABLE_WASTE_M = 0.3

_COLUMNS = (
    Column("Roll"),
    Column("Each", "m"),
    Column("Pieces"),
    Column("Total", "m"),
    Column("Waste", "m"),
    Column("To buy", "m"),
    Column("Cut for"),
)
_IN_FULL = {"m": "metres", "ft": "feet"}
_NOTE = (
    "Waste is {wire} a piece of wire and {cable} a piece of cable, for stripping and one end made anew (own choice, no "
    "source); what to buy is rounded up to whole {unit}."
)


class Piece(Struct, frozen=True):
    """One length to cut from a roll; `length_m` is None where the plan gives none."""

    roll: str
    name: str
    length_m: float | None
    waste_m: float


class Roll(Struct, frozen=True):
    """All pieces of one roll. `unknown` are the names of those without a length."""

    name: str
    pieces: tuple[Piece, ...]

    @property
    def known(self) -> tuple[Piece, ...]:
        """The pieces whose length is given."""
        return tuple(piece for piece in self.pieces if piece.length_m is not None)

    @property
    def unknown(self) -> tuple[str, ...]:
        """The pieces whose length is not given."""
        return tuple(piece.name for piece in self.pieces if piece.length_m is None)

    @property
    def net_m(self) -> float:
        """Sum of the known lengths."""
        return sum(piece.length_m or 0.0 for piece in self.pieces)

    @property
    def waste_m(self) -> float:
        """What is cut off the known pieces."""
        return sum(piece.waste_m for piece in self.known)

    def to_buy(self, unit_m: float = 1.0) -> int:
        """What to buy, in whole units of `unit_m` metres; the rounding keeps sums such as 3 x 0.1 from costing one."""
        return ceil(round((self.net_m + self.waste_m) / unit_m, 6))


def _cable_roll(cable: Cable) -> str:
    sizes = sorted({size.text for size in cable.sizes.values()}, key=natural)
    size = " and ".join(dict.fromkeys([cable.size.text if cable.size else "size not given", *sizes]))
    shield = "shielded" if cable.shield else ""
    what = f"{cable.cores or len(cable.join)} x {size}"
    return " ".join(word for word in ("cable", what, shield, cable.insulation or "") if word)


def rolls(design: Design) -> list[Roll]:
    """The rolls of wire, then of cable, each in natural order."""
    found: dict[tuple[int, str], list[Piece]] = {}
    for wire in pieces(design):
        words = ("wire", wire.size.text if wire.size else "size not given", wire.colour or "", wire.insulation or "")
        roll = " ".join(word for word in words if word)
        found.setdefault((0, roll), []).append(Piece(roll, wire.wire, wire.length, WIRE_WASTE_M))
    for cable in cables_in_order(design):
        roll = _cable_roll(cable)
        found.setdefault((1, roll), []).append(Piece(roll, cable.cable, cable.length, CABLE_WASTE_M))
    return [Roll(key[1], tuple(found[key])) for key in sorted(found, key=lambda key: (key[0], natural(key[1])))]


def cut_table(design: Design) -> Table:
    """The pieces of every roll by length, the longest first, and the total of the roll below them."""
    found = rolls(design)
    unit, unit_m = length_unit(design.plan.rulebook)
    rows = [row for roll in found for row in _rows(roll, unit_m)]
    missing = [name for roll in found for name in roll.unknown]
    notes = [_note(unit, unit_m)]
    if missing:
        notes.append(f"Length not given, so not counted: {listed(missing)}.")
    return Table("Cut lengths", _COLUMNS, tuple(rows), tuple(notes), unit == "ft")


def _note(unit: str, unit_m: float) -> str:
    wire, cable = (f"{waste / unit_m:.2g} {unit}" for waste in (WIRE_WASTE_M, CABLE_WASTE_M))
    return _NOTE.format(wire=wire, cable=cable, unit=_IN_FULL[unit])


def _rows(roll: Roll, unit_m: float) -> Iterator[tuple[Cell, ...]]:
    for length in sorted({piece.length_m for piece in roll.known if piece.length_m is not None}, reverse=True):
        cut = [piece.name for piece in roll.known if piece.length_m == length]
        yield (roll.name, length, len(cut), length * len(cut), "", "", _names(cut))
    if roll.unknown:
        yield (roll.name, None, len(roll.unknown), None, "", "", _names(roll.unknown))
    yield (
        roll.name,
        "",
        len(roll.pieces),
        roll.net_m,
        roll.waste_m,
        roll.to_buy(unit_m) * unit_m,
        f"total of {counted(len(roll.pieces), 'piece')}",
    )


def _names(names: Sequence[str]) -> str:
    return " ".join(names)
