"""The comparison of two plans as a page for paper or a phone."""

from __future__ import annotations

from itertools import groupby
from pathlib import Path

from wiring.documents.plan_comparison import PlanComparison
from wiring.reports.compare_report import FIRST, HEADINGS, LAST, verdict_change
from wiring.reports.figure_tables import moved
from wiring.reports.page_room import filled
from wiring.reports.words import CAUTIONS, figure, missing_words

_HERE = Path(__file__).parent


def render_comparison_page(told: PlanComparison) -> str:
    """One self-contained page; every text of the plans is escaped, the style is allowed by its hash alone."""
    return filled(
        _HERE / "compare_page.html",
        [_HERE / "compare_page.css"],
        told=told,
        verdict=verdict_change(told),
        first=FIRST,
        last=LAST,
        groups=[(HEADINGS[action], list(steps)) for action, steps in groupby(told.steps, key=lambda one: one.action)],
        asked=[missing_words(entry) for entry in told.judged.asked],
        moved=[
            (
                f"{one.section} {one.subject} {one.state}".strip(),
                figure(one.before, one.unit),
                figure(one.after, one.unit),
            )
            for one in told.figures
            if moved(one)
        ],
        cautions=CAUTIONS,
    )
