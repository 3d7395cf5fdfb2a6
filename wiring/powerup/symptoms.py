"""From what is seen, without a meter, to what may be behind it in this very plan."""

from __future__ import annotations

import re
from difflib import SequenceMatcher
from typing import TYPE_CHECKING

from msgspec import Struct

from wiring.powerup.step import Line, Stage
from wiring.rulebooks.citation import Source
from wiring.rulebooks.tables import Row, load

if TYPE_CHECKING:
    from wiring.powerup.builder import Builder

_LEAST_SHARED = 0.34
_SMALL = frozenset(
    {"a", "an", "the", "is", "are", "and", "or", "at", "to", "of", "in", "on", "its", "does", "not", "only", "it", "no"}
)


class Symptom(Struct, frozen=True):
    """One symptom of the table: what is seen, what is behind it, what to measure; source and standing."""

    name: str
    seen: str
    cause: str
    measure: str
    kinds: tuple[str, ...]
    stage: Stage
    source: Source


class SymptomHere(Struct, frozen=True):
    """A symptom in a plan: the parts that may be behind it, and the lines of the sheet that test them."""

    symptom: Symptom
    parts: tuple[str, ...]
    lines: tuple[Line, ...]


def symptoms() -> tuple[Symptom, ...]:
    """Every symptom, in the order of the table."""
    return tuple(_symptom(row) for row in load("common", "symptoms").rows)


def _symptom(row: Row) -> Symptom:
    return Symptom(
        row.text("name"),
        row.text("symptom_words"),
        row.text("cause_words"),
        row.text("measure_words"),
        tuple(row.text("parts_kind").split("|")),
        Stage[row.text("stage_name")],
        row.source,
    )


def _words(text: str) -> set[str]:
    said = [word for word in re.findall(r"[a-z]+", text.lower()) if word not in _SMALL]
    return {word.rstrip("s") for word in said} - _SMALL


def find(text: str, most: int = 3) -> tuple[Symptom, ...]:
    """The symptoms that a text means, the closest first; by its name, or by the words that it shares."""
    known = symptoms()
    named = [symptom for symptom in known if symptom.name == text.strip().lower()]
    if named:
        return tuple(named)
    wanted = _words(text)
    scored = [(_score(wanted, symptom), -n, symptom) for n, symptom in enumerate(known)]
    good = sorted((entry for entry in scored if entry[0] >= _LEAST_SHARED), key=lambda entry: (-entry[0], -entry[1]))
    return tuple(symptom for _, _, symptom in good[:most])


def _score(wanted: set[str], symptom: Symptom) -> float:
    """Share of the words asked for that the symptom has, or nearly has."""
    theirs = _words(symptom.seen) | _words(symptom.name.replace("-", " "))
    hits = sum(max((_likeness(word, other) for other in theirs), default=0.0) for word in sorted(wanted))
    return hits / len(wanted) if wanted else 0.0


def _likeness(word: str, other: str) -> float:
    if word == other:
        return 1.0
    ratio = SequenceMatcher(None, word, other).ratio()
    return ratio if ratio >= 0.8 else 0.0


def in_plan(symptom: Symptom, to: Builder) -> SymptomHere:
    """The parts of a plan that a symptom may come from, and the lines that test them."""
    parts = tuple(part.name for part in to.design.parts.values() if part.kind in symptom.kinds)
    lines = tuple(
        line
        for line in to.lines
        if line.stage is symptom.stage and (_touches(line, set(parts)) or line.stage in (Stage.MAINS, Stage.SOAK))
    )
    return SymptomHere(symptom, parts, lines)


def _touches(line: Line, parts: set[str]) -> bool:
    ends = {end[0] for end in (line.red, line.black) if end} | {line.wire.split(":")[0]}
    return bool(ends & parts) or any(f"({name})" in line.action for name in parts)
