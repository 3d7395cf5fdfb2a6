"""What becomes of every clause of the two machine standards: judged by rules, checked by hand, or outside a plan.

A rule checks the clauses of its row in `wiring/rules/clauses.csv`; one without a row those that its sources name. A
manual item is a row of the inspection tables; it answers for its clause and for those below it. Where a plan of this
language shows less of a clause than the list of clauses says, `wiring/rules/clauses_judged.csv` holds our own word
and the reason.

Beside it stand the ratings of parts that no rule compares with anything, each with what makes that harmless.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from enum import StrEnum
from functools import cache
from importlib.resources import files

from msgspec import Struct

from wiring.rulebooks.tables import load
from wiring.rules import SLUGS, rule_module

#: The machine standard of each rulebook.
STANDARDS = {"iec": "IEC 60204-1", "na": "NFPA 79"}


class Way(StrEnum):
    """How a clause is answered."""

    RULE = "rule"  # a rule judges the plan; a manual item may stand beside it
    MANUAL = "manual"  # a check on the finished machine, on the inspection or power-up sheet
    OUTSIDE = "outside"  # nothing of it can stand in a plan
    OPEN = "open"  # neither


class ManualItem(Struct, frozen=True):
    """A check on the finished machine, what is expected, and the clause it stands for."""

    clause: str
    check: str
    expected: str


class ClauseRow(Struct, frozen=True):
    """One clause. `judged` says how far a plan can show it, after the list of clauses: yes, partly, no. `ours` is our
    own word on it where that differs, "" elsewhere, and `reason` says why. `standing` is that of its number.
    """

    clause: str
    title: str
    judged: str
    testable: str
    standing: str
    rules: tuple[str, ...]
    manual: tuple[ManualItem, ...]
    ours: str = ""
    reason: str = ""

    @property
    def shown(self) -> str:
        """How far a plan of this language can show it: our word, or that of the list."""
        return self.ours or self.judged

    @property
    def way(self) -> Way:
        """The strongest way in which it is answered."""
        if self.rules:
            return Way.RULE
        if self.manual:
            return Way.MANUAL
        return Way.OUTSIDE if self.shown == "no" else Way.OPEN


class UncomparedKey(Struct, frozen=True):
    """A rating of a kind of part that no rule compares with the solved machine, and the physics that makes it harmless.

    `model` is the name of the model in the schema that has the key.
    """

    model: str
    key: str
    physics: str


class Coverage(Struct, frozen=True):
    """Every clause of one standard in its order."""

    book: str
    standard: str
    edition: str
    rows: tuple[ClauseRow, ...]

    def count(self, judged: str, way: Way) -> int:
        """The clauses that a plan shows so far (`judged`) and that are answered in that way."""
        return sum(row.shown == judged and row.way is way for row in self.rows)


def _records(package: str, *path: str) -> list[dict[str, str]]:
    text = files(package).joinpath(*path).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@cache
def uncompared_keys() -> tuple[UncomparedKey, ...]:
    """The ratings that nothing compares, in the order of `wiring/rules/keys_not_compared.csv`."""
    rows = _records("wiring.rules", "keys_not_compared.csv")
    return tuple(UncomparedKey(row["model"], row["key"], row["physics"]) for row in rows)


@cache
def mapped_clauses() -> dict[str, dict[str, tuple[str, ...]]]:
    """The table of rules and clauses as written: rule, then book, then clauses."""
    return {
        row["rule"]: {book: tuple(row[book].split()) for book in STANDARDS}
        for row in _records("wiring.rules", "clauses.csv")
    }


@cache
def rule_formula(slug: str) -> str:
    """The formula that a rule computes, in words and letters; "" where it computes none."""
    return next((row["formula"] for row in _records("wiring.rules", "clauses.csv") if row["rule"] == slug), "")


def rule_clauses(slug: str, book: str) -> tuple[str, ...]:
    """The clauses of a book's machine standard that a rule checks. Raises KeyError for a slug that no rule has."""
    if slug in mapped_clauses():
        return mapped_clauses()[slug][book]
    known = {row.text("section") for row in load(book, "clauses").rows}
    cited = [
        source.clause.split(",")[0].strip()
        for _, source in rule_module(slug).RULE.sources
        if source.standard == STANDARDS[book]
    ]
    return tuple(dict.fromkeys(clause for clause in cited if clause in known))


@cache
def own_judgements(book: str) -> dict[str, tuple[str, str]]:
    """Clauses of a book that a plan of this language shows less of than the list says: our word and its reason."""
    rows = _records("wiring.rules", "clauses_judged.csv")
    return {row["clause"]: (row["judged"], row["reason"]) for row in rows if row["standard"] == book}


@cache
def manual_items(book: str) -> tuple[ManualItem, ...]:
    """The checks on the finished machine of a book, in the order of the sheet."""
    rows = _records("wiring.documents", "tables", f"inspection_{book}.csv")
    return tuple(ManualItem(row["clause"], row["check"], row["expected"]) for row in rows)


def _answers_for(item: ManualItem, clause: str) -> bool:
    return clause == item.clause or clause.startswith((f"{item.clause}.", f"{item.clause}("))


def _rows(book: str) -> Iterator[ClauseRow]:
    checked: dict[str, list[str]] = {}
    for slug in SLUGS:
        for clause in rule_clauses(slug, book):
            checked.setdefault(clause, []).append(slug)
    for row in load(book, "clauses").rows:
        clause = row.text("section")
        ours, reason = own_judgements(book).get(clause, ("", ""))
        yield ClauseRow(
            clause,
            row.text("title"),
            row.text("judged"),
            row.text("testable"),
            str(row.source.standing),
            tuple(checked.get(clause, ())),
            tuple(item for item in manual_items(book) if _answers_for(item, clause)),
            ours,
            reason,
        )


def coverage(book: str) -> Coverage:
    """The coverage of a book's machine standard: "iec" IEC 60204-1, "na" NFPA 79. KeyError for another book."""
    standard = STANDARDS[book]
    rows = tuple(_rows(book))
    return Coverage(book, standard, load(book, "clauses").rows[0].source.edition, rows)
