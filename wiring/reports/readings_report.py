"""What readings tell: which are wrong, which faults explain all of them, and where to measure next."""

from __future__ import annotations

import json
from collections.abc import Sequence
from math import isfinite
from typing import Any

from wiring.circuit.model import named
from wiring.documents.ends import Ends
from wiring.powerup.diagnose import Answer, Diagnosis, Group
from wiring.powerup.next_place import Next
from wiring.powerup.reading import Reading
from wiring.powerup.step import Line, Meter
from wiring.powerup.survey import Survey
from wiring.powerup.symptoms import Symptom, SymptomHere
from wiring.powerup.words import WHO, expected_words, meter_words, quantity, setting_words
from wiring.reports.page import Page
from wiring.reports.power_up_rows import where_words
from wiring.reports.terminal import print_cautions
from wiring.wording import counted

_MOST_GROUPS = 5
_MOST_MEMBERS = 8
_MOST_LINES = 12


def reading_words(line: Line, value: float) -> str:
    """A reading for people."""
    if line.meter is Meter.LOOK:
        return "not ok" if value > 0.5 else "ok"
    if line.meter is Meter.SEEN:
        return "on" if value > 0.5 else "off"
    return quantity(value, line.meter.unit)


def render_readings(
    diagnosis: Diagnosis,
    answer: Answer,
    following: Next | None,
    *,
    width: int,
    colour: bool,
    encoding: str = "utf-8",
    ends: Ends | None = None,
) -> str:
    """The answer in lines of at most `width` columns (32 at the least)."""
    page = Page(width, encoding)
    survey = diagnosis.predictor.survey
    total = len(diagnosis.readings)
    if not answer.wrong:
        if total:
            page.text(f"{counted(total, 'reading')}, every one within its limits.")
        else:
            page.text("No reading is filled in, and nothing was judged.")
            page.text("Fill the column `reading` of the sheet that `wiring power-up PLAN --format csv` writes.")
        print_cautions(page)
        return page.render(colour)
    page.text(f"{counted(total, 'reading')}, {len(answer.wrong)} outside of their limits. Switch off before you look.")
    for reading in answer.wrong:
        _print_wrong(page, reading)
    if any(reading.is_judged for reading in answer.wrong):
        page.blank()
        _print_causes(page, answer)
        page.blank()
        _print_next(page, following, answer, survey, ends or Ends())
    print_cautions(page)
    return page.render(colour)


def _print_wrong(page: Page, reading: Reading) -> None:
    line = reading.line
    read = reading_words(line, reading.value)
    page.text(f"{line.action}: {read}; expected {expected_words(line)}", 8, f"  {line.id}")
    if not reading.is_judged:
        page.text(f"No single fault is held against this line. It may mean: {line.wrong}", 8)


def _print_causes(page: Page, answer: Answer) -> None:
    if not answer.explained:
        page.text(
            "None of the single faults explains this, and no pair of them does. Prove the meter, read again; perhaps "
            "the plan is not what was built. Nearest:"
        )
    elif answer.pairs:
        page.text("None of the single faults explains this. Two faults at once that do:")
    else:
        page.text("What explains every reading, the likeliest first; what no reading tells apart stands together:")
    for number, group in enumerate(answer.groups[:_MOST_GROUPS], 1):
        _print_group(page, number, group, answer.explained)
    left = len(answer.groups) - _MOST_GROUPS
    if left > 0:
        page.text(f"{counted(left, 'group')} more, less likely.", 5)


def _print_group(page: Page, number: int, group: Group, explained: bool) -> None:
    share = f" ({100 * group.share:.0f} %)" if explained else ""
    told = [one.cause.words for one in group.members[:_MOST_MEMBERS]]
    left = len(group.members) - len(told)
    told += [f"{left} more that read alike"] if left > 0 else []
    page.text(f"{'; or '.join(told)}{share}", 5, f"  {number}")


