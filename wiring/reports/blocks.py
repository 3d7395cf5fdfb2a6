"""Findings of one rule and signal word as one block, at the depth for which a page has room.

Depths: 0 one line with the names; 1 the places and the first mend; 2 all mends, the limit, the harm and what follows;
3 the findings in full, each with its entry in the plan.
"""

from __future__ import annotations

import shlex
from collections.abc import Iterable, Mapping, Sequence
from itertools import chain, groupby

from msgspec import Struct

from wiring.findings import Finding, Report, Signal
from wiring.reports.lines import shortened
from wiring.reports.one_finding import effect_words, print_finding, print_heading, subject_words
from wiring.reports.page import Page
from wiring.reports.words import figure, limit_words, reference_words
from wiring.reports.written import Setting, place_words

DEEPEST = 3
_LEAD = 9
_LABEL = 10
#: Places and mends that are listed at each depth.
_MOST = {1: (3, 1), 2: (8, 4)}


class Block(Struct, frozen=True):
    """What one rule says with one signal word: its findings in order, and what follows from each, every effect once."""

    findings: tuple[Finding, ...]
    effects: tuple[tuple[Finding, ...], ...]

    @property
    def rule(self) -> str:
        return self.findings[0].rule

    @property
    def signal(self) -> Signal:
        return self.findings[0].signal


def blocks_of(report: Report, ordered: Iterable[Finding]) -> list[Block]:
    """The blocks of findings, in the order of the first of each; those of one signal word must stand together."""
    found: list[Block] = []
    for _, same in groupby(ordered, key=lambda one: one.signal):
        by_rule: dict[str, list[Finding]] = {}
        for finding in same:
            by_rule.setdefault(finding.rule, []).append(finding)
        found += [Block(tuple(members), _effects(report, members)) for members in by_rule.values()]
    return found


def _effects(report: Report, roots: Sequence[Finding]) -> tuple[tuple[Finding, ...], ...]:
    told: list[Finding] = []
    found: list[tuple[Finding, ...]] = []
    for root in roots:
        new = tuple(one for one in report.effects_of(root) if one not in told)
        told += new
        found.append(new)
    return tuple(found)


def print_block(page: Page, block: Block, depth: int, titles: Mapping[str, str], setting: Setting) -> None:
    """The block at a depth of 0 to 3; from 1 on an empty line follows, unless it is a NOTICE,
    which has a line for each finding at the most."""
    if block.signal is Signal.NOTICE and depth > 0:
        _print_notices(page, block)
        return
    if depth <= 0:
        page.text(f"{block.rule}: {shortened(_names(block.findings), 2 * page.width)}", _LEAD, block.signal)
        return
    if depth >= DEEPEST:
        for finding, effects in zip(block.findings, block.effects, strict=True):
            print_finding(page, finding, titles.get(block.rule, ""), setting, effects)
            page.blank()
        return
    title = titles.get(block.rule, "") or block.findings[0].summary
    count = len(block.findings)
    print_heading(page, block.findings[0], title if count == 1 else f"{title}, {count} times")
    _print_places(page, block, depth, setting)
    if depth > 1:
        _print_reasons(page, block, setting.book)
    _print_mends(page, block, depth)
    if follows := list(chain.from_iterable(block.effects)):
        page.text(shortened(effect_words(follows), 2 * (page.width - _LABEL)), _LABEL, "  Effects")
    page.blank()


def _print_notices(page: Page, block: Block) -> None:
    for finding in block.findings:
        page.text(f"{reference_words(finding)}: {finding.summary}", _LEAD, block.signal)


def _names(findings: Iterable[Finding]) -> str:
    return "; ".join(subject_words(one) for one in findings)


def _print_places(page: Page, block: Block, depth: int, setting: Setting) -> None:
    most = _MOST[depth][0]
    for finding in block.findings[:most]:
        where = f"{place_words(finding.place, setting)}: " if finding.place else ""
        page.text(f"{where}{finding.summary}", 4, "  -")
    rest = block.findings[most:]
    if rest:
        page.text(f"and {len(rest)} more: {shortened(_names(rest), 3 * page.width)}", 4, "  -")


def _print_reasons(page: Page, block: Block, book: str) -> None:
    found = [one.limit for one in block.findings if one.limit]
    limits = {f"{figure(limit.value, limit.unit, book)}; {limit_words(limit)}" for limit in found}
    for number, words in enumerate(sorted(limits)[:2]):
        page.text(words, _LABEL, "  Limit" if number == 0 else "")
    if block.findings[0].harm:
        page.text(block.findings[0].harm, _LABEL, "  Harm")


def _print_mends(page: Page, block: Block, depth: int) -> None:
    """The ways to mend, each sentence once; the first of every finding before the second of any."""
    most = _MOST[depth][1]
    longest = max(len(one.mends) for one in block.findings)
    ways = [one.mends[n].words for n in range(longest) for one in block.findings if n < len(one.mends)]
    told = list(dict.fromkeys(ways))
    firsts = len(dict.fromkeys(one.mends[0].words for one in block.findings if one.mends))
    for number, words in enumerate(told[:most]):
        label = "Mend" if number == 0 else "and" if number < firsts else "or"
        page.text(words, _LABEL, f"  {label}")


def command_of(finding: Finding, plan: str) -> str:
    """The command that applies the first mend of a finding, "" where a person must decide how to mend it."""
    if plan.startswith("<") or not finding.subjects or not any(mend.edits for mend in finding.mends):
        return ""
    return f"wiring change {shlex.quote(plan)} --mend {finding.rule} {shlex.quote(finding.subjects[0])} --in-place"
