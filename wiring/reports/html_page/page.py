"""The page put together: template, style and script of this package, with what a design and its report say."""

from __future__ import annotations

import json
from base64 import b64encode
from collections.abc import Iterable, Mapping
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from wiring.design.design import Design
from wiring.documents.drawn import sheet_svg, sheets_of
from wiring.documents.plots import plot_svg, plots
from wiring.drawing.shapes import Sheet
from wiring.findings import Report, Signal
from wiring.plan.source import Source
from wiring.reports import figures
from wiring.reports.finding_words import budget_tables, finding_facts
from wiring.reports.html_page.facts import part_facts, wire_facts
from wiring.reports.lines import clean
from wiring.reports.order import merged
from wiring.reports.rule_text import RuleText, titles
from wiring.reports.words import CAUTIONS, missing_words, verdict_words
from wiring.wording import counted

if TYPE_CHECKING:
    from markupsafe import Markup

_HERE = Path(__file__).parent


def render_html(design: Design, report: Report, sources: Mapping[str, Source], rules: Iterable[RuleText] = ()) -> str:
    """The page as text. Every text of the plan is escaped; style and script are allowed by their hash alone."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    room = Environment(
        loader=FileSystemLoader(_HERE), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    room.filters["clean"] = lambda text: clean(str(text))
    sheets = sheets_of(design, report)
    return room.get_template("page.html").render(**_words(design, report, sources, rules), **_pictures(design, sheets))


def _words(design: Design, report: Report, sources: Mapping[str, Source], rules: Iterable[RuleText]) -> dict[str, Any]:
    style, script = (_HERE / "page.css").read_text("utf-8"), (_HERE / "page.js").read_text("utf-8")
    facts = finding_facts(report, sources, titles(rules))
    return {
        "plan": design.plan,
        "file": report.plan,
        "verdict": report.verdict.value,
        "verdict_words": verdict_words(report),
        "findings": [fact for fact in facts if not fact["accepted"]],
        "accepted": [fact for fact in facts if fact["accepted"]],
        "counts": [(signal.value, sum(one.signal is signal for one in report.standing)) for signal in Signal],
        "not_judged": [(entry.rule, missing_words(entry)) for entry in merged(report.not_judged)],
        "not_judged_words": counted(len(report.not_judged), "check"),
        "crashed": report.crashed,
        "tables": budget_tables(report),
        "enclosure": figures.enclosure_words(report.figures, report.rulebook),
        "cautions": CAUTIONS,
        "style": _safe(style),
        "script": _safe(script),
        "style_hash": _hash(style),
        "script_hash": _hash(script),
        "data": _json({"wires": wire_facts(design), "parts": part_facts(design)}),
    }


def _pictures(design: Design, sheets: Iterable[Sheet]) -> dict[str, Any]:
    return {
        "sheets": [{"number": s.number, "title": s.title, "svg": _safe(_grouped(sheet_svg(s)))} for s in sheets],
        "plots": [{"svg": _safe(plot_svg(plot))} for plot in plots(design)],
    }


def _grouped(svg: str) -> str:
    """The drawing as a group, because its wires can be reached one by one."""
    return svg.replace("<svg ", '<svg role="group" ', 1)


def _safe(markup: str) -> Markup:
    """Markup of our own writers, in which every text of the plan is escaped already."""
    from markupsafe import Markup

    return Markup(markup)


def _hash(text: str) -> str:
    return b64encode(sha256(text.encode()).digest()).decode()


def _json(data: Any) -> Markup:
    """JSON that cannot end the element it stands in."""
    text = json.dumps(data, ensure_ascii=True, separators=(",", ":"))
    for letter in "<>&":
        text = text.replace(letter, f"\\u{ord(letter):04x}")
    return _safe(text)
