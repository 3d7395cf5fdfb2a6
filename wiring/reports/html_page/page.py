"""The page put together: template, style and script of this package, with what a design and its report say."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wiring.design.design import Design
from wiring.documents.contents import lists_of, stops_of
from wiring.documents.drawn import ends_of, sheet_svg, sheets_of
from wiring.documents.plots import plot_svg, plots
from wiring.findings import Report, Signal
from wiring.plan.source import Source
from wiring.reports.html_page.facts import part_facts, wire_facts
from wiring.reports.html_page.tables import Linker
from wiring.reports.pack_words import pack_words
from wiring.reports.page_room import filled, safe
from wiring.reports.power_up_form import FORM_SCRIPT, FORM_STYLE, form_body
from wiring.reports.rule_text import RuleText
from wiring.wording import counted

if TYPE_CHECKING:
    from markupsafe import Markup

_HERE = Path(__file__).parent
#: Style and script of a drawing on a screen.
DRAWN_STYLE, DRAWN_SCRIPT = _HERE / "drawn.css", _HERE / "drawn.js"


def render_html(design: Design, report: Report, sources: Mapping[str, Source], rules: Iterable[RuleText] = ()) -> str:
    """The page as text. Every text of the plan is escaped; style and script are allowed by their hash alone."""
    words, linker = pack_words(design, report, sources, rules), Linker(design)
    sheets = sheets_of(design, report)
    ends = ends_of(design, sheets)
    findings = [{**fact, "names": linker.subjects(fact["subjects"].split())} for fact in words.findings]
    return filled(
        _HERE / "page.html",
        [DRAWN_STYLE, _HERE / "page.css", FORM_STYLE],
        [DRAWN_SCRIPT, _HERE / "tables.js", _HERE / "page.js", FORM_SCRIPT],
        plan=design.plan,
        file=report.plan,
        verdict=report.verdict.value,
        words=words,
        findings=[fact for fact in findings if not fact["accepted"]],
        accepted=[fact for fact in findings if fact["accepted"]],
        counts=[(signal.value, sum(one.signal is signal for one in report.standing)) for signal in Signal],
        not_judged_words=counted(len(report.not_judged), "check"),
        crashed=report.crashed,
        budget=[linker.of_budget(table) for table in words.budget],
        lists=[linker.of_bench(table) for table in lists_of(design, ends)],
        stops=stops_of(design, report),
        power_up=safe(form_body(words.power_up(ends))),
        sheets=[{"number": s.number, "title": s.title, "svg": safe(_grouped(sheet_svg(s)))} for s in sheets],
        plots=[{"svg": safe(plot_svg(plot))} for plot in plots(design)],
        data=_json({"wires": wire_facts(design), "parts": part_facts(design)}),
    )


def _grouped(svg: str) -> str:
    """The drawing as a group, because its wires can be reached one by one."""
    return svg.replace("<svg ", '<svg role="group" ', 1)


def _json(data: Any) -> Markup:
    """JSON that cannot end the element it stands in."""
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"))
    for letter in "<>&":
        text = text.replace(letter, f"\\u{ord(letter):04x}")
    return safe(text)
