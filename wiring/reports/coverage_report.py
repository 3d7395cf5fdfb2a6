"""The coverage of a machine standard on a terminal, and as JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable
from itertools import groupby
from typing import Any

from wiring.documents.coverage import ClauseRow, Coverage, ManualItem, Way, uncompared_keys
from wiring.reports.page import Grid, Page
from wiring.reports.terminal import print_cautions

_ROOM = 13
_JUDGED = {"yes": "a plan shows it", "partly": "a plan shows part of it", "no": "no plan shows it"}
_COLUMNS = {Way.RULE: "by rules", Way.MANUAL: "by hand", Way.OUTSIDE: "outside", Way.OPEN: "open"}
_NOTE = (
    "Clause numbers carry the standing beside them: no paid text was seen. By rules does not mean in full: what a rule "
    "leaves out stands on its page (wiring rule SLUG). By hand means a line on the inspection or power-up sheet."
)


def render_coverage(tables: Iterable[Coverage], *, width: int, colour: bool = False, encoding: str = "utf-8") -> str:
    """Every clause with what becomes of it, and the sums, within `width` columns."""
    page = Page(width, encoding)
    for table in tables:
        page.text(f"{table.standard}:{table.edition}, {len(table.rows)} clauses")
        for chapter, rows in groupby(table.rows, key=lambda row: row.clause.split(".")[0]):
            page.blank()
            page.text(f"Chapter {chapter}")
            for row in rows:
                _print_row(page, row)
        page.blank()
        page.grid(_sums(table))
        page.blank()
    page.text("Ratings of parts that no rule compares with the solved machine")
    for key in uncompared_keys():
        page.text(f"{key.model}.{key.key}: {key.physics}", _ROOM, "  ")
    page.blank()
    page.text(_NOTE)
    print_cautions(page)
    return page.render(colour)


def _print_row(page: Page, row: ClauseRow) -> None:
    page.text(f"{row.title} ({_JUDGED[row.shown]}; number {row.standing})", _ROOM, f"  {row.clause}")
    if row.ours:
        page.text(f"our own word, where the list says {_JUDGED[row.judged]}: {row.reason}", _ROOM + 2, " " * _ROOM)
    if row.rules:
        page.text(f"rules: {', '.join(row.rules)}", _ROOM + 2, " " * _ROOM)
    for item in row.manual:
        page.text(f"by hand: {item.check} ({item.expected})", _ROOM + 2, " " * _ROOM)
    if row.way is Way.OUTSIDE:
        page.text("outside a plan", _ROOM + 2, " " * _ROOM)
    if row.way is Way.OPEN:
        page.text(f"open: {row.testable}", _ROOM + 2, " " * _ROOM)


def _sums(table: Coverage) -> Grid:
    headings = (table.standard, *_COLUMNS.values(), "in all")
    rows = []
    for judged, words in _JUDGED.items():
        counts = [table.count(judged, way) for way in _COLUMNS]
        rows.append((words, *(str(count) for count in counts), str(sum(counts))))
    return Grid(headings, tuple(rows))


def coverage_json(tables: Iterable[Coverage]) -> str:
    """The same as data, ended by a line break."""
    data = {
        "format": 1,
        "standards": [_as_data(table) for table in tables],
        "ratings_not_compared": [
            {"part": key.model, "key": key.key, "physics": key.physics} for key in uncompared_keys()
        ],
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _as_data(table: Coverage) -> dict[str, Any]:
    return {
        "standard": table.standard,
        "edition": table.edition,
        "rulebook": table.book,
        "sums": {judged: {str(way): table.count(judged, way) for way in Way} for judged in _JUDGED},
        "clauses": [_clause(row) for row in table.rows],
    }


def _clause(row: ClauseRow) -> dict[str, Any]:
    return {
        "clause": row.clause,
        "title": row.title,
        "judged": row.judged,
        "ours": row.ours,
        "reason": row.reason,
        "testable": row.testable,
        "standing": row.standing,
        "way": str(row.way),
        "rules": list(row.rules),
        "manual": [_item(item) for item in row.manual],
    }


def _item(item: ManualItem) -> dict[str, str]:
    return {"clause": item.clause, "check": item.check, "expected": item.expected}
