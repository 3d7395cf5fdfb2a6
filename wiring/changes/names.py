"""Names for what is added, by the pattern of the plan's own: the next number that is free."""

from __future__ import annotations

import re
from collections.abc import Iterable

_NUMBERED = re.compile(r"(.*?)(\d+)(\D*)")


def numbered(name: str) -> tuple[str, int, str] | None:
    """F11 as ("F", 11, ""); None for a name without a number."""
    found = _NUMBERED.fullmatch(name)
    return (found[1], int(found[2]), found[3]) if found else None


def with_number(like: str, number: int) -> str:
    """The name with another number, as many digits as before."""
    found = _NUMBERED.fullmatch(like)
    return f"{found[1]}{number:0{len(found[2])}d}{found[3]}" if found else f"{like}{number}"


class Names:
    """The names that are taken in one section of a plan; `give` takes the next one that is free."""

    def __init__(self, taken: Iterable[str]) -> None:
        self.taken = set(taken)
        self.behind: dict[str, str] = {}
        self._first = frozenset(self.taken)

    def give(self, like: str) -> str:
        """The first free name after `like` in its own pattern: D5 for D1 where D2 to D4 are taken."""
        known = numbered(like)
        number = known[1] + 1 if known else 2
        while (name := with_number(like, number)) in self.taken:
            number += 1
        self.taken.add(name)
        before = with_number(like, number - 1) if known or number > 2 else like
        self.behind[name] = before if before in self._first else self.behind.get(before, like)
        return name

    def after(self, name: str) -> str:
        """The name that was there before, behind which a given one belongs."""
        return self.behind[name]
