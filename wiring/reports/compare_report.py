"""The comparison of two plans for people at the cabinet, and as plain data."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any

from wiring.changes.rebuild import Action, in_place_of
from wiring.documents.plan_comparison import Before, PlanComparison
from wiring.reports.change_report import print_findings
from wiring.reports.figure_tables import figure_data, moved, print_figures
from wiring.reports.json_report import finding_data
from wiring.reports.page import Page
from wiring.reports.terminal import print_cautions
from wiring.reports.words import CAUTIONS, missing_words
from wiring.wording import counted

_LABELS_MOST = 24
#: What each group of steps begins with; before the first of them stands what makes the cabinet safe.
HEADINGS = {
    Action.TAKE_OFF: "Take off",
    Action.TAKE_OUT: "Take out",
    Action.REPLACE: "Replace",
    Action.PUT_IN: "Put in",
    Action.MOVE: "Move",
    Action.SET: "Set",
    Action.RELABEL: "Relabel",
    Action.PUT_ON: "Put on",
    Action.READ: "Read on the label whether it is so: the plan says it anew",
}
FIRST = "Before a hand goes in: isolate, lock off, wait for capacitors to discharge, prove every conductor dead."
LAST = "Afterwards: prove the stops (wiring stop), then the first power-up again (wiring power-up)."


def comparison_data(told: PlanComparison) -> dict[str, Any]:
    """The comparison as plain data; keys and their order are part of format 1."""
    return {
        "format": 1,
        "old": told.old,
        "new": told.new,
        "verdict": {"before": str(told.verdicts[0]), "after": str(told.verdicts[1]), "worse": told.is_worse},
        "steps": [
            {"action": str(one.action), "what": one.what, "name": one.name, "words": one.words} for one in told.steps
        ],
        "said": [_before_data(one) for one in told.said],
        "labels": [{"for": one.what, "text": one.text, "below": one.below} for one in told.labels],
        "findings": {
            "new": [finding_data(one) for one in told.judged.new],
            "gone": [finding_data(one) for one in told.judged.gone],
            "stay": told.judged.stay,
            "asked": [
                {"rule": one.rule, "subjects": list(one.subjects), "missing": one.missing} for one in told.judged.asked
            ],
        },
        "figures": [figure_data(one) for one in told.figures],
        "stops": [_before_data(one) for one in told.stops],
        "cost": {"before": told.cost.before, "after": told.cost.after},
        "sheets": None if told.sheets is None else [{"sheet": name, "is": how} for name, how in told.sheets],
        "cautions": list(CAUTIONS),
    }


def _before_data(one: Before) -> dict[str, str]:
    return {"name": one.name, "before": one.before, "after": one.after}


def render_comparison(told: PlanComparison, *, width: int, colour: bool, encoding: str = "utf-8") -> str:
    """The comparison in lines of at most `width` columns: verdict, work, papers, then what the rules say."""
    page = Page(width, encoding, told.book)
    page.text(verdict_change(told))
    page.text(f"{told.old} -> {told.new}")
    page.blank()
    _print_steps(page, told)
    _print_pairs(page, "What the plan says anew", told.said)
    _print_labels(page, told)
    _print_sheets(page, told)
    if told.cost.before != told.cost.after:
        _print_pairs(page, "Cost", [told.cost])
    print_findings(page, told.judged.new, told.judged.gone)
    page.text(f"{counted(told.judged.stay, 'finding')} as before.")
    for entry in told.judged.asked:
        page.text(f"Open now: {missing_words(entry)} ({entry.rule})", 4, "  -")
    page.blank()
    _print_pairs(page, "Stop proof", told.stops)
    if any(moved(one) for one in told.figures):
        print_figures(page, told.figures)
    print_cautions(page)
    return page.render(colour)


def verdict_change(told: PlanComparison) -> str:
    """Both verdicts, and whether the second is worse."""
    first, second = (str(one).upper() for one in told.verdicts)
    if first == second:
        return f"Verdict: {second}, as before."
    return f"Verdict: {second}, before {first}: {'worse' if told.is_worse else 'better'}."


def _print_steps(page: Page, told: PlanComparison) -> None:
    if not told.steps:
        page.text("Nothing to do at the cabinet.")
        page.blank()
        return
    page.text(f"At the cabinet, {counted(len(told.steps), 'step')}. {FIRST}")
    for action, steps in groupby(told.steps, key=lambda one: one.action):
        page.text(HEADINGS[action], 2)
        for step in steps:
            page.text(f"{step.what} {step.words}" if step.what in ("wire", "cable") else step.words, 6, "    -")
    page.text(LAST)
    page.blank()


def _print_pairs(page: Page, title: str, pairs: Iterable[Before]) -> None:
    rows = list(pairs)
    if not rows:
        return
    page.text(title)
    for one in rows:
        page.text(f"{one.name}: {in_place_of(one.after, one.before)}", 4, "  -")
    page.blank()


def _print_labels(page: Page, told: PlanComparison) -> None:
    if not told.labels:
        return
    page.text(f"Labels to print again, {len(told.labels)}")
    texts = [f"{one.text} ({one.what}{f', {one.below}' if one.below else ''})" for one in told.labels]
    page.text("; ".join(texts[:_LABELS_MOST]), 2)
    if left := len(texts) - _LABELS_MOST:
        page.text(f"and {left} more: --format json has all" if left > 0 else "", 2)
    page.blank()


def _print_sheets(page: Page, told: PlanComparison) -> None:
    if told.sheets is None:
        page.text("Sheets: not compared, for want of the drawing engine (pip install graphviz-pure).")
    elif told.sheets:
        page.text("Sheets that changed")
        page.text(_sheet_words(told.sheets), 2)
    page.blank()


def _sheet_words(sheets: Sequence[tuple[str, str]]) -> str:
    return "; ".join(f"{name} ({how})" for name, how in sheets)
