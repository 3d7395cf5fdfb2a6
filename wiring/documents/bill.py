"""The bill of material: equal parts in one line, then wire, cable and ferrules by what the plan says of them."""

from __future__ import annotations

import csv
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from functools import cache
from importlib.resources import files

from msgspec import Struct

from wiring.book_words import in_book
from wiring.design.design import Design
from wiring.documents.cut_list import rolls
from wiring.documents.shop_words import bought_keys, differences, key_name, shop_words
from wiring.documents.table import Cell, Column, Table, by_name, length_unit, listed
from wiring.documents.wire_list import pieces
from wiring.parts.base import Part
from wiring.parts.passive import Metalwork
from wiring.parts.price import Price
from wiring.parts.protection import MotorProtector
from wiring.wording import counted, natural

_COLUMNS = (
    Column("Item"),
    Column("Quantity"),
    Column("What"),
    Column("For"),
    Column("Supplier"),
    Column("Order code"),
    Column("Price each"),
    Column("Price"),
)
#: Columns that are left out where no part says anything, and what is said in their stead.
_SAID_ONCE = {
    "Supplier": "No part has a supplier (`supplier`).",
    "Order code": "No part has an order code (`order`).",
    "Price each": "No part has a price.",
    "Price": "",
}


#: What a shop calls a key that says less alone.
_ASKED_AS = {"breaking": "breaking capacity", "rated": "rated current", "output": "output type", "range": "dial range"}


class Line(Struct, frozen=True):
    """Equal parts to buy, in words that no other line has."""

    what: str
    parts: tuple[Part, ...]

    @property
    def price(self) -> Price | None:
        """The price of all of them, None where the plan gives none that can be counted."""
        each = Price.read(self.parts[0].data.price)
        return each.times(len(self.parts)) if each else None

    @property
    def cells(self) -> tuple[Cell, ...]:
        """Quantity, what, for, order code, price each and price, as the bill and the orders print them."""
        data = self.parts[0].data
        names = " ".join(part.name for part in self.parts)
        return (len(self.parts), self.what, names, data.order, data.price, str(self.price or ""))

    @property
    def supplier(self) -> str:
        """Where they are bought, "" where the plan does not say."""
        return self.parts[0].data.supplier.strip()


def part_lines(design: Design) -> list[Line]:
    """The parts to buy, equal ones together, by kind and then in the natural order of the first of each."""
    groups: dict[tuple[object, ...], list[Part]] = {}
    for part in by_name(design.parts.values(), "name"):
        if not isinstance(part.data, Metalwork):
            groups.setdefault((shop_words(part), *sorted(bought_keys(part).items())), []).append(part)
    found = sorted(groups.values(), key=lambda parts: (parts[0].kind, natural(parts[0].name)))
    alike: dict[str, list[int]] = {}
    for n, parts in enumerate(found):
        alike.setdefault(shop_words(parts[0]), []).append(n)
    words = [""] * len(found)
    for what, places in alike.items():
        for n, apart in zip(places, differences([bought_keys(found[n][0]) for n in places]), strict=True):
            words[n] = f"{what} ({apart})" if apart else what
    return [Line(in_book(what, design.plan.rulebook), tuple(parts)) for what, parts in zip(words, found, strict=True)]


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
    lines = [*(_with_supplier(line) for line in part_lines(design)), *_material_lines(design)]
    rows = [(number, *line) for number, line in enumerate(lines, 1)]
    table = Table("Bill of material", _COLUMNS, tuple(rows), tuple(_notes(design)))
    return table.without_empty(_SAID_ONCE) if rows else table


def _with_supplier(line: Line) -> tuple[Cell, ...]:
    quantity, what, names, *ordered = line.cells
    return (quantity, what, names, line.supplier, *ordered)


def _material_lines(design: Design) -> Iterator[tuple[Cell, ...]]:
    unit, unit_m = length_unit(design.plan.rulebook)
    for roll in rolls(design):
        yield (f"{roll.to_buy(unit_m)} {unit}", roll.name, counted(len(roll.pieces), "piece"), "", "", "", "")
    for size, count in _ferrules(design).items():
        yield (count, f"ferrule {size}", "wire ends", "", "", "", "")


def cost_words(design: Design) -> str:
    """What the parts with a price cost together, and how many lines have none; "" where no part has one."""
    prices = [line.price for line in part_lines(design)]
    known = [price for price in prices if price]
    without = len(prices) - len(known)
    lines = f"Lines without a price that can be counted: {without}, and all material."
    return f"Parts with a price: {total(known)}. {lines}" if known else ""


def _notes(design: Design) -> Iterator[str]:
    if cost := cost_words(design):
        yield cost
    metal = sorted((p.name for p in design.parts.values() if isinstance(p.data, Metalwork)), key=natural)
    if metal:
        yield f"Metalwork of the machine is not counted: {listed(metal)}."
    if unsaid := _unsaid(design):
        yield f"A shop asks, and the plan does not say: {unsaid}."
    unknown = [name for roll in rolls(design) for name in roll.unknown]
    if unknown:
        yield f"Conductors without a length are not in the metres: {listed(unknown)}."


@cache
def _asked() -> Mapping[str, tuple[str, ...]]:
    text = (files("wiring.documents") / "tables" / "shop_asks.csv").read_text(encoding="utf-8")
    return {row["kind"]: tuple(row["keys"].split()) for row in csv.DictReader(text.splitlines())}


def _unsaid(design: Design) -> str:
    """What a shop asks of a part and the plan leaves out, each with its parts."""
    found: dict[str, list[str]] = {}
    for line in part_lines(design):
        part = line.parts[0]
        keys = bought_keys(part)
        for key in _asked().get(part.kind, ()):
            if key not in keys and not (key == "breaking" and _breaks_no_short(part)):
                found.setdefault(_ASKED_AS.get(key, key_name(key)), []).extend(part.name for part in line.parts)
    return "; ".join(f"{name} of {listed(sorted(found[name], key=natural))}" for name in sorted(found))


def _breaks_no_short(part: Part) -> bool:
    """An overload relay has no release for short circuits: it has no breaking capacity to be asked for."""
    return isinstance(part.data, MotorProtector) and not part.data.magnetic


def total(prices: Sequence[Price]) -> str:
    """The sum of the prices, each currency by itself."""
    sums: dict[str, Decimal] = {}
    for price in prices:
        sums[price.currency] = sums.get(price.currency, Decimal(0)) + price.amount
    return " and ".join(str(Price(sums[currency], currency)) for currency in sorted(sums))
