"""What a part costs, as its builder writes it."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import TypeVar

from msgspec import Struct

T = TypeVar("T")
_PRICE = re.compile(r"([^\d\s.,+-]{0,4})\s*(\d{1,9}(?:[.,]\d{1,4})?)\s*([^\d\s.,+-]{0,4})")


class Price(Struct, frozen=True):
    """An amount in a currency as the builder writes it."""

    amount: Decimal
    currency: str

    @staticmethod
    def read(text: str) -> Price | None:
        """The price that a text such as "12.50 EUR" or "$ 3" writes; None for any other text."""
        found = _PRICE.fullmatch(text.strip())
        if not found or (found[1] and found[3]):
            return None
        return Price(Decimal(found[2].replace(",", ".")), found[1] or found[3])

    def times(self, count: int) -> Price:
        """The price of that many."""
        return Price(self.amount * count, self.currency)

    def __str__(self) -> str:
        return f"{self.amount:.2f} {self.currency}".strip()


def cheapest(things: Iterable[T], price: Callable[[T], Price | None]) -> T | None:
    """The cheapest of what has a price, the first of several; without prices in one currency the first of all."""
    found = list(things)
    priced = [(known, one) for one in found if (known := price(one)) is not None]
    if len({known.currency for known, _ in priced}) == 1:
        return min(priced, key=lambda pair: pair[0].amount)[1]
    return next(iter(found), None)
