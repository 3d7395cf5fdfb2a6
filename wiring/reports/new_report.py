"""What `new` says of the plan that it has written: the verdict, what stands, what is open, and what to do next."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.cabinet.box import box_of
from wiring.reports.page import Page
from wiring.reports.terminal import print_cautions
from wiring.reports.words import missing_words, verdict_words
from wiring.wording import counted

if TYPE_CHECKING:
    from collections.abc import Sequence

    from wiring.describe.settling import Composed

_DRAFT = "It is a draft: someone qualified judges it before anything is bought. Read it: behind each part stands why."


def render_new(
    found: Composed,
    questions: Sequence[str],
    unsaid: Sequence[str],
    out: str,
    *,
    width: int,
    colour: bool,
    encoding: str,
) -> str:
    """The words in lines of at most `width` columns."""
    page = Page(width, encoding, found.design.plan.rulebook)
    design = found.design
    machine = design.plan.machine
    size = f"{counted(len(design.parts), 'part')}, {counted(len(design.circuit.conductors), 'conductor')}"
    page.text(f"{machine}: {size}. Written: {out}")
    page.text(_DRAFT)
    page.blank()
    page.text(f"Verdict: {verdict_words(found.report)}")
    _listed(page, "Not met by any size", [str(one) for one in found.unmet])
    roots = [f"{one.signal} {one.rule}: {one.summary}" for one in found.report.roots]
    _listed(page, "Stands against it", [text for text in roots if not text.startswith("NOTICE")])
    _listed(page, "Open for a check", [f"{one.rule}: {missing_words(one)}" for one in found.report.open_questions])
    _listed(page, "Open, because the description does not say it", questions)
    _listed(page, "Not said, and taken as it costs most or asked where it matters", unsaid)
    _listed(page, "Another cabinet than the description gives", _taken(found))
    page.blank()
    page.text(
        f"Next: wiring check {out}, wiring cabinet {out}, wiring draw {out} --out FOLDER, "
        f"wiring stop {out}, wiring power-up {out}"
    )
    print_cautions(page)
    return page.render(colour)


def _taken(found: Composed) -> list[str]:
    """The cabinet that the plan has in the place of that of the description."""
    if not found.cabinet:
        return []
    return [f"{box_of(found.design.plan).words(found.design.plan.rulebook)}: {found.cabinet}."]


def render_refused(asked: str, cap: str, mend: str) -> str:
    """Why there is no such plan: what is asked, what caps it, and what would help."""
    return f"No plan is written: {asked}, but {cap}.\n{mend}"


def _listed(page: Page, title: str, lines: Sequence[str]) -> None:
    if lines:
        page.blank()
        page.text(title)
        for line in lines:
            page.text(line, 4, "  -")
