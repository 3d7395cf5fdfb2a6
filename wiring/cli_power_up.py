"""The commands at the cabinet: power-up, the sheet to follow, and readings, what was measured and what it tells."""

from __future__ import annotations

import sys
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

from wiring.cli_arguments import Argument, Option
from wiring.cli_documents import PlanPath
from wiring.cli_output import colour, destination, encoding, end_with_failed, opened, refuse, save, tell, width, write

if TYPE_CHECKING:
    from wiring.documents.ends import Ends
    from wiring.findings import Report
    from wiring.powerup.builder import Builder
    from wiring.powerup.predict import Predictor
    from wiring.powerup.reading import Reading


class SheetStyle(StrEnum):
    """How `power-up` writes."""

    TEXT = "text"
    CSV = "csv"
    HTML = "html"
    PDF = "pdf"


class AnswerStyle(StrEnum):
    """How `readings` prints."""

    TEXT = "text"
    JSON = "json"


Readings = Annotated[Path | None, Argument(metavar="READINGS", help="the CSV of power-up with readings filled in")]


def _paper(to: Builder, report: Report, style: SheetStyle, full: bool) -> str | bytes:
    """The sheet with the zones of the drawing at its probes."""
    from wiring.documents.drawn import ends_of, sheets_of
    from wiring.reports.power_up_form import power_up_html
    from wiring.reports.power_up_report import power_up_pdf

    ends = ends_of(to.design, sheets_of(to.design, report))
    if style is SheetStyle.PDF:
        return power_up_pdf(to.sheet(), to.survey, ends, full=full)
    return power_up_html(to.sheet(), to.survey, ends, full=full)


def power_up(
    plan: PlanPath,
    format: Annotated[SheetStyle, Option(help="how to write the sheet")] = SheetStyle.TEXT,
    out: Annotated[Path | None, Option(metavar="FILE", help="the file to write")] = None,
    full: Annotated[bool, Option("--full", help="with the readings asked for when something is wrong")] = False,
) -> None:
    """Write the first power-up sheet: what to set, where to measure, what to expect, who may do it, in order."""
    from wiring.powerup.readings_file import sheet_csv
    from wiring.powerup.sheet import build
    from wiring.reports.power_up_report import render_power_up
    from wiring.rules.run import judge

    if format is SheetStyle.PDF and out is None:
        refuse("A PDF goes into a file. Say which: --out FILE.")
    if out is not None:
        out = destination(out, "The sheet", plan)
    found = opened(plan, "text")
    design = found.design
    report = judge(design)
    to = build(design, report.crashed)
    if format in (SheetStyle.PDF, SheetStyle.HTML):
        data: str | bytes = _paper(to, report, format, full)
    elif format is SheetStyle.CSV:
        data = sheet_csv(to.sheet(), to.survey, full=full)
    else:
        data = render_power_up(
            to.sheet(),
            to.survey,
            width=width(),
            colour=out is None and colour(),
            encoding="utf-8" if out else encoding(),
            full=full,
        )
    if out is not None:
        save(out, data, found.inputs)
    elif isinstance(data, str):
        write(data)
    end_with_failed(report.crashed)


def readings(
    plan: PlanPath,
    readings: Readings = None,
    format: Annotated[AnswerStyle, Option(help="how to print the answer")] = AnswerStyle.TEXT,
    ask: Annotated[bool, Option("--ask", help="ask for the readings line by line")] = False,
    symptom: Annotated[str | None, Option(help="what is seen, without a meter")] = None,
    symptoms: Annotated[bool, Option("--symptoms", help="list the symptoms that are known")] = False,
) -> None:
    """Hold readings against what was expected: likely causes, and where to measure next.

    Exit status: 0 every reading in order, 1 a reading is wrong, 2 the plan or the readings cannot be read, or no
    reading is filled in.
    """
    if symptoms or symptom is not None:
        _symptoms(plan, symptom)
        return
    if readings is None and not ask:
        refuse("Say what was read: a CSV of `wiring power-up PLAN --format csv`, --ask, or --symptom.")
    from wiring.powerup.predict import Predictor
    from wiring.powerup.sheet import build

    predictor = Predictor(build(opened(plan, "text").design))
    found = _from_file(readings, predictor) if readings is not None else []
    if ask:
        found += _asked(predictor)
    raise SystemExit(_answer(predictor, found, format))


