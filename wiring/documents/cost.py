"""What a changed plan asks to buy beside the old one, and what that costs where the plans give prices."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from msgspec import Struct

from wiring.design.design import Design
from wiring.documents.bill import total
from wiring.documents.shop_words import thing
from wiring.documents.table import listed
from wiring.parts.base import Part
from wiring.parts.passive import Metalwork
from wiring.parts.price import Price
from wiring.wording import natural


class Cost(Struct, frozen=True):
    """Parts to buy with a price that holds, those whose price is to be asked, and those that are used no longer."""

    priced: tuple[tuple[str, Price], ...] = ()
    to_ask: tuple[str, ...] = ()
    unused: tuple[str, ...] = ()

    @property
    def sentences(self) -> Iterator[str]:
        """The cost in words; material such as wire has no price."""
        if self.priced:
            names = [name for name, _ in self.priced]
            yield f"To buy for {total([price for _, price in self.priced])}: {listed(names)}."
        if self.to_ask:
            yield f"To buy, price to be asked: {listed(self.to_ask)}."
        if self.unused:
            yield f"Used no longer as it is: {listed(self.unused)}."
        if self.priced or self.to_ask:
            yield "Wire, cable and ferrules are not counted."

    @property
    def data(self) -> dict[str, Any]:
        """The same as plain data."""
        priced = {name: str(price) for name, price in self.priced}
        return {"priced": priced, "price_to_ask": list(self.to_ask), "used_no_longer": list(self.unused)}


def cost_of(old: Design, new: Design) -> Cost:
    """What the new plan asks to buy; nothing where neither plan gives a price.

    The price beside a part that became another thing is that of the old one, and holds no longer.
    """
    before, after = _bought(old), _bought(new)
    if not any(part.data.price.strip() for part in (*before.values(), *after.values())):
        return Cost()
    changed = [name for name, part in after.items() if name not in before or thing(before[name]) != thing(part)]
    gone = [name for name, part in before.items() if name not in after or thing(after[name]) != thing(part)]
    things: dict[tuple[str, str], set[object]] = {}
    for part in before.values():
        things.setdefault((part.data.price, part.data.order), set()).add(thing(part))
    prices = {name: _price(after[name], things) for name in changed}
    priced = tuple((name, price) for name, price in prices.items() if price)
    return Cost(priced, tuple(name for name in changed if not prices[name]), tuple(gone))


def _price(part: Part, things: dict[tuple[str, str], set[object]]) -> Price | None:
    """The price of a part that is bought, None where none can be counted or it was written for another thing."""
    written = things.get((part.data.price, part.data.order))
    return None if written and thing(part) not in written else Price.read(part.data.price)


def _bought(design: Design) -> dict[str, Part]:
    parts = {name: part for name, part in design.parts.items() if not isinstance(part.data, Metalwork)}
    return {name: parts[name] for name in sorted(parts, key=natural)}
