"""The commands that write what goes to the bench: list, pack, and the page of a checked plan."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

from wiring.cli_arguments import Argument, Option
from wiring.cli_output import destination, encoding, end_with_failed, in_state, opened, refuse, save, tell, width, write
from wiring.documents.list_names import ListName

if TYPE_CHECKING:
    from wiring.design.design import Design
    from wiring.documents.ends import Ends
    from wiring.documents.table import Table
    from wiring.findings import Signal


class ListFormat(StrEnum):
    """How `list` writes."""

    TABLE = "table"
    CSV = "csv"
    XLSX = "xlsx"
    PDF = "pdf"


class LabelPaper(StrEnum):
    """Paper of the label sheet."""

    A4 = "A4"
    LETTER = "letter"


_FORMULA_NOTE = (
    "Some cells begin with = + - or @. In the CSV they stand behind an apostrophe, so that no spreadsheet program runs "
    "them; as input of a plan take the list as xlsx."
)
PlanPath = Annotated[Path, Argument(metavar="PLAN", help="the plan file of the machine")]
Out = Annotated[Path | None, Option(metavar="FILE", help="the file to write")]


def list_(
    what: Annotated[ListName, Argument(metavar="LIST", help=", ".join(ListName))],
    plan: PlanPath,
    format: Annotated[ListFormat, Option(help="how to write it; pdf is for labels only")] = ListFormat.TABLE,
    out: Out = None,
    paper: Annotated[LabelPaper | None, Option(help="paper of the label sheet")] = None,
) -> None:
    """Print or write a list for the bench: wires, cables, terminals, parts, labels, channels, protection and more."""

    if format is ListFormat.PDF and what is not ListName.LABELS:
        refuse(f"Only labels have a sheet of their own. For {what} choose table, csv or xlsx, or print all by pack.")
    needs_file = {ListFormat.PDF: "The label sheet", ListFormat.XLSX: "A spreadsheet"}.get(format)
    if needs_file or out:
        out = destination(out, needs_file or "The list", plan)
    found = opened(plan, "text")
    data = _list_data(found.design, what, format, paper)
    if out:
        save(out, data, found.inputs)
    else:
        assert isinstance(data, str), "bytes go into a file"
        write(data)


def _list_data(design: Design, what: ListName, format: ListFormat, paper: LabelPaper | None) -> str | bytes:
    from wiring.documents.files import as_csv, as_xlsx, looks_like_formulas
    from wiring.documents.lists import WITH_INPUT, file_table, list_table
    from wiring.reports.lists import render_list
    from wiring.reports.words import CAUTIONS

    match format:
        case ListFormat.PDF:
            from wiring.documents.label_sheet import label_sheet

            usual = "A4" if design.plan.rulebook == "iec" else "letter"
            return label_sheet(design, paper.value if paper else usual, CAUTIONS)
        case ListFormat.XLSX:
            return as_xlsx(*_sheets(design, what))
        case ListFormat.CSV:
            table = file_table(design, what, _ends(design, what))
            if what in WITH_INPUT and looks_like_formulas(table):
                tell(_FORMULA_NOTE)
            return as_csv(table)
        case ListFormat.TABLE:
            return render_list(list_table(design, what, _ends(design, what)), width=width(), encoding=encoding())


def _ends(design: Design, what: ListName) -> Ends | None:
    """Where a list that names places finds them on the drawing."""
    from wiring.documents.lists import WITH_ZONES

    if what not in WITH_ZONES:
        return None
    from wiring.documents.drawn import ends_of, sheets_of
    from wiring.rules.run import judge

    return ends_of(design, sheets_of(design, judge(design)))


def _sheets(design: Design, what: ListName) -> tuple[Table, ...]:
    """The sheets of the workbook of a list; the first one of wires and cables is plan input."""
    from msgspec.structs import replace

    from wiring.documents.lists import WITH_INPUT, file_table, list_table, own_sheets

    if own := own_sheets(design, what):
        return own
    ends = _ends(design, what)
    read = list_table(design, what, ends)
    return (
        (file_table(design, what, ends), replace(read, title=f"{read.title} on the drawing"))
        if what in WITH_INPUT
        else (read,)
    )


def pack(plan: PlanPath, out: Out = None) -> None:
    """Write everything for the bench as one PDF: findings, budget, stop proof, drawing, lists, inspection, power-up."""
    from wiring.changes.judging import judged_with_mends
    from wiring.documents.pack import pack_pdf
    from wiring.reports.pack_words import pack_words
    from wiring.rules.run import rule_texts

    out = destination(out, "The pack", plan)
    found = opened(plan, "text")
    report = judged_with_mends(found.design)
    words = pack_words(found.design, report, found.sources, rule_texts(report))
    save(out, pack_pdf(found.design, report, words), found.inputs)
    end_with_failed(report.crashed)


def page_of(plan: Path, state: str | None, fail_on: Signal | None, out: Path | None) -> NoReturn:
    """Writes the page of a checked plan, and leaves with the exit status of its report."""
    from wiring.changes.judging import judged_with_mends
    from wiring.reports import exit_status
    from wiring.reports.html_page import render_html
    from wiring.rules.run import rule_texts

    out = destination(out, "The page", plan)
    found = opened(plan, "text")
    design = in_state(found.design, state)
    report = judged_with_mends(design)
    save(out, render_html(design, report, found.sources, rule_texts(report)), found.inputs)
    raise SystemExit(exit_status(report, fail_on))
