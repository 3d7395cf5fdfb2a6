"""The first power-up sheet on a terminal, as a page for a browser, and as a PDF to take to the cabinet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from typing import Any

from wiring.circuit.model import Node, named
from wiring.design.design import Design
from wiring.documents.ends import Ends
from wiring.powerup.step import Line, Meter, Setting, Sheet, Stage
from wiring.powerup.survey import Survey
from wiring.powerup.words import WHO, change_words, expected_words, meter_words, probe_words
from wiring.reports.page import Page
from wiring.reports.terminal import print_cautions
from wiring.reports.words import CAUTIONS, failed_words
from wiring.rulebooks.tables import load
from wiring.wording import counted

_PAPER = {"iec": "a4", "na": "us-letter"}


def who_words(lines: tuple[Line, ...]) -> str:
    """Who may do a stage; each line names its own where they differ."""
    asked = {line.who for line in lines}
    return " / ".join(words for who, words in WHO.items() if who in asked)


def _groups(lines: tuple[Line, ...]) -> list[tuple[Setting | None, list[Line]]]:
    """Neighbouring lines in one position of the machine."""
    found: list[tuple[Setting | None, list[Line]]] = []
    for line in lines:
        if found and found[-1][0] == line.setting:
            found[-1][1].append(line)
        else:
            found.append((line.setting, [line]))
    return found


def where_words(line: Line, ends: Ends, survey: Survey) -> str:
    """Where the probes go, with sheet and zone of each where the drawing is at hand."""
    told = probe_words(line, survey)
    zones = [zone for node in _points(line, survey) if (zone := _zone(node, ends, survey))]
    return f"{told}, drawing {' and '.join(dict.fromkeys(zones))}" if zones and told else told


def _points(line: Line, survey: Survey) -> list[Node]:
    """The terminals at the probes, or at both ends of the conductor in the clamp."""
    wire = survey.circuit.conductor.get(line.wire)
    return list(wire.ends) if wire else [node for node in (line.red, line.black) if node]


def _zone(node: Node, ends: Ends, survey: Survey) -> str:
    return next((z for c in survey.circuit.conductors_at(node) if (z := ends.zone(c.id, node))), "")


def render_power_up(
    sheet: Sheet, survey: Survey, *, width: int, colour: bool, encoding: str = "utf-8", ends: Ends | None = None
) -> str:
    """The sheet in lines of at most `width` columns (32 at the least)."""
    page = Page(width, encoding)
    page.text(f"First power-up of {survey.design.plan.machine}: {counted(len(sheet.lines), 'line')}, in this order")
    page.blank()
    for caution in sheet.cautions:
        page.text(caution, 2, "!")
    before: Setting | None = None
    for stage in Stage:
        lines = sheet.of(stage)
        if lines:
            before = _print_stage(page, stage, lines, survey, ends or Ends(), before)
    if sheet.failed:
        page.blank()
        page.text(failed_words(sheet.failed))
    if sheet.not_judged:
        page.blank()
        page.text("Not judged, for want of data")
        for missing in sheet.not_judged:
            page.text(missing, 4, "  -")
    page.blank()
    page.text("Does not show on any line")
    for words in sheet.unseen:
        page.text(words, 4, "  -")
    print_cautions(page)
    return page.render(colour)


def _print_stage(
    page: Page, stage: Stage, lines: tuple[Line, ...], survey: Survey, ends: Ends, before: Setting | None
) -> Setting | None:
    """The lines of a stage, coming from a position; the position in which they leave the machine comes back."""
    page.blank()
    page.text(f"{stage.number}  {stage.title.upper()}    [{who_words(lines)}]")
    for test in _tests(lines, survey):
        page.text(test, 3)
    wrong = ""
    for setting, group in _groups(lines):
        if setting is not None:
            page.blank()
            page.text(change_words(survey, before, setting), 7, "  Set: ")
            before = setting
        for line in group:
            page.text(f"{line.action}", 9, f"  {line.id}")
            if line.meter is not Meter.LOOK:
                where = where_words(line, ends, survey)
                page.text(f"{meter_words(line)} ({WHO[line.who]}){': ' if where else ''}{where}", 9)
            page.text(f"Expect {expected_words(line)}   ______", 9)
            if line.wrong != wrong:
                wrong = line.wrong
                page.text(f"If not: {wrong}", 9)
    return before


def _tests(lines: tuple[Line, ...], survey: Survey) -> list[str]:
    """The tests of the machine standard that lines belong to, with what each asks."""
    rows = load(survey.design.plan.rulebook, "power_up_tests").rows
    words = {str(row.source): row.text("words") for row in rows}
    sources = dict.fromkeys(str(line.test) for line in lines if line.test)
    return [f"{source}: {words[source]}" for source in sources]


# As data for the page and the PDF.


def sheet_data(sheet: Sheet, survey: Survey, ends: Ends) -> dict[str, Any]:
    """The sheet as plain data: cautions, stages, positions, rows of texts."""
    design: Design = survey.design
    stages = []
    before: Setting | None = None
    for stage in Stage:
        lines = sheet.of(stage)
        if not lines:
            continue
        tests, groups = _tests(lines, survey), _groups(lines)
        told = []
        for setting, group in groups:
            words = change_words(survey, before, setting) if setting else ""
            before = setting or before
            rows = [_row(line, survey, ends) for line in group]
            told.append({"set": words, "rows": rows, "wrongs": _wrongs(group)})
        title = f"{stage.number} {stage.title}"
        stages.append({"title": title, "who": who_words(lines), "tests": tests, "groups": told})
    return {
        "machine": design.plan.machine,
        "revision": design.plan.revision or "",
        "paper": _PAPER[design.plan.rulebook],
        "first": list(sheet.cautions),
        "cautions": list(CAUTIONS),
        "failed": failed_words(sheet.failed),
        "not_judged": list(sheet.not_judged),
        "unseen": list(sheet.unseen),
        "stages": stages,
    }


def _wrongs(lines: Sequence[Line]) -> list[dict[str, Any]]:
    """What wrong readings mean, each meaning once with the lines that it belongs to."""
    found: dict[str, list[Line]] = {}
    for line in lines:
        found.setdefault(line.wrong, []).append(line)
    return [{"lines": _id_words(mine, lines), "many": len(mine) > 1, "words": words} for words, mine in found.items()]


def _id_words(mine: Sequence[Line], lines: Sequence[Line]) -> str:
    """ "9.3 to 9.6 and 9.9": runs of neighbours, shortly."""
    runs: list[list[Line]] = []
    for line in mine:
        if runs and lines.index(line) == lines.index(runs[-1][-1]) + 1:
            runs[-1].append(line)
        else:
            runs.append([line])
    told = [run[0].id if len(run) == 1 else f"{run[0].id} to {run[-1].id}" for run in runs]
    return ", ".join(told[:-1]) + " or " + told[-1] if len(told) > 1 else told[0]


def _row(line: Line, survey: Survey, ends: Ends) -> dict[str, str]:
    zones = [_zone(node, ends, survey) for node in _points(line, survey)]
    return {
        "id": line.id,
        "action": line.action,
        "meter": meter_words(line),
        "red": named(line.red) if line.red else (probe_words(line, survey) if line.wire else ""),
        "black": named(line.black) if line.black else "",
        "wires": ", ".join(line.wires) if not line.wire else "",
        "zones": " ".join(dict.fromkeys(zone for zone in zones if zone)),
        "expected": expected_words(line),
        "wrong": line.wrong,
        "who": line.who.value[0].upper(),
    }


def power_up_pdf(sheet: Sheet, survey: Survey, ends: Ends) -> bytes:
    """The sheet as a tagged PDF, the same bytes for the same plan."""
    from wiring.documents.typeset import typeset

    return typeset("power_up.typ", sheet_data(sheet, survey, ends))


def power_up_html(sheet: Sheet, survey: Survey, ends: Ends) -> str:
    """The sheet as one HTML file without scripts, to print or to read on a tablet."""
    data = sheet_data(sheet, survey, ends)
    title = escape(f"First power-up: {data['machine']}")
    body = [f"<h1>{title}</h1>", "<ul class='first'>", *(f"<li>{escape(one)}</li>" for one in data["first"]), "</ul>"]
    for stage in data["stages"]:
        body.append(f"<section><h2>{escape(stage['title'])}</h2><p>{escape(_stage_note(stage))}</p>")
        body += [_html_group(group) for group in stage["groups"]]
        body.append("</section>")
    if data["failed"]:
        body.append(f"<p><strong>{escape(data['failed'])}</strong></p>")
    if data["not_judged"]:
        body.append("<h2>Not judged, for want of data</h2><ul>")
        body += [f"<li>{escape(one)}</li>" for one in data["not_judged"]]
        body.append("</ul>")
    body.append("<h2>Does not show on any line</h2><ul>")
    body += [f"<li>{escape(one)}</li>" for one in data["unseen"]]
    body.append("</ul>")
    body += ["<footer><ul>", *(f"<li>{escape(one)}</li>" for one in data["cautions"]), "</ul></footer>"]
    head = f"<meta charset='utf-8'><meta name='viewport' content='width=device-width'><title>{title}</title>"
    return (
        f"<!doctype html><html lang='en'><head>{head}<style>{_CSS}</style></head><body>{''.join(body)}</body></html>\n"
    )


def _stage_note(stage: Mapping[str, Any]) -> str:
    return " ".join(
        [
            f"Who: {stage['who']} (B builder, I instructed person, Q qualified person).",
            *(f"{test}." for test in stage["tests"]),
        ]
    )


_HEADINGS = ("Line", "What", "Meter", "Red", "Black", "Wires", "Drawing", "Expected", "Who", "Reading", "If not")
_CSS = (
    "body{font:15px/1.4 system-ui,sans-serif;max-width:80em;margin:1em auto;padding:0 1em}"
    "table{border-collapse:collapse;width:100%}td,th{border:1px solid #888;padding:.2em .4em;text-align:left;"
    "vertical-align:top}td.read{min-width:6em}.first{border:2px solid;padding:.6em 2em}"
    ".set{font-weight:600;margin:.8em 0 .3em}section{break-inside:auto}tr{break-inside:avoid}"
    "@media(prefers-color-scheme:dark){body{background:#111;color:#eee}}"
)


def _html_group(group: Mapping[str, Any]) -> str:
    rows = "".join(_html_row(row) for row in group["rows"])
    head = "".join(f"<th scope='col'>{heading}</th>" for heading in _HEADINGS)
    told = f"<p class='set'>Set: {escape(group['set'])}</p>" if group["set"] else ""
    return f"{told}<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _html_row(row: Mapping[str, str]) -> str:
    first = [row[key] for key in ("id", "action", "meter", "red", "black", "wires", "zones", "expected", "who")]
    cells = "".join(f"<td>{escape(cell)}</td>" for cell in first)
    return f"<tr>{cells}<td class='read'></td><td>{escape(row['wrong'])}</td></tr>"
