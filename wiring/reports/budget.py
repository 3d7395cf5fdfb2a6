"""The budget for people: supplies, enclosure, protective devices and conductors, each with its figures."""

from __future__ import annotations

from wiring.findings import Report
from wiring.reports import figures
from wiring.reports.page import Grid, Page
from wiring.reports.terminal import print_cautions, print_supplies
from wiring.reports.words import failed_words
from wiring.wording import counted

_ROWS_FIRST = 12


def render_budget(report: Report, *, width: int, colour: bool, all_rows: bool = False, encoding: str = "utf-8") -> str:
    """The tables in lines of at most `width` columns (32 at the least); long ones cut unless `all_rows`."""
    page = Page(width, encoding)
    computed = report.figures
    if report.crashed:
        page.text(failed_words(report.crashed))
        page.blank()
    print_supplies(page, computed)
    if not computed.get("supplies"):
        _print_absent(page, "Supplies")
    enclosure = figures.enclosure_words(computed, report.rulebook)
    page.text(f"Enclosure: {enclosure or 'not computed'}")
    page.blank()
    _print_grid(page, "Protective devices", figures.protection(computed), all_rows)
    _print_grid(page, "Conductors, the hardest used first", figures.conductors(computed, report.rulebook), all_rows)
    print_cautions(page)
    return page.render(colour)


def _print_absent(page: Page, name: str) -> None:
    page.text(f"{name}: not computed")
    page.blank()


def _print_grid(page: Page, title: str, grid: Grid, all_rows: bool) -> None:
    if not grid.rows:
        _print_absent(page, title.partition(",")[0])
        return
    shown = grid.rows if all_rows else grid.rows[:_ROWS_FIRST]
    page.text(title)
    page.grid(Grid(grid.headings, shown, grid.names))
    left = len(grid.rows) - len(shown)
    if left:
        page.text(f"and {counted(left, 'row')} more: list with --all", 2)
    page.blank()