def _answer(predictor: Predictor, found: list[Reading], style: AnswerStyle) -> int:
    from wiring.powerup.diagnose import Diagnosis
    from wiring.powerup.next_place import next_place
    from wiring.reports.progress import progress_bar
    from wiring.reports.readings_report import render_readings, render_readings_json

    diagnosis = Diagnosis(predictor)
    diagnosis.add(found)
    with progress_bar(colour()) as progress:
        answer = diagnosis.answer(progress)
        following = next_place(diagnosis, answer) if answer.wrong else None
    if style is AnswerStyle.JSON:
        write(render_readings_json(diagnosis, answer, following))
    else:
        options: dict[str, Any] = {"width": width(), "colour": colour(), "encoding": encoding()}
        if following is not None:
            options["ends"] = _drawn_ends(predictor)
        write(render_readings(diagnosis, answer, following, **options))
    if not diagnosis.readings:
        return 2
    return 1 if answer.wrong else 0


def _drawn_ends(predictor: Predictor) -> Ends:
    """Where every terminal stands on the drawing."""
    from wiring.documents.drawn import ends_of, sheets_of
    from wiring.rules.run import judge

    design = predictor.to.design
    return ends_of(design, sheets_of(design, judge(design)))


def _from_file(path: Path, predictor: Predictor) -> list[Reading]:
    from wiring.powerup.readings_file import ReadFaults, read_readings

    try:
        return read_readings(path, predictor)
    except ReadFaults as problem:
        refuse("\n".join(problem.sentences))


def _asked(predictor: Predictor) -> list[Reading]:
    """Readings asked for one by one on the terminal, until a line is wrong or the input ends."""
    from wiring.powerup.reading import Reading
    from wiring.powerup.words import (
        NoReadingError,
        change_words,
        expected_words,
        meter_words,
        parse_reading,
        probe_words,
    )

    found: list[Reading] = []
    position = None
    tell("Enter skips a line, q ends. Looks: ok or not ok. Numbers without a unit are V, A or ohm,")
    tell("and milliohm where the meter reads milliohm; OL is open.")
    for line in predictor.to.lines:
        if not line.is_numeric and not line.about:
            continue
        if line.setting is not None and line.setting != position:
            tell(f"\nSet: {change_words(predictor.survey, position, line.setting)}")
            position = line.setting
        where = f"{meter_words(line)} {probe_words(line, predictor.survey)}"
        prompt = f"{line.id} {line.action}; {where}; expect {expected_words(line)}: "
        while True:
            tell(prompt, end="")
            text = sys.stdin.readline()
            if text.strip().lower() in ("q", "quit") or not text:
                return found
            if not text.strip():
                break
            try:
                found.append(Reading(line, parse_reading(text, line.meter)))
            except NoReadingError as problem:
                tell(str(problem))
                continue
            break
        if found and found[-1].is_wrong:
            return found
    return found


def _symptoms(plan: Path, symptom: str | None) -> None:
    from wiring.powerup.symptoms import find, in_plan
    from wiring.powerup.symptoms import symptoms as known
    from wiring.reports.readings_report import render_symptom, render_symptoms

    if symptom is None:
        write(render_symptoms(known(), width=width(), encoding=encoding()))
        return
    found = find(symptom)
    if not found:
        refuse(f"No symptom like {symptom[:60]!r} is known. `wiring readings PLAN --symptoms` lists them.")
    from wiring.powerup.sheet import build

    to = build(opened(plan, "text").design)
    here = [in_plan(one, to) for one in found]
    write(render_symptom(here, width=width(), colour=colour(), encoding=encoding()))
