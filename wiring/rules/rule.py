"""What a rule is: a slug, a title, the harm, the clauses it rests on, and a pure function over the solved design.

What every `RULE` and `check` is written with comes from here by one line.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from typing import Any

from msgspec import Struct

from wiring.design.design import Design
from wiring.findings import Cause, Finding, Mend, NotJudged, Number, Scope, Signal
from wiring.plan.source import Place
from wiring.rulebooks.citation import Limit, Source, Standing, iec_60204, nfpa_70, nfpa_79, trade_practice
from wiring.wording import natural

__all__ = [
    "Check",
    "Design",
    "Item",
    "Judgement",
    "Judgements",
    "Rule",
    "Signal",
    "Source",
    "Standing",
    "iec_60204",
    "nfpa_70",
    "nfpa_79",
    "trade_practice",
]


class Item(Struct, frozen=True):
    """One thing that a rule found. Those of one `group` that stand are told together, once it is known which do.

    `tell` makes one finding of the details of a group, in the order in which they were found. `holds` and `rests` are
    those of a finding.
    """

    group: Hashable
    detail: Any
    tell: Callable[[Sequence[Any]], Finding]
    holds: Scope | None = None
    rests: tuple[Scope, ...] | None = None


Judgement = Finding | NotJudged | Item
Judgements = Iterator[Judgement]


class Rule(Struct, frozen=True):
    """A rule's fixed facts. `slug` states the fault, is never renamed, and is the name of its file with hyphens.

    `sources` name where its limit stands, by rulebook: "iec", "na", or "both". `gravest` is the worst signal word that
    it can speak, where that is not `signal`. `notice_of_size` says that its mildest finding tells of too small a size,
    `told_at_worst` that its first subject is only where most of it lies, and the others are what suffers.
    """

    slug: str
    title: str
    signal: Signal
    harm: str
    sources: tuple[tuple[str, Source], ...] = ()
    gravest: Signal | None = None
    notice_of_size: bool = False
    told_at_worst: bool = False

    def finding(
        self,
        subjects: Iterable[str],
        summary: str,
        place: Place | None,
        *,
        signal: Signal | None = None,
        because: Iterable[Cause] = (),
        numbers: Iterable[Number] = (),
        limit: Limit | None = None,
        mend: Iterable[str | Mend] = (),
        holds: Scope | None = None,
        rests: tuple[Scope, ...] | None = None,
    ) -> Finding:
        """A finding of this rule."""
        return Finding(
            self.slug,
            signal or self.signal,
            tuple(dict.fromkeys(subjects)),
            summary,
            place,
            tuple(because),
            tuple(numbers),
            limit,
            self.harm,
            tuple(Mend(way) if isinstance(way, str) else way for way in mend),
            holds=holds,
            rests=rests,
        )

    def not_judged(self, subjects: Iterable[str], missing: str, place: Place | None = None) -> NotJudged:
        """The check of `subjects` could not be made for want of `missing`."""
        return NotJudged(self.slug, tuple(subjects), missing, place, self.gravest or self.signal)

    def ask(self, subjects: Iterable[str], missing: str, place: Place | None = None) -> Iterator[NotJudged]:
        """One open question for all that lack the same value, in the order of their names; none where nothing does."""
        names = sorted(set(subjects), key=natural)
        if names:
            yield self.not_judged(names, missing, place)

    def source(self, book: str) -> Source | None:
        """The first source that holds under a rulebook."""
        return next((source for name, source in self.sources if name in (book, "both")), None)

    def limit(self, design: Design, value: float, unit: str, note: str = "") -> Limit | None:
        """A limit that stands in the first source under the rulebook of a plan; None where it has none."""
        source = self.source(design.plan.rulebook)
        return Limit(value, unit, source, note) if source else None


Check = Callable[[Design], Judgements]
