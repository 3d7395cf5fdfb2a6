"""Where a number comes from, carried with the number into every finding that rests on it."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct


class Standing(StrEnum):
    """How sure a figure is, from the best to the weakest."""

    CONFIRMED = "confirmed by two sources"
    ONE_SOURCE = "one source"
    COMPUTED = "computed"
    FROM_MEMORY = "from memory"
    COMMON_PRACTICE = "common practice"


class Source(Struct, frozen=True):
    """A place in a standard, a book, or the trade's practice."""

    standard: str
    edition: str
    clause: str
    standing: Standing

    def __str__(self) -> str:
        place = ", ".join(part for part in (self.standard, self.clause) if part)
        head = place.replace(",", f":{self.edition},", 1) if self.edition and self.clause else place
        tail = "" if self.standing in (Standing.CONFIRMED, Standing.COMPUTED) else f" ({self.standing})"
        return f"{head}{tail}"


def iec_60204(clause: str, standing: Standing = Standing.FROM_MEMORY) -> Source:
    """A place in IEC 60204-1."""
    return Source("IEC 60204-1", "2016", clause, standing)


def nfpa_79(clause: str, standing: Standing = Standing.FROM_MEMORY) -> Source:
    """A place in NFPA 79."""
    return Source("NFPA 79", "2021", clause, standing)


def nfpa_70(clause: str, standing: Standing = Standing.FROM_MEMORY) -> Source:
    """A place in NFPA 70."""
    return Source("NFPA 70", "2023", clause, standing)


def trade_practice(subject: str) -> Source:
    """What the trade does, for which no standard answers."""
    return Source("Trade practice", "", subject, Standing.COMMON_PRACTICE)


#: What is printed on a part.
MARKED = Source("marking of the part", "", "", Standing.CONFIRMED)


class Limit(Struct, frozen=True):
    """One number with its unit and its source; `value` in the unit named, `note` where sources disagree."""

    value: float
    unit: str
    source: Source
    note: str = ""
