"""The power-up sheet as plain data for every printer: stages, rows and cells in words."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from wiring.book_words import in_words
from wiring.circuit.model import Node, named
from wiring.documents.ends import Ends
from wiring.powerup.arrange import minutes
from wiring.powerup.collector import practice
from wiring.powerup.step import Line, Meter, Sheet, Stage
from wiring.powerup.survey import Survey
from wiring.powerup.transitions import acts_words, is_for_controls, needs_dead
from wiring.powerup.words import WHO, expected_words, meter_words, probe_words, setting_words
from wiring.reports.words import CAUTIONS, failed_words
from wiring.rulebooks.tables import load

_PAPER = {"iec": "a4", "na": "us-letter"}


def who_words(lines: Sequence[Line]) -> str:
    """Who may do some lines; each row names its own where they differ."""
    asked = {line.who for line in lines}
    return " / ".join(words for who, words in WHO.items() if who in asked)


def time_words(lines: Sequence[Line]) -> str:
    """ "40 min", "3 h 50 min"."""
    total = round(minutes(tuple(lines)))
    hours, left = divmod(total, 60)
    return f"{hours} h {left:02d} min" if hours else f"{left} min"


def rows_of(lines: Sequence[Line]) -> list[list[Line]]:
    """Lines by the row in which they stand."""
    groups = groupby(enumerate(lines), key=lambda entry: entry[1].row or entry[0])
    return [[line for _, line in group] for _, group in groups]


def sheet_data(sheet: Sheet, survey: Survey, ends: Ends, *, full: bool = False) -> dict[str, Any]:
    """Cautions, stages, rows and cells as texts; with `full` the annex behind the rows of every stage."""
    design = survey.design
    stages = []
    for stage in Stage:
        main = [line for line in sheet.of(stage) if not line.annex]
        annex = [line for line in sheet.of(stage) if line.annex]
        if main or (full and annex):
            stages.append(_stage(stage, main, annex if full else [], survey, ends))
    return {
        "machine": design.plan.machine,
        "revision": design.plan.revision or "",
        "paper": _PAPER[design.plan.rulebook],
        "summary": summary(sheet),
        "cautions": list(CAUTIONS),
        "failed": failed_words(sheet.failed),
        **in_words(
            {
                "first": list(sheet.cautions),
                "not_judged": list(sheet.not_judged),
                "unseen": list(sheet.unseen),
                "stages": stages,
            },
            design.plan.rulebook,
        ),
    }


def summary(sheet: Sheet) -> str:
    """How many rows, how long, and what is kept for later."""
    annex = sum(line.annex for line in sheet.lines)
    return (
        f"{len(rows_of(sheet.main))} rows, about {time_words(sheet.main)}{_soak_words(sheet)}, in this order. "
        f"{annex} more readings are asked for only when something is wrong (--full prints them)."
    )


def _soak_words(sheet: Sheet) -> str:
    """The work of the machine itself before the heat is read, which no hand waits beside."""
    return f" and {practice('soak_time'):g} min of the machine's own work" if sheet.of(Stage.SOAK) else ""


def _stage(stage: Stage, main: list[Line], annex: list[Line], survey: Survey, ends: Ends) -> dict[str, Any]:
    settings = [line.setting for line in main if line.setting is not None]
    first, last = (settings[0], settings[-1]) if settings else (None, None)
    return {
        "number": str(stage.number),
        "title": f"{stage.number} {stage.title}",
        "who": who_words(main or annex),
        "time": time_words(main),
        "tests": tests_of(main, survey),
        "state": setting_words(survey, first) if first else "",
        "left": setting_words(survey, last) if last and last != first else "",
        "rows": [_row(cells, survey, ends) for cells in rows_of(main)],
        "annex": [_row([line], survey, ends) for line in annex],
    }


def tests_of(lines: Sequence[Line], survey: Survey) -> list[str]:
    """The tests of the machine standard that lines belong to, with what each asks."""
    rows = load(survey.design.plan.rulebook, "power_up_tests").rows
    words = {str(row.source): row.text("words") for row in rows}
    sources = dict.fromkeys(str(line.test) for line in lines if line.test)
    return [f"{source}: {words[source]}" for source in sources]


def _row(lines: Sequence[Line], survey: Survey, ends: Ends) -> dict[str, Any]:
    first = lines[0]
    several = len(lines) > 1
    ranges = _ranges(lines)
    meters = set(ranges.values())
    return {
        "id": first.id.rstrip("abcdefghijklmnopqrstuvwxyz") if several else first.id,
        "action": first.row if several else first.action,
        "meter": meters.pop() if len(meters) == 1 else "",
        "is_change": bool(first.acts) and not is_for_controls(first.acts),
        "is_dead": needs_dead(first.acts),
        "wrong": "; ".join(dict.fromkeys(line.wrong for line in lines)),
        "who": max((line.who for line in lines), key=list(WHO).index).value,
        "cells": [{**_cell(line, survey, ends, several), "range": ranges.get(line.meter, "")} for line in lines],
        "position": setting_words(survey, first.setting) if first.annex and first.setting else "",
    }


def _ranges(lines: Sequence[Line]) -> dict[Meter, str]:
    """What is set at every instrument of a row, each for the highest voltage that it meets there."""
    highest: dict[Meter, Line] = {}
    for line in lines:
        if not line.meter.is_by_eye:
            highest[line.meter] = max(highest.get(line.meter, line), line, key=_rating)
    return {meter: meter_words(line) for meter, line in highest.items()}


def _rating(line: Line) -> int:
    return (line.access and line.access.rating) or 0


def _cell(line: Line, survey: Survey, ends: Ends, several: bool) -> dict[str, Any]:
    zones = [zone for node in _points(line, survey) if (zone := _zone(node, ends, survey))]
    wanted = expected_words(line)
    return {
        "id": line.id,
        "name": line.cell if several else "",
        "do": acts_words(survey, line.acts) if line.acts and is_for_controls(line.acts) else "",
        "red": named(line.red) if line.red else "",
        "black": named(line.black) if line.black else "",
        "at": probe_words(line, survey) if not line.meter.is_by_eye else "",
        "zones": " ".join(dict.fromkeys(zones)),
        "expected": wanted,
        "meter": line.meter.value,
        "unit": line.meter.unit,
        "by_eye": line.meter.is_by_eye,
        "seen": line.meter is Meter.SEEN,
        "on": line.expected.value == 1.0 if line.meter is Meter.SEEN else None,
    }


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
