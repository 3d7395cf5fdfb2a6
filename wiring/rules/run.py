"""All rules over one design: what each finds, the one pass of causes over it, crashes caught."""

from __future__ import annotations

import traceback
from collections.abc import Iterable, Iterator
from operator import itemgetter
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from wiring.book_words import in_book
from wiring.design.design import Design
from wiring.design.figures import SECTIONS
from wiring.effort import TooMuchError, limited
from wiring.findings import Finding, Mend, NotJudged, Report, Signal
from wiring.plan.models import Acceptance
from wiring.rules import SLUGS, rule_module
from wiring.rules.causes import subject_scope
from wiring.rules.fold import Claim, Fold, Found
from wiring.rules.rule import Item, Rule
from wiring.wording import natural

CRASHED = "rule-crashed"
UNMATCHED = "acceptance-unmatched"


#: What stands before the name of a section of figures that could not be computed, among the rules that failed.
_FIGURES = "figures-"
_TOO_MUCH = (
    "a smaller machine: to judge this one takes more steps than a check makes. Judge parts of it as plans of their "
    "own, each with its stops; `wiring stop` proves the stops of the whole, for as long as that takes"
)
_REMOVE = "Remove it, or name the finding and its parts as the report prints them."


class Told(Struct, frozen=True):
    """What some rules say: findings and open questions, worst first; rules that failed, and how many were quiet."""

    findings: tuple[Finding, ...]
    not_judged: tuple[NotJudged, ...]
    crashed: tuple[str, ...]
    quiet: int


def judge(design: Design) -> Report:
    """Run every rule. A rule that fails becomes a finding of its own; the others still run."""
    told = tell(design)
    computed, crashes = _figures(design)
    return Report(
        design.reading.source.file,
        design.plan.rulebook,
        tuple(sorted((*told.findings, *crashes.values()), key=_order)),
        told.not_judged,
        computed,
        (*told.crashed, *crashes),
        told.quiet,
    )


def tell(design: Design, slugs: Iterable[str] = SLUGS) -> Told:
    """What these rules say of a design: acceptances applied, effects folded under those of their causes among them.

    An acceptance that matches nothing is told where every rule is asked.
    """
    asked = tuple(slugs)
    found: list[Found] = []
    questions: list[NotJudged] = []
    crashes: dict[str, Finding] = {}
    quiet = 0
    for slug in asked:
        try:
            said = _said_within(design, slug)
        except Exception as error:
            crashes[slug] = crash(slug, error)
            continue
        found += [item for item in said if isinstance(item, Found)]
        questions += [item for item in said if isinstance(item, NotJudged)]
        quiet += not said
    fold = Fold(found, design.plan.accepted)
    findings = [_cited(finding, design) for finding in fold.findings()]
    if asked == SLUGS:
        asked_for = {_name(one) for one in questions}
        left = [n for n in fold.unmatched if _entry_name(design.plan.accepted[n]) not in asked_for]
        findings += [_unmatched(design, n, findings, questions) for n in left]
    findings += crashes.values()
    findings.sort(key=_order)
    reasons = {_entry_name(entry): entry.reason for entry in design.plan.accepted}
    questions = [replace(one, accepted=reasons.get(_name(one))) for one in questions]
    book = design.plan.rulebook
    findings = [in_words_of(finding, book) for finding in findings]
    questions = [replace(one, missing=in_book(one.missing, book)) for one in questions]
    questions.sort(key=lambda item: (item.signal.rank, item.rule, item.subjects, item.missing))
    return Told(tuple(findings), tuple(questions), tuple(crashes), quiet)


def in_words_of(finding: Finding, book: str) -> Finding:
    """A finding in the words and units of a rulebook; its figures stay in SI, for the printers to show."""
    return replace(
        finding,
        summary=in_book(finding.summary, book),
        harm=in_book(finding.harm, book),
        because=tuple(replace(one, remark=in_book(one.remark, book)) for one in finding.because),
        numbers=tuple(
            replace(one, name=in_book(one.name, book), remark=in_book(one.remark, book)) for one in finding.numbers
        ),
        limit=replace(finding.limit, note=in_book(finding.limit.note, book)) if finding.limit else None,
        mends=tuple(replace(one, words=in_book(one.words, book)) for one in finding.mends),
    )


def told_alone(design: Design, slug: str) -> list[Finding | NotJudged]:
    """What one rule says, as if there were no other and nothing were accepted; its open questions last."""
    said = list(_said(design, slug))
    findings = Fold([item for item in said if isinstance(item, Found)]).findings()
    return [*findings, *(item for item in said if isinstance(item, NotJudged))]


