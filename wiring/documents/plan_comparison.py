"""Two plans side by side for one who stands before the built cabinet: the work, the papers, and what all rules say."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from wiring.changes.compare import Figure, figures_of
from wiring.changes.outcome import Outcome
from wiring.changes.rebuild import Step
from wiring.changes.rebuild_parts import Matched, matched, part_steps
from wiring.changes.rebuild_wires import cable_steps, wire_pairs, wire_steps
from wiring.design.design import Design
from wiring.documents.bill import cost_words
from wiring.documents.drawn import sheets_of
from wiring.documents.labels import Label, labels
from wiring.drawing.engine import EngineMissingError
from wiring.drawing.shapes import Sheet
from wiring.findings import Finding, NotJudged, Report, Verdict
from wiring.plan.source import Node
from wiring.rules.run import judge
from wiring.wording import natural

#: Sections whose entries are no work of their own at the cabinet.
_SAID = (
    "machine",
    "revision",
    "rulebook",
    "site",
    "mains",
    "enclosure",
    "states",
    "stops",
    "measured",
    "routes",
    "accepted",
)
#: What stands on every sheet and changes with the number of sheets.
_ON_EVERY_SHEET = ("frame", "title")


class Before(Struct, frozen=True):
    """Something that the plan says, before and after, "" where it says nothing."""

    name: str
    before: str
    after: str


class Judged(Struct, frozen=True):
    """Findings that came, went, and stay; questions that came."""

    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    stay: int
    asked: tuple[NotJudged, ...]


class PlanComparison(Struct, frozen=True):
    """All that two plans differ in. `sheets` are titles with new, gone or changed; None where nothing can be drawn."""

    old: str
    new: str
    verdicts: tuple[Verdict, Verdict]
    steps: tuple[Step, ...]
    said: tuple[Before, ...]
    labels: tuple[Label, ...]
    judged: Judged
    figures: tuple[Figure, ...]
    stops: tuple[Before, ...]
    cost: Before
    sheets: tuple[tuple[str, str], ...] | None
    book: str

    @property
    def is_worse(self) -> bool:
        """Whether the verdict of the new plan is worse."""
        order = [Verdict.CLEAR, Verdict.ASK, Verdict.MEND, Verdict.STOP]
        return order.index(self.verdicts[1]) > order.index(self.verdicts[0])


def compare_plans(before: Outcome, after: Outcome) -> PlanComparison:
    """The comparison of two plans that could be read."""
    old, new = before.design, after.design
    match = matched(old, new)
    first, second = judge(old), judge(new)
    names = _names(old, new, match)
    return PlanComparison(
        before.file,
        after.file,
        (first.verdict, second.verdict),
        _steps(old, new, match),
        tuple(_differences(_said(old), _said(new))),
        _to_print(old, new),
        _judged(first, second, names),
        figures_of(old, new, names),
        tuple(_differences(_stops(first), _stops(second))),
        Before("cost", cost_words(old), cost_words(new)),
        _sheets(old, first, new, second),
        new.plan.rulebook,
    )


def _steps(old: Design, new: Design, match: Matched) -> tuple[Step, ...]:
    steps = [*part_steps(old, new, match), *wire_steps(old, new, match), *cable_steps(old, new, match)]
    return tuple(sorted(steps, key=lambda one: one.action.turn))


def _to_print(old: Design, new: Design) -> tuple[Label, ...]:
    """The labels that hang nowhere yet."""
    hanging = Counter(labels(old))
    needed = Counter(labels(new)) - hanging
    return tuple(label for label in labels(new) if needed[label] > 0)


def _said(design: Design) -> Mapping[str, str]:
    """Every value of the sections that are no parts or conductors, by its way."""
    found: dict[str, str] = {}
    tree = design.reading.tree
    for section in _SAID:
        node = tree.child(section) if tree is not None else None
        if node is not None:
            found |= dict(_leaves(node, section))
    return found


def _leaves(node: Node, way: str) -> Iterator[tuple[str, str]]:
    if isinstance(node.children, dict):
        for key, below in node.entries():
            yield from _leaves(below, f"{way} › {key}")
    elif isinstance(node.children, list):
        if all(isinstance(below.data, str) for below in node.children):
            yield way, ", ".join(str(below.data) for below in node.children)
            return
        for number, below in enumerate(node.children, 1):
            yield from _leaves(below, f"{way} › {number}")
    else:
        yield way, str(node.data)


def _differences(before: Mapping[str, str], after: Mapping[str, str]) -> Iterator[Before]:
    for name in dict.fromkeys((*before, *after)):
        if before.get(name, "") != after.get(name, ""):
            yield Before(name, before.get(name, ""), after.get(name, ""))


def _stops(report: Report) -> Mapping[str, str]:
    """What each stop removes, leaves, and how its single faults end, in words."""
    stops: Mapping[str, Mapping[str, Any]] = report.figures.get("stops") or {}
    return {name: _stop_words(record) for name, record in stops.items()}


def _stop_words(record: Mapping[str, Any]) -> str:
    def names(key: str) -> str:
        return ", ".join(sorted(record[key], key=natural)) or "nothing"

    dangerous = record["dangerous"]
    faults = f"{record['single_faults']} single faults, {len(dangerous)} dangerous"
    told = f"{faults} ({', '.join(dangerous[:3])})" if dangerous else faults
    return f"removes {names('removed')}; leaves {names('left')}; {told}; {len(record['hidden'])} hidden"


def _names(old: Design, new: Design, match: Matched) -> Mapping[str, str]:
    """What every part and piece of wire of the old plan is called in the new one."""
    wires = {gone.id: come.id for gone, come in wire_pairs(old, new, match) if gone is not None and come is not None}
    return {**wires, **match.parts}


def _judged(before: Report, after: Report, names: Mapping[str, str]) -> Judged:
    """Findings side by side, under the names of the new plan."""

    def subjects(one: Finding | NotJudged) -> frozenset[str]:
        return frozenset(names.get(name, name) for name in one.subjects)

    known = {(one.rule, subjects(one)) for one in before.standing}
    now = {(one.rule, frozenset(one.subjects)) for one in after.standing}
    asked = {(one.rule, subjects(one), one.missing) for one in before.open_questions}
    return Judged(
        tuple(one for one in after.roots if (one.rule, frozenset(one.subjects)) not in known),
        tuple(one for one in before.roots if (one.rule, subjects(one)) not in now),
        len(now & known),
        tuple(one for one in after.open_questions if (one.rule, frozenset(one.subjects), one.missing) not in asked),
    )


def _sheets(old: Design, first: Report, new: Design, second: Report) -> tuple[tuple[str, str], ...] | None:
    """The sheets to print again, or to take out, by their titles."""
    try:
        before, after = sheets_of(old, first), sheets_of(new, second)
    except EngineMissingError:
        return None
    there = dict(_by_title(before))
    found = [
        (f"sheet {sheet.number}, {sheet.title}", "changed" if name in there else "new")
        for name, sheet in _by_title(after)
        if name not in there or _drawn(there[name]) != _drawn(sheet)
    ]
    kept = {name for name, _ in _by_title(after)}
    return (
        *found,
        *((f"sheet {sheet.number}, {sheet.title}", "gone") for name, sheet in there.items() if name not in kept),
    )


def _by_title(sheets: Sequence[Sheet]) -> list[tuple[tuple[str, int], Sheet]]:
    """Each sheet by its title and how many have had that title before it: a long circuit takes several."""
    titles = [sheet.title for sheet in sheets]
    return [((sheet.title, titles[:n].count(sheet.title)), sheet) for n, sheet in enumerate(sheets)]


def _drawn(sheet: Sheet) -> Sequence[object]:
    """What a sheet shows, without what every sheet shows."""
    return [replace(group, data=()) for group in sheet.groups if group.kind not in _ON_EVERY_SHEET]
