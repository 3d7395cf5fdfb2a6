"""What if: values of the plan tried, an axis added, least sizes, what is left; and a trial taken over or taken back.

The file changes by a taking over and by nothing else, and by that only while it is what the trial began from.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from msgspec import Struct

from wiring.changes.addition import add_motor, change_plan
from wiring.changes.compare import Comparison, compare
from wiring.changes.lines import make_changes
from wiring.changes.outcome import Outcome, Unreadable, written_at
from wiring.changes.room import room
from wiring.changes.suggest import suggest
from wiring.findings import Finding
from wiring.outputs import CannotSaveError, save_all
from wiring.parts.motors import Shaft
from wiring.plan.fault import Refusal
from wiring.plan.source import Node
from wiring.rehearsal.acts import RefusedError, text_of
from wiring.rehearsal.kept_proof import Kept, with_kept
from wiring.rehearsal.version import Stamp, files_of, stamp_of
from wiring.reports.figure_tables import both, moved
from wiring.reports.lines import clean
from wiring.reports.size_report import rooms_data
from wiring.rulebooks.limits import KEPT_FREE

#: Figures and findings that are told of one trial.
_MOST_FIGURES, _MOST_FINDINGS = 30, 30
#: Keys that are no values to be moved.
_NO_VALUES = ("kind", "title", "use", "at", "sheet")
Told = dict[str, Any]


class Trial(Struct, frozen=True):
    """A changed plan, and what is told of it; `outcome` is None where nothing is to be taken over."""

    outcome: Outcome | None
    told: Told


class Taken(Struct, frozen=True):
    """Files as they were before a trial was taken over, and as it left them."""

    before: Mapping[Path, bytes]
    after: Mapping[Path, bytes]


class Trials:
    """Trials on one version of a plan; `stamp` tells that its files are still those, `kept` are proofs of its stops."""

    def __init__(self, path: Path, base: Outcome, stamp: Stamp, kept: Kept) -> None:
        self.path, self.base, self.stamp, self.kept = path, base, stamp, kept

    def values(self, act: Mapping[str, Any]) -> Told:
        """The values of a part that the plan writes, its own and those of the states. Raises RefusedError."""
        name = text_of(act, "part")
        if name not in self.base.design.plan.parts:
            raise RefusedError("The plan has no such part.")
        part = self.base.design.parts[name]
        rows = [[line, clean(text)] for line, text in self._values(name) if line.split(".")[-1] not in _NO_VALUES]
        return {"part": name, "values": rows, "moves": isinstance(part.data, Shaft), "title": part.data.title}

    def _values(self, name: str) -> Iterator[tuple[str, str]]:
        reading = self.base.design.reading
        yield from _leaves(name, reading.node("parts", name))
        for state in self.base.design.plan.states:
            yield from _leaves(f"{state}.{name}", reading.node("states", state, name))

    def attempt(self, act: Mapping[str, Any]) -> Trial:
        """A trial as a page asks for it: value, axis, least or mend. Raises RefusedError where it cannot be one."""
        kinds = {"value": self._value, "axis": self._axis, "least": self._least, "mend": self._mend}
        kind = text_of(act, "kind", 10)
        if kind not in kinds:
            raise RefusedError("This page knows no such trial.")
        try:
            return kinds[kind](act)
        except Refusal as problem:
            raise RefusedError(". ".join(filter(None, (problem.problem, problem.expected, problem.mend)))) from None
        except Unreadable as problem:
            told = [clean(f"{one.summary}; expected {one.expected}") for one in problem.faults[:3]]
            raise RefusedError(". ".join(told)) from None

    def _value(self, act: Mapping[str, Any]) -> Trial:
        """Values of one part, each the path of a line that is there and its new text."""
        name, wanted = text_of(act, "part"), act.get("values")
        known = dict(self._values(name))
        if not isinstance(wanted, dict) or not 0 < len(wanted) <= 40:
            raise RefusedError("values: expected a text for each value that is to change.")
        lines = []
        for path, text in wanted.items():
            if path not in known or not isinstance(text, str) or not 0 < len(text.strip()) <= 80 or "\n" in text:
                raise RefusedError(f"{path[:60]}: expected a value that the plan writes, in at most 80 characters.")
            lines.append(f"{path}={text.strip()}")
        after, remarks = make_changes(self.base, lines)
        after = with_kept(after, self.kept)
        return Trial(after, _compared(compare(self.base, after), lines) | {"remarks": list(remarks)})

    def _axis(self, act: Mapping[str, Any]) -> Trial:
        name = text_of(act, "part")
        change = add_motor(self.path, name)
        lines = [*change.added, *(f"no place: {one}" for one in change.unplaced)]
        return Trial(change.outcome, _compared(change.comparison, lines) | {"remarks": list(change.remarks)})

    def _least(self, act: Mapping[str, Any]) -> Trial:
        name = text_of(act, "part")
        found = suggest(self.base, KEPT_FREE, (name,) if name else ())
        rows = [f"{row.name}: {row.before} -> {row.after}" for row in found.rows if row.changed]
        unmet = [f"{row.name}: no step passes, {row.why}" for row in found.rows if not row.after]
        lines = rows or ["Everything has its least size already."]
        return Trial(found.result if rows else None, _compared(compare(self.base, found.result), lines + unmet))

    def _mend(self, act: Mapping[str, Any]) -> Trial:
        change = change_plan(self.path, (), None, (text_of(act, "rule"), text_of(act, "part")))
        return Trial(change.outcome, _compared(change.comparison, change.added))

    def left(self, outcome: Outcome | None) -> Told:
        """How much more every supply, feed and axis bears, in the plan or in a trial."""
        return rooms_data(room(outcome or self.base))

    def take(self, trial: Trial) -> Taken:
        """Write a trial into the plan. Raises RefusedError where the file is not what the trial began from."""
        if trial.outcome is None:
            raise RefusedError("There is nothing to take over.")
        if stamp_of(files_of(self.path, self.base)) != self.stamp:
            raise RefusedError("The plan was changed meanwhile. Try it again on what stands there now.")
        try:
            text, lists = written_at(trial.outcome, self.path)
            after = {self.path: text.encode("utf-8"), **lists}
            before = {path: path.read_bytes() for path in after}
            save_all({path: data for path, data in after.items() if data != before[path]})
        except (CannotSaveError, OSError, Refusal) as problem:
            raise RefusedError(str(problem)) from None
        return Taken(before, after)


def take_back(taken: Taken) -> None:
    """Put the files back as they were. Raises RefusedError where one was changed since."""
    try:
        if any(path.read_bytes() != data for path, data in taken.after.items()):
            raise RefusedError("The plan was changed since, and stays as it is.")
        save_all(dict(taken.before))
    except (CannotSaveError, OSError) as problem:
        raise RefusedError(str(problem)) from None


def _leaves(path: str, node: Node | None) -> Iterator[tuple[str, str]]:
    """The texts below a value, each with the words that lead there; what a list holds is left out."""
    if node is None:
        return
    if isinstance(node.data, str):
        yield path, node.data
    for key, below in node.entries():
        yield from _leaves(f"{path}.{key}", below)


def _compared(comparison: Comparison, lines: Any) -> Told:
    figures = [one for one in comparison.figures if moved(one) and one.section != "conductor"]
    figures += [one for one in comparison.figures if moved(one) and one.section == "conductor"]
    rows = [
        [
            one.section,
            " ".join(filter(None, (one.subject, one.state))),
            both(one.before, one.after, one.unit),
            "" if one.limit is None else both(one.limit_before or one.limit, one.limit, one.unit),
            bool(one.limit and one.after is not None and one.section != "voltage" and one.after > one.limit),
        ]
        for one in figures[:_MOST_FIGURES]
    ]
    return {
        "lines": [clean(str(line)) for line in lines],
        "new": [_words(one) for one in comparison.new[:_MOST_FINDINGS]],
        "gone": [_words(one) for one in comparison.gone[:_MOST_FINDINGS]],
        "unknown": len(comparison.unknown),
        "figures": rows,
        "remarks": [],
    }


def _words(one: Finding) -> list[str]:
    return [one.signal.value, clean(one.summary)]