def rule_texts(report: Report) -> list[Rule]:
    """The rules that a report speaks of, for the titles of its printers."""
    named = {finding.rule for finding in report.findings} | {item.rule for item in report.not_judged}
    rules = [rule_module(slug).RULE for slug in SLUGS if slug in named]
    book = report.rulebook
    return [replace(rule, title=in_book(rule.title, book), harm=in_book(rule.harm, book)) for rule in rules]


def _said_within(design: Design, slug: str) -> list[Found | NotJudged]:
    """What a rule says; where simulations would cost too much, what it says up to there, and that it ends there."""
    said: list[Found | NotJudged] = []
    try:
        with limited(design.effort):
            said.extend(_said(design, slug))
    except TooMuchError:
        said.append(rule_module(slug).RULE.not_judged((), _TOO_MUCH))
    return said


def _said(design: Design, slug: str) -> Iterator[Found | NotJudged]:
    for n, said in enumerate(rule_module(slug).check(design)):
        yield said if isinstance(said, NotJudged) else _found(design, _as_item(said, n))


def _as_item(said: Finding | Item, n: int) -> Item:
    """A finding is an item in a group of its own."""
    return said if isinstance(said, Item) else Item(n, said, itemgetter(0), said.holds, said.rests)


def _found(design: Design, item: Item) -> Found:
    alone = item.tell([item.detail])
    own = subject_scope(design, alone.subjects)
    holds = own if item.holds is None else item.holds
    rests = (own,) if item.rests is None else item.rests
    return Found(item, alone, Claim(alone.rule, alone.signal, holds, rests))


def _name(one: NotJudged) -> tuple[str, frozenset[str]]:
    """An open question is accepted like a finding: by its rule and all that it names."""
    return one.rule, frozenset(one.subjects)


def _entry_name(entry: Acceptance) -> tuple[str, frozenset[str]]:
    return entry.finding, frozenset(entry.part)


def _cited(finding: Finding, design: Design) -> Finding:
    return replace(finding, clause=rule_module(finding.rule).RULE.source(design.plan.rulebook))


def crash(name: str, error: Exception) -> Finding:
    """The finding that a rule, a section of figures or a mend failed itself."""
    where = traceback.extract_tb(error.__traceback__)[-1]
    what = (
        f"The figures of {name.removeprefix(_FIGURES)} could not be computed, and stay unknown"
        if name.startswith(_FIGURES)
        else f"The rule {name} failed, and what it judges stays unknown"
    )
    return Finding(
        CRASHED,
        Signal.WARNING,
        (name,),
        f"{what} ({type(error).__name__} in {where.name})",
        harm="A fault that it would have shown stays unseen.",
        mends=(Mend("Report this with the plan that shows it, and check by hand what it judges."),),
    )


def _figures(design: Design) -> tuple[dict[str, Any], dict[str, Finding]]:
    """The figures that could be computed, and the name and crash of those that could not."""
    found: dict[str, Any] = {}
    crashes: dict[str, Finding] = {}
    for name, compute in SECTIONS.items():
        try:
            with limited(design.effort):
                found[name] = compute(design)
        except TooMuchError:
            continue  # the rules say so
        except Exception as error:
            crashes[f"{_FIGURES}{name}"] = crash(f"{_FIGURES}{name}", error)
    return found, crashes


def _unmatched(design: Design, n: int, findings: Iterable[Finding], questions: Iterable[NotJudged]) -> Finding:
    entry, place = design.plan.accepted[n], design.reading.place("accepted", n)
    told: list[Finding | NotJudged] = [*findings, *questions]
    near = [one for one in told if one.rule == entry.finding and set(entry.part) & set(one.subjects)]
    as_printed = [f"Name all that a finding names: `part: [{', '.join(one.subjects)}]`." for one in near]
    return Finding(
        UNMATCHED,
        Signal.NOTICE,
        entry.part,
        f"The acceptance of {entry.finding} for {', '.join(entry.part)} matches no finding",
        place,
        harm="An acceptance that is no longer needed would hide a new fault of the same kind.",
        mends=tuple(map(Mend, as_printed or [_REMOVE])),
    )


def _order(finding: Finding) -> tuple[object, ...]:
    """Free of where things stand in the file, so that no document depends on the order of a plan."""
    subjects = tuple(map(natural, finding.subjects))
    return (finding.signal.rank, finding.rule, subjects, finding.summary)
