"""The power-up sheet as a page that is filled in on a phone and saves its readings as a CSV for `readings`."""

from __future__ import annotations

import html
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from wiring.documents.ends import Ends
from wiring.powerup.step import Sheet
from wiring.powerup.survey import Survey
from wiring.powerup.words import WHO
from wiring.reports.power_up_rows import sheet_data
from wiring.wording import visible

FORM_STYLE = Path(__file__).parent / "power_up_form.css"
FORM_SCRIPT = FORM_STYLE.with_suffix(".js")
_WHO = {who.value: words for who, words in WHO.items()}


def escape(text: str) -> str:
    """A text in a page: no markup, and no character that takes effect."""
    return html.escape(visible(text))


def power_up_html(sheet: Sheet, survey: Survey, ends: Ends, *, full: bool = False) -> str:
    """One HTML file without anything from outside: a card a row, inputs, and a button that saves the readings."""
    data = sheet_data(sheet, survey, ends, full=full)
    title = escape(f"First power-up: {data['machine']}")
    style, script = FORM_STYLE.read_text(encoding="utf-8"), FORM_SCRIPT.read_text(encoding="utf-8")
    head = (
        "<meta charset='utf-8'><meta name='viewport' content='width=device-width,initial-scale=1'>"
        f"<title>{title}</title><style>body{{margin:0}}{style}</style>"
    )
    heading, cautions = f"<h1>{title}</h1>", f"<footer>{_list(data['cautions'])}</footer>"
    body = f"<main class='power-up'>{heading}{form_body(data)}{cautions}</main><script>{script}</script>"
    return f"<!doctype html><html lang='en'><head>{head}</head><body>{body}</body></html>\n"


def form_body(data: Mapping[str, Any]) -> str:
    """What is filled in, for a page that has its own head and cautions; its style is under `power-up`."""
    parts = [f"<p>{escape(data['summary'])}</p>", _list(data["first"], "first")]
    parts += [_stage(stage) for stage in data["stages"]]
    parts += [f"<p><strong>{escape(data['failed'])}</strong></p>"] if data["failed"] else []
    parts += ["<h2>Not judged, for want of data</h2>", _list(data["not_judged"])] if data["not_judged"] else []
    parts += ["<h2>Does not show on any line</h2>", _list(data["unseen"])]
    save = "<button type='button' id='save'>Save readings</button>"
    bar = f"<div class='bar'><span id='count' role='status'></span>{save}</div>"
    return f"<div data-machine='{escape(data['machine'])}'>{''.join(parts)}{bar}</div>"


def _list(words: list[str], name: str = "") -> str:
    return f"<ul{f' class={name!r}' if name else ''}>{''.join(f'<li>{escape(one)}</li>' for one in words)}</ul>"


def _stage(stage: Mapping[str, Any]) -> str:
    tests = (
        f"<details><summary>Tests of the standard</summary>{_list(stage['tests'])}</details>" if stage["tests"] else ""
    )
    state = f"<p class='state'>In this stage: {escape(stage['state'])}</p>" if stage["state"] else ""
    rows = "".join(_row(row) for row in stage["rows"])
    left = f"<p class='state'>Left as: {escape(stage['left'])}</p>" if stage["left"] else ""
    number = stage["number"]
    gate = (
        f"{left}<label class='gate'><input type='checkbox' data-line='gate {number}'> "
        f"Stage {number} in order; nobody goes on without it</label>"
        f"<p class='gate'><input data-line='signed {number}' aria-label='stage {number}: name and date' "
        "placeholder='name, date'></p>"
    )
    annex = "".join(_row(row) for row in stage["annex"])
    more = f"<details><summary>Asked for when something is wrong</summary>{annex}</details>" if annex else ""
    told = f"<p>{escape(stage['who'])}, about {escape(stage['time'])}</p>"
    return f"<section><h2>{escape(stage['title'])}</h2>{told}{tests}{state}{rows}{gate}{more}</section>"


def _row(row: Mapping[str, Any]) -> str:
    cells = "".join(_cell(cell, "" if row["meter"] else cell["range"]) for cell in row["cells"])
    kind = "change" if row["is_change"] else "row"
    meter = f"<p class='meter'>{escape(row['meter'])}</p>" if row["meter"] else ""
    position = f"<p class='state'>Set: {escape(row['position'])}</p>" if row["position"] else ""
    who = escape(_WHO[row["who"]])
    if row["is_change"]:
        boxes = ("off", "locked", "proved dead") if row["is_dead"] else ("done",)
        cells = "".join(
            f"<label class='box'><input type='checkbox' data-line='{escape(row['id'])} {word}'> {word}</label>"
            for word in boxes
        )
    return (
        f"<div class='{kind}'><h3><span class='id'>{escape(row['id'])}</span> {escape(row['action'])}</h3>"
        f"<p class='who'>{who}</p>{position}{meter}{cells}<p class='wrong'>If not: {escape(row['wrong'])}</p></div>"
    )


def _cell(cell: Mapping[str, Any], meter: str) -> str:
    name = " ".join(word for word in (cell["name"], cell["do"], meter) if word)
    place = (
        f"<span class='red'>red {escape(cell['red'])}</span> <span class='black'>black {escape(cell['black'])}</span>"
        if cell["red"] and not cell["by_eye"]
        else f"<span>{escape(cell['at'])}</span>"
    )
    zones = f" <small>{escape(cell['zones'])}</small>" if cell["zones"] and not cell["by_eye"] else ""
    line = escape(cell["id"])
    label = f"reading of line {line}" + (f", {escape(cell['name'])}" if cell["name"] else "")
    if cell["by_eye"]:
        good, bad = ("on", "off") if cell["seen"] else ("ok", "not ok")
        field = (
            f"<select data-line='{line}' aria-label='{label}'><option value=''></option>"
            f"<option>{good}</option><option>{bad}</option></select>"
        )
    else:
        field = (
            f"<input data-line='{line}' aria-label='{label}' autocomplete='off' spellcheck='false' "
            f"placeholder='{escape(cell['unit'])}'>"
        )
    told = f"{escape(name)} {place}{zones}<br>" if name or cell["at"] else ""
    return f"<div class='cell'><p>{told}expect <strong>{escape(cell['expected'])}</strong></p>{field}</div>"
