"""A layman puts a draft right by the text alone: rounds of `check`, each mend as it is printed, each label as asked."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import inf
from pathlib import Path
from typing import Any

import networkx as nx
import yaml
from msgspec import Struct
from plain_plans import Plan, parsed, with_edits, written

from wiring.changes.judging import judged_with_mends
from wiring.changes.outcome import Outcome, Unreadable, outcome_of
from wiring.changes.tried_mends import with_tried_mends
from wiring.design.design import Design
from wiring.findings import Finding, Mend, Report, Signal
from wiring.parts.elements import Link
from wiring.parts.passive import EarthBar
from wiring.parts.protection import device_rating
from wiring.plan.fault import Refusal
from wiring.quantities import parse
from wiring.rules.run import judge

HERE = Path(__file__).parent
SPECS = HERE.parents[1] / "specs"
MOST_ROUNDS = 3


class Round(Struct, frozen=True):
    """One round of `check`: verdict, number of roots, how many were mended by edits and by hand, what was left."""

    verdict: str
    roots: int
    by_edits: int
    by_hand: int
    left: tuple[str, ...]


def drafts() -> dict[str, Any]:
    """The four drafts by name."""
    found: dict[str, Any] = yaml.load((HERE / "drafts.yaml").read_text("utf-8"), yaml.BaseLoader)
    return found


def draft_plan(draft: Any) -> Plan:
    """The plan of a draft as its beginner wrote it."""
    plan = parsed((SPECS / draft["base"]).read_text("utf-8"))
    plan = with_edits(plan, {key: draft.get(key, {}) for key in ("set", "drop", "add")})
    for place, value in draft.get("rewire", {}).items():
        _rewire(plan, place.split("/"), value)
    return plan


def _rewire(plan: Plan, way: list[str], value: Any) -> None:
    """A wire or a core put in another place of the list, or taken away where the value is `~`."""
    names = {"wires": "wire", "cables": "cable"}
    section = plan[way[0]]
    at = next(n for n, one in enumerate(section) if one[names[way[0]]] == way[1])
    if len(way) == 2 and value == "~":
        del section[at]
    elif len(way) == 2:
        section[at] = value
    elif value == "~":
        del section[at][way[2]][way[3]]
    else:
        section[at][way[2]][way[3]] = value


def opened(plan: Plan) -> Outcome:
    """A plan as it is read."""
    return outcome_of(written(plan), "draft.yaml", SPECS)


def one_round(outcome: Outcome, answers: Any) -> tuple[Outcome, Round]:
    """The plan after everything that one report says was done, the worst first, and what that was."""
    report = judged_with_mends(outcome.design)
    report = with_tried_mends(outcome.design, report, [one for one in report.roots if one.signal is not Signal.NOTICE])
    roots = [root for root in report.roots if root.signal is not Signal.NOTICE]
    edited, by_hand, left = 0, 0, []
    for root in roots:
        changed = _by_edits(outcome, root)
        if changed is not None:
            outcome, edited = changed, edited + 1
        elif (done := _by_hand(outcome, root, answers)) is not None:
            outcome, by_hand = done, by_hand + 1
        else:
            left.append(f"{root.signal} {root.rule} {root.subjects}: {root.mend}")
    for case, words in _answers(report, answers):
        left += [words] if words else []
        if case is not None:
            outcome, by_hand = _edited(outcome, case), by_hand + 1
    return outcome, Round(str(report.verdict), len(roots), edited, by_hand, tuple(left))


def _by_edits(outcome: Outcome, root: Finding) -> Outcome | None:
    """The plan with the first mend that is a change, as `change --mend RULE PART` makes it of the plan as it is then:
    an earlier one may have taken the point that it names. None where there is none."""
    for mends in (lambda: root.mends, lambda: _anew(outcome, root)):
        for mend in mends():
            if mend.edits:
                try:
                    return outcome.changed(mend.edits)
                except (Refusal, Unreadable):
                    continue
    return None


def _anew(outcome: Outcome, root: Finding) -> tuple[Mend, ...]:
    """The mends of the same finding in the plan as it is now."""
    report = judge(outcome.design)
    same = [one for one in report.roots if one.rule == root.rule and set(one.subjects) & set(root.subjects)]
    told = with_tried_mends(outcome.design, report, same[:1])
    return next((one.mends for one in told.roots if same and one.reference == same[0].reference), ())


def _by_hand(outcome: Outcome, root: Finding, answers: Any) -> Outcome | None:
    """The plan with what a person makes of a mend in words: written down beside the draft, by rule and subject."""
    for subject in root.subjects:
        case = answers.get("by_hand", {}).get(f"{root.rule} {subject}")
        if case is not None and case["says"] in " ".join(root.mend):
            return _edited(outcome, case)
    return None


def _edited(outcome: Outcome, case: Any) -> Outcome:
    plan = parsed(outcome.text)
    return opened(with_edits(plan, {key: case.get(key, {}) for key in ("set", "drop", "add")}))


def _answers(report: Report, answers: Any) -> Iterator[tuple[Any, str]]:
    """What the labels say to every question; of one that holds the verdict and that no label answers, its words."""
    labels = answers.get("labels", {})
    for question in report.not_judged:
        asked = [f"{question.rule} {name}" for name in question.subjects]
        case = next((labels[name] for name in asked if name in labels), None)
        if case is not None:
            yield case, ""
        elif question in report.open_questions:
            yield None, f"OPEN {question.rule} {', '.join(question.subjects)}: {question.missing}"


def dangers_left(design: Design, plan: Plan, dangers: Any) -> list[str]:
    """The dangers of a draft that the plan still holds, each by what it speaks of."""
    return [str(next(iter(danger.values()))) for danger in dangers if not _is_gone(design, plan, danger)]


def _is_gone(design: Design, plan: Plan, danger: Any) -> bool:
    if "bonded" in danger:
        part = design.parts[danger["bonded"]]
        ends = [(part.name, name) for name in part.terminals if name.startswith("PE") or part.kind == "metalwork"]
        return any(_is_joined(design, end, ("X0", "PE")) for end in ends)
    if "joined" in danger:
        return _is_joined(design, *map(_node, danger["joined"]))
    if "apart" in danger:
        return not _is_joined(design, *map(_node, danger["apart"]))
    if "colour" in danger:
        coloured = design.circuit.conductor.get(danger["colour"])
        return coloured is None or coloured.colour in danger["value"]
    if "behind" in danger:
        part = design.parts[danger["behind"]]
        building = design.plan.mains.upstream if design.plan.mains else None
        rating = min(device_rating(part) or 0.0, (building.rating if building else None) or inf)
        return all(rating <= _bears(design, name) for name in danger["wires"])
    if "thickness" in danger:
        conductor = design.circuit.conductor.get(danger["thickness"])
        return conductor is None or (conductor.size is not None and conductor.size.area_mm2 >= float(danger["value"]))
    value = _value(design, plan, next(danger[key] for key in ("at_most", "is", "given") if key in danger))
    if "given" in danger:
        return value is not None
    if "is" in danger:
        return value in danger["value"]
    return value is not None and parse(value, "current").value <= parse(danger["value"], "current").value


#: IEC 60204-1:2016, table 6, B1, and NFPA 70, 240.4(D): the largest device by size [A], from memory.
_BEARS = {"0.5": 0.0, "0.75": 8.6, "1.0": 10.3, "1": 10.3, "1.5": 13.5, "2.5": 18.3, "4": 24.0, "4.0": 24.0, "6": 31.0,
          "6.0": 31.0, "10": 44.0, "16": 59.0, "25": 77.0, "35": 96.0}  # fmt: skip
_BEARS_AWG = {"18": 7.0, "16": 10.0, "14": 15.0, "12": 20.0, "10": 30.0, "8": 40.0, "6": 55.0}


def _bears(design: Design, name: str) -> float:
    size = design.circuit.conductor[name].size
    assert size is not None
    return (_BEARS_AWG if size.system == "awg" else _BEARS)[size.label]


def _node(text: str) -> tuple[str, str]:
    part, _, terminal = text.partition(":")
    return part, terminal


def _is_joined(design: Design, one: tuple[str, str], other: tuple[str, str]) -> bool:
    """By conductors, bars and inner links alone; no rule and no solver is asked."""
    graph = nx.Graph([conductor.ends for conductor in design.circuit.conductors])
    for part in design.parts.values():
        ends = [(part.name, name) for name in part.terminals]
        if isinstance(part.data, EarthBar) or part.kind == "metalwork":
            graph.add_edges_from(pairwise(ends))
        graph.add_edges_from(((part.name, link.a), (part.name, link.b)) for link in part.of(Link) if link.ohm == 0.0)
    return one in graph and other in graph and nx.has_path(graph, one, other)


def _value(design: Design, plan: Plan, way: str) -> Any:
    """What the plan, or the library part that it uses, gives there; None where neither does."""
    section, name, key, *rest = way.split(".")
    entry = dict(plan[section][name])
    if "use" in entry:
        from wiring.parts.library_index import packaged_entry

        behind = packaged_entry(entry["use"])
        entry = {**(behind.data if behind else {}), **entry}
    found = entry.get(key)
    for step in rest:
        found = found.get(step) if isinstance(found, dict) else None
    return found
