"""Mends of size worked out: what a finding asks of sizes, with all that follows from it, as edits that were judged.

A root takes the largest of what it explains. A mend is kept where the machine with it no longer shows the root nor what
the root explains, a milder notice apart, and shows nothing new at or above WARNING.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from math import inf

from msgspec.structs import replace

from wiring.design.design import Design
from wiring.effort import TooMuchError
from wiring.findings import Finding, Mend, Report, Signal
from wiring.requirement import Requirement
from wiring.rulebooks.limits import KEPT_FREE
from wiring.rules import OF_LOADS, SLUGS
from wiring.rules.run import crash, tell
from wiring.sizing.engine import ladders_of, settle
from wiring.sizing.ladder import Key, Ladder, by_item
from wiring.sizing.records import Unmet, Wish
from wiring.sizing.written import size_edits, size_words

#: A size of a conductor, at the beginning of a change.
_SIZE = re.compile(r"[\d./]+ (?:mm2|AWG|kcmil)")
#: So many mends of size are worked out for one report, of its worst roots.
_MOST = 16
#: Up to so many conductors and inner paths; of a larger machine fewer, for each costs several judgements, and these
#: grow with it (own choice: above the largest plan in `specs/`).
_EDGES = 600
#: What stands among the rules that failed where mends could not be worked out.
_MENDS = "mends"


def with_mends(design: Design, report: Report, roots: Sequence[Finding] | None = None) -> Report:
    """The report with the mends of size of its roots, or of some of them, worked out; of those that fail it tells what
    caps them.
    """
    roots = [one for one in report.roots if (roots is None or one in roots) and any(mend.asks for mend in one.mends)]
    if not roots:
        return report
    return remade(report, roots, _Work(design, report).mends)


def remade(report: Report, roots: Iterable[Finding], mends: Callable[[Finding], Iterable[Mend]]) -> Report:
    """The report with other mends of some roots. Where one cannot be made, findings stay, and that is one more."""
    try:
        done = {id(root): replace(root, mends=tuple(mends(root))) for root in roots}
    except Exception as error:
        findings, crashed = (*report.findings, crash(_MENDS, error)), (*report.crashed, _MENDS)
        return replace(report, findings=findings, crashed=crashed)
    return replace(report, findings=tuple(done.get(id(finding), finding) for finding in report.findings))


def affordable(design: Design, most: int) -> int:
    """How many mends of a machine are worked out or tried: `most` of a usual one, none of a very large one."""
    return min(most, int(most * (_EDGES / max(len(design.circuit.edges), 1)) ** 2))


class _Work:
    """The mends of one report."""

    def __init__(self, design: Design, report: Report) -> None:
        self.design, self.report, self.left = design, report, affordable(design, _MOST)
        ladders = ladders_of(design)
        self.items = by_item(ladders.values())

    def mends(self, root: Finding) -> Iterator[Mend]:
        """Those of a root: worked out, or in words for a person to decide."""
        told: set[str] = set()
        for mend in root.mends:
            if not mend.asks:
                yield mend
                continue
            self.left -= 1
            try:
                made_of_it = list(self._made(root, mend)) if self.left >= 0 else [Mend(mend.words)]
            except TooMuchError:
                self.left, made_of_it = 0, [Mend(mend.words)]
            for made in made_of_it:
                if made.words not in told:
                    told.add(made.words)
                    yield made
        if not told and all(mend.asks for mend in root.mends):
            yield Mend("No size that is sold mends it alone: change how it is wired, what it carries, or the part.")

    def _made(self, root: Finding, mend: Mend) -> Iterator[Mend]:
        effects = self.report.effects_of(root)
        rising = all(ask.most == inf for ask in mend.asks)
        more = [ask for one in effects for other in one.mends for ask in other.asks if rising == (ask.most == inf)]
        asks = tuple(ask for ask in (*mend.asks, *more) if (ask.quantity, ask.item) in self.items or ask.instead)
        if not asks:
            return
        unmet: tuple[Unmet, ...] = ()
        for free in (KEPT_FREE, 0.0):  # what else stands in the way counts for more than a share kept free
            sizing = settle(self.design, Wish(free, extra=asks, only=self._free(root, effects)))
            if sizing.moved and not left_by_a_mend(sizing.design, OF_LOADS, self.report, (root, *effects)):
                yield Mend(_sentence(size_words(sizing)), (*mend.edits, *size_edits(sizing)), tried=not mend.edits)
                return
            unmet = unmet or sizing.unmet
            if not sizing.moved:
                break
        if rising:
            subjects = {name for one in (root, *effects) for name in one.subjects}
            caps = [str(one) for one in unmet if subjects & set(one.ladder.subjects)]
            yield from (Mend(f"No size mends it: {words}.") for words in caps[:1])

    def _free(self, root: Finding, effects: Sequence[Finding]) -> set[Key]:
        """The ladders that may move: all but those that other roots ask to."""
        mine = set(self._asked((root, *effects)))
        others = [one for one in self.report.standing if one is not root and one not in effects]
        return {one.key for one in self.items.values()} - (set(self._asked(others)) - mine)

    def _asked(self, findings: Iterable[Finding]) -> Iterator[Key]:
        for finding in findings:
            for mend in finding.mends:
                for ask in mend.asks:
                    yield from (ladder.key for ladder in self._ladders(ask))

    def _ladders(self, ask: Requirement) -> Iterator[Ladder]:
        for one in (ask, *ask.instead):
            ladder = self.items.get((one.quantity, one.item))
            if ladder is not None:
                yield ladder


def left_by_a_mend(after: Design, slugs: Collection[str], report: Report, gone: Sequence[Finding]) -> str:
    """What some rules still say of what a mend should take away, or say anew at or above WARNING; "" where nothing.

    Raises TooMuchError where that takes more steps than are left.
    """
    told = tell(after, tuple(slug for slug in slugs if slug in SLUGS))
    for finding in told.findings:
        if finding.accepted is not None:
            continue
        names = set(finding.subjects)
        same = [one for one in report.findings if one.rule == finding.rule and names <= set(one.subjects)]
        stood = bool(same)
        beside = stood and not any(one in gone for one in same)  # of another cause, which the mend is not for
        stays = any(one.rule == finding.rule and names & set(one.subjects) for one in gone) and not beside
        if stays and finding.signal is not Signal.NOTICE:
            return f"{finding.rule} stays"
        if finding.signal.rank <= Signal.WARNING.rank and not stood:
            return f"{finding.rule} comes in its place"
    if after.effort.spent_out:
        raise TooMuchError
    return "a rule fails on it" if told.crashed else ""


def _sentence(words: Sequence[str]) -> str:
    return f"Make {'; '.join(map(_made, words))}."


def _made(change: str) -> str:
    """A change behind "make": "F2 6 A in place of 10 A"; "wire 1 of 8 AWG", for two numbers would be read as one."""
    names, _, size = change.partition(": ")
    return f"{names} of {size}" if _SIZE.match(size) else f"{names} {size}"