def _print_next(page: Page, following: Next | None, answer: Answer, survey: Survey, ends: Ends) -> None:
    if following is None:
        if len(answer.remaining) > 1:
            page.text("No further measurement that is safe to reach tells these apart: look at each.")
        return
    line = following.line
    page.text("Measure next")
    if line.setting is not None:
        page.text(f"Set: {setting_words(survey, line.setting)}", 2)
    what = line.action if line.action else ""
    where = (
        f"{meter_words(line)} ({WHO[line.who]}): {where_words(line, ends, survey)}"
        if not line.meter.is_by_eye
        else "by eye"
    )
    page.text(f"{what}, {where}" if what else where, 2)
    page.text(f"Why here: {_why(following, answer)}", 2)
    for outcome in following.outcomes:
        names = [one.cause.words for one in outcome.causes]
        told = "; ".join(names[:3]) + (f"; {len(names) - 3} more" if len(names) > 3 else "")
        value = (
            "high or open" if line.meter.is_resistance and outcome.value > 1e4 else reading_words(line, outcome.value)
        )
        page.text(f"about {value}: {told}", 6, "    -")
    if line.id.endswith("+"):
        red, black = (named(node) if node else "" for node in (line.red, line.black))
        page.text(
            f"Add a row to the readings: line {line.id}, meter {line.meter.value}, red {red}, black {black}, reading.",
            2,
        )
    else:
        page.text(f"Fill in line {line.id}." if line.id else "", 2)


def _why(following: Next, answer: Answer) -> str:
    """How a measurement parts what remains, against the other places that were weighed."""
    total = sum(one.share for outcome in following.outcomes for one in outcome.causes)
    largest = max(sum(one.share for one in outcome.causes) for outcome in following.outcomes) / total
    told = f"of {counted(following.weighed, 'place')} weighed it tells most for its {following.minutes:g} min"
    parted = f"the {counted(len(answer.remaining), 'cause')} into {len(following.outcomes)} readings"
    return f"{told}: it parts {parted}, the likeliest with {100 * largest:.0f} %."


def render_symptom(found: Sequence[SymptomHere], *, width: int, colour: bool, encoding: str = "utf-8") -> str:
    """What may be behind a symptom in this plan."""
    page = Page(width, encoding)
    for here in found:
        symptom = here.symptom
        page.text(f"{symptom.seen[:1].upper()}{symptom.seen[1:]}  ({symptom.name})")
        page.text(f"Likely: {symptom.cause}.", 2)
        page.text(
            f"Look at: {', '.join(here.parts) if here.parts else 'no part of this plan is of a kind that does it'}", 2
        )
        page.text(f"Measure: {symptom.measure}.", 2)
        for line in here.lines[:_MOST_LINES]:
            page.text(f"{line.action}: expect {expected_words(line)}", 9, f"  {line.id}")
        left = len(here.lines) - _MOST_LINES
        if left > 0:
            page.text(f"{counted(left, 'line')} more in stage {symptom.stage.number} of the power-up sheet.", 2)
        page.text(f"Source: {symptom.source}", 2)
        page.blank()
    print_cautions(page)
    return page.render(colour)


def render_symptoms(known: Sequence[Symptom], *, width: int, encoding: str = "utf-8") -> str:
    """Every symptom with its name."""
    page = Page(width, encoding)
    for symptom in known:
        page.text(f"{symptom.name}: {symptom.seen}", 4)
    return page.render(False)


# For programs.


def _value(value: float) -> float | str:
    return value if isfinite(value) else "open"


def render_readings_json(diagnosis: Diagnosis, answer: Answer, following: Next | None) -> str:
    """The answer as JSON."""
    data: dict[str, Any] = {
        "format": 1,
        "readings": len(diagnosis.readings),
        "wrong": [
            {"line": one.line.id, "reading": _value(one.value), "unit": one.line.meter.unit} for one in answer.wrong
        ],
        "explained": answer.explained,
        "pairs": answer.pairs,
        "groups": [
            {
                "share": round(group.share, 6),
                "causes": [
                    {
                        "id": one.cause.id,
                        "kind": one.cause.kind,
                        "subjects": list(one.cause.subjects),
                        "words": one.cause.words,
                        "misfit": round(one.misfit, 6),
                    }
                    for one in group.members
                ],
            }
            for group in answer.groups
        ],
        "next": None if following is None else _next_json(diagnosis, following),
    }
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"


def _next_json(diagnosis: Diagnosis, following: Next) -> dict[str, Any]:
    line, survey = following.line, diagnosis.predictor.survey
    return {
        "line": line.id,
        "meter": line.meter.value,
        "set": setting_words(survey, line.setting) if line.setting else "",
        "red": named(line.red) if line.red else "",
        "black": named(line.black) if line.black else "",
        "wire": line.wire,
        "bits": round(following.bits, 4),
        "weighed": following.weighed,
        "outcomes": [
            {"reading": _value(outcome.value), "causes": [one.cause.id for one in outcome.causes]}
            for outcome in following.outcomes
        ],
    }
