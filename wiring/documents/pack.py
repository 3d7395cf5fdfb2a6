"""The pack: everything that goes to the bench as one PDF, from the cover to the sheets for inspection and power-up."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from pathlib import Path
from typing import Any

from msgspec import Struct

from wiring.design.design import Design
from wiring.documents.contents import lists_of, stops_of
from wiring.documents.drawn import ends_of, sheet_svg, sheets_of
from wiring.documents.ends import Ends
from wiring.documents.inspection import inspection_rows
from wiring.documents.plots import Plot, plot_svg, plots
from wiring.documents.table import Table
from wiring.documents.typeset import typeset
from wiring.drawing.shapes import Line, Sheet
from wiring.findings import Report

_TABLES = Path(__file__).parent / "tables"
#: A column with longer cells than this [characters] shares what room is left.
_GIVES_WAY = 26
#: A narrow table with more rows than this stands in two columns.
_ONE_COLUMN = 40
#: A list narrower than this [characters] stands in two columns.
_HALF_PAGE = 100
_PAPER = {"iec": "a4", "na": "us-letter"}


class Words(Struct, frozen=True):
    """What a report says, in the words of the printers: findings and tables as plain data.

    `power_up` makes the sheet of the first power-up, given where every conductor ends on the drawing.
    """

    verdict: str
    cautions: Sequence[str]
    findings: Sequence[Mapping[str, Any]]
    not_judged: Sequence[tuple[str, str]]
    budget: Sequence[Mapping[str, Any]]
    enclosure: str
    power_up: Callable[[Ends], Mapping[str, Any]]


def pack_pdf(design: Design, report: Report, words: Words) -> bytes:
    """The pack of a design and its report as a tagged PDF, the same bytes for the same plan."""
    sheets = sheets_of(design, report)
    ends = ends_of(design, sheets)
    pictures = plots(design)
    files = {_sheet_file(sheet): sheet_svg(sheet) for sheet in sheets}
    files |= {f"plot-{number}.svg": plot_svg(plot) for number, plot in enumerate(pictures)}
    marks = list(_marks(sheets, {one["number"] for one in words.findings}))
    findings = [
        {**one, "sheets": sorted({mark["sheet"] for mark in marks if mark["finding"] == one["number"]})}
        for one in words.findings
    ]
    data = {
        **_head(design, report),
        "paper": _PAPER[design.plan.rulebook],
        "verdict": words.verdict,
        "cautions": list(words.cautions),
        "findings": [one for one in findings if not one["accepted"]],
        "accepted": [one for one in findings if one["accepted"]],
        "acceptances": _acceptances(design, report),
        "not_judged": [list(entry) for entry in words.not_judged],
        "enclosure": words.enclosure,
        "budget": [_budget(table) for table in words.budget],
        "plots": [_plot(number, plot) for number, plot in enumerate(pictures)],
        "stops": stops_of(design, report),
        "sheets": [
            {**_sheet(sheet), "marks": [mark for mark in marks if mark["sheet"] == sheet.number]} for sheet in sheets
        ],
        "lists": [_list(table) for table in lists_of(design, ends)],
        "power_up": words.power_up(ends),
        **_by_hand(design),
    }
    return typeset("pack.typ", data, files)


def _head(design: Design, report: Report) -> dict[str, Any]:
    plan = design.plan
    return {
        "machine": plan.machine,
        "plan": report.plan.replace("\\", "/").rpartition("/")[2],
        "rulebook": {"iec": "IEC", "na": "North American"}[plan.rulebook],
        "author": plan.author,
        "revision": plan.revision,
        "date": plan.date,
    }


def _acceptances(design: Design, report: Report) -> dict[str, str]:
    """Who accepted which finding and when, by its number, where the plan says so."""
    signed = {(one.finding, frozenset(one.part)): f"{one.by} {one.date}".strip() for one in design.plan.accepted}
    found = {str(n): signed.get((one.rule, frozenset(one.subjects)), "") for n, one in enumerate(report.findings, 1)}
    return {number: words for number, words in found.items() if words}


def _marks(sheets: Sequence[Sheet], told: Set[int]) -> Iterator[dict[str, Any]]:
    """Where findings that the pack tells in full are marked on the sheets, the left upper corner in mm."""
    for sheet in sheets:
        for group in sheet.groups:
            if group.kind == "finding" and int(group.id) in told:
                points = next(shape.points for shape in group.shapes if isinstance(shape, Line))
                x, y = (min(axis) for axis in zip(*points, strict=True))
                yield {"sheet": sheet.number, "finding": int(group.id), "x": x, "y": y}


def _sheet_file(sheet: Sheet) -> str:
    return f"sheet-{sheet.number}.svg"


def _sheet(sheet: Sheet) -> dict[str, Any]:
    return {
        "file": _sheet_file(sheet),
        "number": sheet.number,
        "title": sheet.title,
        "width": sheet.width,
        "height": sheet.height,
    }


def _plot(number: int, plot: Plot) -> dict[str, Any]:
    return {"file": f"plot-{number}.svg", "alt": plot.says, "title": plot.title}


def _budget(table: Mapping[str, Any]) -> dict[str, Any]:
    names = table["names"]
    align = ["left" if number < names else "right" for number in range(len(table["headings"]))]
    rows = [list(row) for row in table["rows"]]
    return {
        **table,
        "rows": rows,
        "align": align,
        "notes": [],
        "widths": [],
        "columns": 2 if len(rows) > _ONE_COLUMN else 1,
    }


def _list(table: Table) -> dict[str, Any]:
    """A list whose widest columns give way, each by its width; 0 for those that do not."""
    rows = table.words()
    widest = [max(map(len, column)) for column in zip(table.headings, *rows, strict=True)]
    return {
        "title": table.title,
        "headings": table.headings,
        "align": ["right" if column.unit else "left" for column in table.columns],
        "widths": [width if width > _GIVES_WAY else 0 for width in widest],
        "rows": rows,
        "notes": list(table.notes),
        "ticked": table.ticked,
        "columns": 2 if sum(widest) + 2 * len(widest) < _HALF_PAGE and len(rows) > _ONE_COLUMN else 1,
    }


def _by_hand(design: Design) -> dict[str, Any]:
    """The sheet of the inspection that is filled in by hand, with the standing of what stands on it."""
    inspection = inspection_rows(design)
    standards = dict.fromkeys(f"{row['standard']}:{row['edition']}" for row in inspection)
    return {"inspection": inspection, "standard": " and ".join(standards)}
