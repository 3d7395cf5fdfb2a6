"""The first power-up at the cabinet: the sheet as cards, what is entered, and what a wrong reading may come from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import isfinite
from pathlib import Path
from typing import Any

from wiring.circuit.model import named
from wiring.design.design import Design
from wiring.outputs import CannotSaveError
from wiring.powerup.diagnose import Answer, Diagnosis
from wiring.powerup.next_place import Next, extra_line, next_place
from wiring.powerup.predict import Predictor
from wiring.powerup.reading import Reading
from wiring.powerup.sheet import build
from wiring.powerup.step import Line, Meter, Sort
from wiring.powerup.words import (
    WHO,
    NoReadingError,
    change_words,
    expected_words,
    meter_words,
    node_of,
    parse_reading,
    probe_words,
    setting_words,
)
from wiring.rehearsal.acts import RefusedError, text_of
from wiring.rehearsal.entries import Entries, Entry, OvertakenError
from wiring.reports.readings_report import reading_words

#: Groups of causes, causes of one group, and characters of a reading.
_MOST_GROUPS, _MOST_MEMBERS, _LONGEST = 4, 4, 24

_NOT_DEAD = (
    "A voltage stands where the machine must be dead. Hands off, and measure no resistance: find what feeds it, "
    "isolate it, lock it off, and prove dead anew."
)
#: What may be measured beside the sheet.
_FURTHER = (Meter.OHM, Meter.DC_V, Meter.AC_V)


class Cabinet:
    """The power-up of one version of a plan. Building it takes a second; `causes` some more the first time."""

    def __init__(self, plan: Path, design: Design, failed: Sequence[str], inputs: Sequence[Path]) -> None:
        self.to = build(design, failed)
        self.predictor = Predictor(self.to)
        self.lines = {line.id: line for line in self.to.lines}
        try:
            self.entries = Entries(plan, self.to, inputs)
        except CannotSaveError as problem:
            raise RefusedError(str(problem)) from None

    def warm(self) -> None:
        """Work out what every fault would read, so that the first wrong reading need not wait for it."""
        line = next((line for line in self.predictor.lines if line.expected.sort is Sort.VALUE), None)
        if line is not None and line.expected.value is not None and isfinite(line.expected.value):
            self._diagnosed([Reading(line, 0.4 * line.expected.value - 1.0)])

    def cards(self) -> dict[str, Any]:
        """Every line of the sheet as a card, in order, and what comes before all of them."""
        survey, sheet = self.to.survey, self.to.sheet()
        found, position, black = [], None, ""
        for line in sheet.main:
            card = self._card(line)
            if line.setting is not None and line.setting != position:
                card["change"] = change_words(survey, position, line.setting)
                card["position"] = setting_words(survey, line.setting)
                position = line.setting
            card["stay"] = bool(card["black"]) and card["black"] == black
            black = card["black"] or black
            found.append(card)
        first = [*sheet.cautions, *(f"Not judged: {words}" for words in sheet.not_judged)]
        first += [f"{name} failed, and what it judges stays unchecked" for name in sheet.failed]
        return {"cards": found, "first": first}

    def _card(self, line: Line) -> dict[str, Any]:
        by_eye = line.meter.is_by_eye
        return {
            "id": line.id,
            "what": _what(line),
            "stage": f"{line.stage.number} {line.stage.title}",
            "who": WHO[line.who],
            "action": line.action,
            "meter": "" if by_eye else meter_words(line),
            "red": named(line.red) if line.red and not by_eye else "",
            "black": named(line.black) if line.black and not by_eye else "",
            "wires": list(line.wires),
            "at": probe_words(line, self.to.survey),
            "wire": line.wire,
            "about": list(line.about),
            "expected": expected_words(line),
            "answers": _answers(line),
            "wrong": line.wrong,
        }

    def readings(self) -> dict[str, list[Any]]:
        """What stands at every line: text, edition, and whether it is outside of what is expected."""
        return {name: self._told(name, entry) for name, entry in self.entries.found.items()}

    def _told(self, name: str, entry: Entry) -> list[Any]:
        reading = self._reading(name, entry.text)
        return [entry.text, entry.edition, reading is not None and reading.is_wrong]

    def _reading(self, name: str, text: str) -> Reading | None:
        line = self.lines.get(name)
        try:
            return Reading(line, parse_reading(text, line.meter)) if line is not None and text else None
        except NoReadingError:
            return None

    def keep(self, act: Mapping[str, Any]) -> dict[str, Any]:
        """Write a reading as it was typed. Raises RefusedError, with what stands there where somebody was faster."""
        name, text = text_of(act, "line", 20), " ".join(text_of(act, "text", _LONGEST).split())
        edition = act.get("edition")
        if isinstance(edition, bool) or not isinstance(edition, int):
            raise RefusedError("edition: expected a whole number.")
        line = self.lines.get(name)
        try:
            if line is None and name.endswith("+"):
                return self._keep_further(name, text, act)
            if line is None:
                raise RefusedError("The sheet has no such line any more. Look at it again.")
            if text_of(act, "what", 600) != _what(line):
                raise RefusedError("The sheet has changed: this line is another measurement now.")
            if text:
                parse_reading(text, line.meter)
            entry = self.entries.keep(name, text, edition)
        except (NoReadingError, CannotSaveError) as problem:
            raise RefusedError(str(problem)) from None
        except OvertakenError as other:
            raise RefusedError(str(other), self._told(name, other.entry)) from None
        return {"line": name, "kept": self._told(name, entry)}

    def _keep_further(self, name: str, text: str, act: Mapping[str, Any]) -> dict[str, Any]:
        """A measurement that was asked for beside the sheet: the row says where."""
        row = {key: text_of(act, key) for key in ("meter", "red", "black")} | {"line": name, "reading": text}
        self._further(row)
        self.entries.keep_further(row)
        return {"line": name, "kept": [text, 1, False]}

    def _further(self, row: Mapping[str, str]) -> Reading:
        like, nodes = self.lines.get(row["line"].rstrip("+")), self.to.survey.circuit.nodes
        ends = [node_of(row[key], nodes) for key in ("red", "black")]
        if like is None or like.setting is None or None in ends or row["meter"] not in _FURTHER:
            raise NoReadingError("This is no measurement that can be made here.")
        line = extra_line(self.predictor, like, Meter(row["meter"]), ends[0], ends[1])  # type: ignore[arg-type]
        return Reading(line, parse_reading(row["reading"], line.meter))

    # What wrong readings come from.

    def causes(self) -> dict[str, Any]:
        """What explains all readings, the likeliest first, and where to measure next; empty where none is wrong."""
        found = [one for name, entry in self.entries.found.items() if (one := self._reading(name, entry.text))]
        for row in self.entries.further:
            try:
                found.append(self._further(row))
            except NoReadingError:
                continue
        wrong = [reading for reading in found if reading.is_wrong]
        if not wrong:
            return {}
        if any(_is_not_dead(reading.line) for reading in wrong):
            return {"wrong": [_told_reading(one) for one in wrong], "stop": _NOT_DEAD}
        answer, following = self._diagnosed(found)
        return {
            "wrong": [_told_reading(one) for one in answer.wrong],
            "explained": answer.explained,
            "pairs": answer.pairs,
            "groups": _groups(answer),
            "more": max(len(answer.groups) - _MOST_GROUPS, 0),
            "next": self._next(following) if following is not None else None,
        }

    def _diagnosed(self, readings: Sequence[Reading]) -> tuple[Answer, Next | None]:
        diagnosis = Diagnosis(self.predictor)
        diagnosis.add(readings)
        answer = diagnosis.answer()
        return answer, next_place(diagnosis, answer) if answer.wrong else None

    def _next(self, following: Next) -> dict[str, Any]:
        line = following.line
        outcomes = [
            [reading_words(line, one.value), [cause.cause.words for cause in one.causes[:3]]]
            for one in following.outcomes
        ]
        position = setting_words(self.to.survey, line.setting) if line.setting is not None else ""
        return self._card(line) | {"position": position, "outcomes": outcomes, "meter_word": line.meter.value}


def _what(line: Line) -> str:
    """What a line measures, so that no reading that was typed before a change of the plan gets to another one."""
    ends = [named(node) if node else "" for node in (line.red, line.black)]
    return " | ".join((line.action, line.meter.value, *ends, line.wire))


def _is_not_dead(line: Line) -> bool:
    """Whether a wrong reading at a line means that a machine which must be dead is not."""
    return line.setting is not None and not line.setting.mains and line.meter in (Meter.DC_V, Meter.AC_V)


def _told_reading(reading: Reading) -> str:
    return f"{reading.line.id}: {reading_words(reading.line, reading.value)}"


def _groups(answer: Answer) -> list[list[Any]]:
    found: list[list[Any]] = []
    for group in answer.groups[:_MOST_GROUPS]:
        words = [one.cause.words for one in group.members[:_MOST_MEMBERS]]
        left = len(group.members) - len(words)
        found.append(["; or ".join(words) + (f"; {left} more that read alike" if left else ""), round(group.share, 2)])
    return found


def _answers(line: Line) -> list[str]:
    """Answers of one tap, the expected one first; empty where a number is asked for."""
    if line.meter is Meter.LOOK:
        return ["ok", "not ok"]
    if line.meter is Meter.SEEN:
        return ["on", "off"] if line.expected.value else ["off", "on"]
    return ["OL"] if line.expected.sort is Sort.OPEN else []
