"""What a rule is: a slug, a title, the harm, the clauses it rests on, and a pure function over the solved design."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wiring.findings import Cause, Finding, NotJudged, Number, Signal
from wiring.plan.source import Place
from wiring.rulebooks.citation import Limit, Source

if TYPE_CHECKING:
    from wiring.design.design import Design

Judgement = Finding | NotJudged


@dataclass(frozen=True, slots=True)
class Rule:
    """A rule's fixed facts. `slug` states the fault, is never renamed, and is the name of its file with hyphens.

    `sources` name where its limit stands, by rulebook: "iec", "na", or "both".
    """

    slug: str
    title: str
    signal: Signal
    harm: str
    sources: tuple[tuple[str, Source], ...] = ()

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
        mend: Iterable[str] = (),
    ) -> Finding:
        """A finding of this rule."""
        return Finding(
            self.slug,
            signal or self.signal,
            tuple(subjects),
            summary,
            place,
            tuple(because),
            tuple(numbers),
            limit,
            self.harm,
            tuple(mend),
        )

    def not_judged(self, subjects: Iterable[str], missing: str, place: Place | None = None) -> NotJudged:
        """The check of `subjects` could not be made for want of `missing`."""
        return NotJudged(self.slug, tuple(subjects), missing, place, self.signal)

    def source(self, book: str) -> Source | None:
        """The first source that holds under a rulebook."""
        return next((source for name, source in self.sources if name in (book, "both")), None)


Check = Callable[["Design"], Iterator[Judgement]]
