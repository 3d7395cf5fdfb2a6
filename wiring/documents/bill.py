"""The bill of material: equal parts in one line, then wire, cable and ferrules by what the plan says of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from wiring.design.design import Design
from wiring.documents.cut_list import rolls
from wiring.documents.table import Cell, Column, Table, length_unit, listed
from wiring.documents.wire_list import pieces
from wiring.drawing.notes import rating
from wiring.parts.base import Part
from wiring.parts.passive import Metalwork
from wiring.parts.price import Price
from wiring.wording import natural

_COLUMNS = (
    Column("Item"),
    Column("Quantity"),
    Column("What"),
    Column("For"),
    Column("Order code"),
    Column("Price each"),
    Column("Price"),
)
#: Columns that are left out where no part says anything, and what is said in their stead.
_SAID_ONCE = {"Order code": "No part has an order code (`order`).", "Price each": "No part has a price.", "Price": ""}
#: What two equal parts may differ in.
_OF_THE_PLACE = {"title", "at", "note", "sheet", "terminals", "hazardous", "mount", "position"}


def _same(part: Part) -> tuple[str, ...]:
    data = part.data.model_dump(exclude=_OF_THE_PLACE)
    return (part.kind, part.library, *(f"{key}={data[key]!r}" for key in sorted(data)))


def alike(design: Design) -> list[list[Part]]:
    """The parts to buy, equal ones together, in the natural order of the first of each."""
    groups: dict[tuple[str, ...], list[Part]] = {}
    for part in sorted(design.parts.values(), key=lambda part: natural(part.name)):
        if not isinstance(part.data, Metalwork):
            groups.setdefault(_same(part), []).append(part)
    return sorted(groups.values(), key=lambda parts: (parts[0].kind, natural(parts[0].name)))


def _what(part: Part) -> str:
    words = [part.kind.replace("-", " "), rating(part)]
    if part.library:
        words.append(f"({part.library})")
    points = getattr(part.data, "points_", None)
    if points:
        words.append(f"{points} points")
    return " ".join(word for word in words if word)


def _ferrules(design: Design) -> dict[str, int]:
    """Ferrules by conductor size, two for each piece of wire or core that the plan gives ferrules."""
    found: dict[str, int] = {}
    for wire in pieces(design):
        if wire.ferrule and wire.size:
            found[wire.size.text] = found.get(wire.size.text, 0) + 2
    for cable in design.plan.cables:
        for core in cable.join if cable.ferrule else ():
            size = cable.size_of(core)
            if size:
                found[size.text] = found.get(size.text, 0) + 2
    return {size: found[size] for size in sorted(found, key=natural)}


def bill_table(design: Design) -> Table:
    """The bill of material, with the price of each line and of all where the plan gives prices."""
    lines = [*_part_lines(design), *_material_lines(design)]
    rows = [(number, *line) for number, line in enumerate(lines, 1)]
    table = Table("Bill of material", _COLUMNS, tuple(rows), tuple(_notes(design)))
    return table.without_empty(_SAID_ONCE) if rows else table


def _part_lines(design: Design) -> Iterator[tuple[Cell, ...]]:
    for parts in alike(design):
        data = parts[0].data
        price = Price.read(data.price)
        total = str(price.times(len(parts))) if price else ""
        yield (len(parts), _what(parts[0]), " ".join(p.name for p in parts), data.order, data.price, total)


def _material_lines(design: Design) -> Iterator[tuple[Cell, ...]]:
    unit, unit_m = length_unit(design.plan.rulebook)
    for roll in rolls(design):
        yield (f"{roll.to_buy(unit_m)} {unit}", roll.name, f"{len(roll.pieces)} pieces", "", "", "")
    for size, count in _ferrules(design).items():
        yield (count, f"ferrule {size}", "wire ends", "", "", "")


def cost_words(design: Design) -> str:
    """What the parts with a price cost together, and how many lines have none; "" where no part has one."""
    prices = [(Price.read(parts[0].data.price), len(parts)) for parts in alike(design)]
    known = [price.times(count) for price, count in prices if price]
    return _total(known, sum(price is None for price, _ in prices)) if known else ""


def _notes(design: Design) -> Iterator[str]:
    if cost := cost_words(design):
        yield cost
    metal = sorted((p.name for p in design.parts.values() if isinstance(p.data, Metalwork)), key=natural)
    if metal:
        yield f"Metalwork of the machine is not counted: {listed(metal)}."
    unknown = [name for roll in rolls(design) for name in roll.unknown]
    if unknown:
        yield f"Conductors without a length are not in the metres: {listed(unknown)}."


def _total(known: Sequence[Price], without: int) -> str:
    sums: dict[str, Decimal] = {}
    for price in known:
        sums[price.currency] = sums.get(price.currency, Decimal(0)) + price.amount
    total = " and ".join(str(Price(sums[currency], currency)) for currency in sorted(sums))
    return f"Parts with a price: {total}. Lines without a price that can be counted: {without}, and all material."
