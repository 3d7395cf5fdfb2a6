"""What a rulebook answers when it has no figure, and what becomes of the source when several figures are combined."""

from __future__ import annotations

from msgspec import Struct

from wiring.rulebooks.citation import Source, Standing

_ORDER = tuple(Standing)


class NotTabled(Struct, frozen=True):
    """The book gives no figure; `reason` says why, in words that can follow "not judged: "."""

    reason: str


def weakest(first: Source, *others: Source, computed: bool = False) -> Source:
    """The source of a figure made from several: place of the first, standing of the weakest.

    `computed` says that a formula outside the tables took part.
    """
    standings = [first.standing, *(other.standing for other in others)]
    if computed:
        standings.append(Standing.COMPUTED)
    return Source(first.standard, first.edition, first.clause, max(standings, key=_ORDER.index))
