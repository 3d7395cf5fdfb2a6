"""What a change does, for people and as JSON: figures before and after, what is new, what would clear it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from wiring.documents.cost import cost_of
from wiring.findings import Finding
from wiring.reports.figure_tables import figure_data, print_figures
from wiring.reports.json_report import finding_data
from wiring.reports.lines import indented
from wiring.reports.page import Page
from wiring.reports.terminal import print_cautions
from wiring.reports.words import missing_words

if TYPE_CHECKING:
    from wiring.changes.addition import Change
    from wiring.changes.compare import Comparison
    from wiring.changes.proposals import Proposal
    from wiring.design.design import Design

_MOST_MENDS = 6


def change_data(change: Change, out: str = "") -> dict[str, Any]:
    """The report as plain data; every figure is there, moved or not."""
    comparison = change.comparison
    return {
        "format": 1,
        "plan": comparison.before.file,
        "change": change.headline,
        "added": list(change.added),
        "unplaced": list(change.unplaced),
        "remarks": list(change.remarks),
        "figures": [figure_data(one) for one in comparison.figures],
        "new": [finding_data(finding) for finding in change.new],
        "gone": [finding_data(finding) for finding in comparison.gone],
        "not_judged": [
            {"rule": entry.rule, "subjects": list(entry.subjects), "missing": entry.missing}
            for entry in comparison.unknown
        ],
        "cost": cost_of(comparison.before.design, comparison.after.design).data,
        "mends": [_mend_data(mend) for mend in change.mends],
        "out": out or None,
    }


def _mend_data(mend: Proposal) -> dict[str, Any]:
    left = [{"rule": finding.rule, "subjects": list(finding.subjects)} for finding in mend.left]
    return {"changes": list(mend.words), "clears": mend.clears, "left": left, "unmet": list(mend.unmet)}


def render_change(change: Change, *, width: int, colour: bool, out: str = "", encoding: str = "utf-8") -> str:
    """The report in lines of at most `width` columns."""
    page = Page(width, encoding, change.outcome.design.plan.rulebook)
    comparison = change.comparison
    page.text(change.headline)
    page.blank()
    _print_list(page, "Changed" if change.only_changed else "Added", change.added)
    _print_list(page, "Found no place, and stays without a wire", change.unplaced)
    _print_list(page, "To be noted", change.remarks)
    print_figures(page, comparison.figures)
    print_cost(page, comparison.before.design, comparison.after.design)
    _print_unknown(page, comparison)
    print_findings(page, change.new, comparison.gone)
    _print_mends(page, comparison.new, change.mends)
    if out:
        page.blank()
        page.text(f"Written: {out}")
    print_cautions(page)
    return page.render(colour)


def print_cost(page: Page, before: Design, after: Design) -> None:
    """What is to be bought for a change, where the plan gives prices."""
    _print_list(page, "Cost", tuple(cost_of(before, after).sentences))


def _print_list(page: Page, title: str, lines: Sequence[str]) -> None:
    if lines:
        page.text(title)
        for line in lines:
            page.lines(indented(page.clean(line), page.width, 4, "  -"))
        page.blank()


def _print_unknown(page: Page, comparison: Comparison) -> None:
    if comparison.unknown:
        page.text("Not judged for want of data; not judged does not mean safe")
        for entry in comparison.unknown:
            page.text(f"{missing_words(entry)} ({entry.rule})", 4, "  -")
        page.blank()


def print_findings(page: Page, new: Sequence[Finding], gone: Sequence[Finding]) -> None:
    """What is new and what is gone, each in its sentence with its ways to mend."""
    if not new:
        page.text("New findings: none.")
    else:
        page.text("New findings")
        for finding in new:
            where = f", line {finding.place.line}" if finding.place else ""
            page.text(f"{finding.signal} {finding.rule}{where}: {finding.summary}.", 4, "  -")
    for finding in gone:
        page.text(f"Gone: {finding.signal} {finding.rule}: {finding.summary}.", 2)


def _print_mends(page: Page, new: Sequence[Finding], mends: Sequence[Proposal]) -> None:
    if not new:
        return
    page.blank()
    clearing = [mend for mend in mends if mend.clears]
    if clearing:
        page.text("What would clear them, the least change first; each was solved again")
        for number, mend in enumerate(clearing[:_MOST_MENDS], 1):
            page.text("; ".join(mend.words), 5, f"  {number}.")
        return
    page.text("No other sizes, supplies or moves clear them all.")
    for mend in mends[:1]:
        left = ", ".join(f"{finding.rule} ({', '.join(finding.subjects[:4])})" for finding in mend.left)
        if mend.words:
            page.text(f"Nearest: {'; '.join(mend.words)}. It leaves {left}.", 2)
        for words in mend.unmet:
            page.text(f"{words}.", 4, "  -")
