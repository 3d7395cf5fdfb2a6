"""The first power-up sheet on a terminal, and as a PDF to take to the cabinet."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from wiring.documents.ends import Ends
from wiring.powerup.step import Sheet
from wiring.powerup.survey import Survey
from wiring.powerup.words import WHO
from wiring.reports.page import Page
from wiring.reports.power_up_rows import sheet_data
from wiring.reports.terminal import print_cautions

_WHO = {who.value: words for who, words in WHO.items()}


def render_power_up(
    sheet: Sheet,
    survey: Survey,
    *,
    width: int,
    colour: bool,
    encoding: str = "utf-8",
    ends: Ends | None = None,
    full: bool = False,
) -> str:
    """The sheet in lines of at most `width` columns (32 at the least)."""
    page = Page(width, encoding)
    data = sheet_data(sheet, survey, ends or Ends(), full=full)
    page.text(f"First power-up of {data['machine']}")
    page.text(data["summary"])
    page.blank()
    for caution in data["first"]:
        page.text(caution, 2, "!")
    for stage in data["stages"]:
        _print_stage(page, stage)
    _print_rest(page, data)
    print_cautions(page)
    return page.render(colour)


def _print_rest(page: Page, data: Mapping[str, Any]) -> None:
    if data["failed"]:
        page.blank()
        page.text(data["failed"])
    if data["not_judged"]:
        page.blank()
        page.text("Not judged, for want of data")
        for missing in data["not_judged"]:
            page.text(missing, 4, "  -")
    page.blank()
    page.text("Does not show on any line")
    for words in data["unseen"]:
        page.text(words, 4, "  -")


def _print_stage(page: Page, stage: Mapping[str, Any]) -> None:
    page.blank()
    page.text(f"{stage['title'].upper()}    [{stage['who']}]  {stage['time']}")
    for test in stage["tests"]:
        page.text(test, 3)
    if stage["state"]:
        page.text(f"In this stage: {stage['state']}", 3)
    for row in stage["rows"]:
        _print_row(page, row)
    if stage["left"]:
        page.text(f"Left as: {stage['left']}", 3)
    page.text("Every row in order: name ______ date ______ signed ______; else nobody goes on.", 3)
    if stage["annex"]:
        page.blank()
        page.text("Asked for when something is wrong:", 3)
    for row in stage["annex"]:
        _print_row(page, row)


def _print_row(page: Page, row: Mapping[str, Any]) -> None:
    cells = row["cells"]
    if row["is_change"]:
        boxes = "[ ] off [ ] locked [ ] proved dead" if row["is_dead"] else "[ ] done"
        page.text(f"Change: {row['action']}   {boxes} ({_WHO[row['who']]})", 9, f"  {row['id']}")
        return
    page.text(row["action"], 9, f"  {row['id']}")
    if row["position"]:
        page.text(f"Set: {row['position']}", 9)
    if not cells[0]["by_eye"]:
        page.text(f"{row['meter'] or 'each as it says'} ({_WHO[row['who']]})", 9)
    for cell in cells:
        own = "" if row["meter"] else cell["range"]
        told = [cell["name"], cell["do"], own, _at(cell), f"expect {cell['expected']}   ______"]
        label = f"       {cell['id'].lstrip('0123456789.')}" if cell["name"] else ""
        page.text("; ".join(word for word in told if word), 9, label)
    page.text(f"If not: {row['wrong']}", 9)


def _at(cell: Mapping[str, Any]) -> str:
    return f"{cell['at']}{', drawing ' if cell['zones'] else ''}{cell['zones']}" if cell["at"] else ""


def power_up_pdf(sheet: Sheet, survey: Survey, ends: Ends, *, full: bool = False) -> bytes:
    """The sheet as a tagged PDF, the same bytes for the same plan."""
    from wiring.documents.typeset import typeset

    return typeset("power_up.typ", sheet_data(sheet, survey, ends, full=full))
