"""One version of the plan file, read and judged, in the words of the page; and what came and went since the last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

from msgspec import Struct

from wiring.changes.outcome import Outcome, Unreadable, open_plan
from wiring.findings import Finding, Report
from wiring.plan.fault import Fault, in_order
from wiring.plan.whereabouts import Whereabouts
from wiring.rehearsal.kept_proof import Kept, with_kept
from wiring.reports import figures
from wiring.reports.finding_words import finding_facts
from wiring.reports.json_report import rounded
from wiring.reports.lines import clean
from wiring.reports.rule_text import titles
from wiring.reports.words import CAUTIONS, verdict_words
from wiring.reports.written import Setting, Spot, told_places
from wiring.rules.run import judge, rule_texts

#: Faults of a plan that are shown at once, and characters of an entry.
_MOST_FAULTS, _ENTRY_ROOM = 50, 120
#: What makes two editions of a file the same.
Stamp = tuple[tuple[str, int, int, int], ...]


class Read(Struct, frozen=True):
    """A file as it was read: a plan with its report, or the faults that stand in its way; `files` are what it is read
    from."""

    outcome: Outcome | None
    report: Report | None
    faults: tuple[dict[str, Any], ...]
    files: tuple[Path, ...]


def read_plan(path: Path, inputs: Sequence[Path], kept: Kept) -> Read:
    """Read and judge a plan, with the proofs `kept`. Never raises for anything that a file holds; `inputs` is what it
    was read from before."""
    try:
        outcome = with_kept(open_plan(path), kept)
    except Unreadable as error:
        names = [Path(name) for name in error.sources] or list(inputs)
        setting = Setting(Whereabouts(error.sources), error.name, _ENTRY_ROOM)
        told = tuple(_fault(fault, setting) for fault in in_order(error.faults)[:_MOST_FAULTS])
        return Read(None, None, told, tuple(dict.fromkeys([path, *names, *inputs])))
    return Read(outcome, judge(outcome.design), (), files_of(path, outcome))


def files_of(path: Path, outcome: Outcome) -> tuple[Path, ...]:
    """Every file that a plan is read from."""
    lists = [node.file for section in ("wires", "cables") if (node := outcome.design.reading.node(section)) is not None]
    return tuple(dict.fromkeys([path, *map(Path, outcome.sources), *map(Path, lists)]))


def stamp_of(files: Iterable[Path]) -> Stamp:
    """What tells whether any of some files was written anew."""
    found = []
    for path in files:
        try:
            stat = path.stat()
        except OSError:
            found.append((str(path), 0, 0, 0))
        else:
            found.append((str(path), stat.st_mtime_ns, stat.st_size, stat.st_ino))
    return tuple(found)


def _fault(fault: Fault, setting: Setting) -> dict[str, Any]:
    lines = told_places([Spot(fault.place)], setting, 0) if fault.place else []
    return {
        "place": lines[0] if lines else setting.plan,
        "entry": lines[1:],
        "summary": clean(fault.summary),
        "expected": clean(fault.expected or ""),
        "near": [clean(one) for one in fault.near],
        "mend": clean(fault.mend or ""),
    }


def told(read: Read, before: Report | None) -> dict[str, Any]:
    """The findings and the budget of a version that could be read; new and gone against the last such version."""
    report, outcome = read.report, read.outcome
    assert report is not None
    assert outcome is not None
    roots = [one for one in report.findings if not one.explained_by]
    facts = finding_facts(report, outcome.sources, titles(rule_texts(report)))
    old = before.findings if before is not None else report.findings
    for fact, one in zip(facts, roots, strict=True):
        fact |= {"new": not _among(one, old), "names": list(one.subjects), "accepted": one.accepted}
        fact |= {"tries": one.accepted is None and any(mend.edits for mend in one.mends)}
    gone = [one for one in old if one.accepted is None and not _among(one, report.findings)]
    return {
        "machine": clean(outcome.design.plan.machine),
        "file": clean(Path(outcome.file).name),
        "verdict": report.verdict.value,
        "words": verdict_words(report),
        "findings": facts,
        "gone": [f"{one.signal.value}: {one.summary}" for one in gone],
        "not_judged": len(report.not_judged),
        "crashed": list(report.crashed),
        "supplies": [
            {"name": name, "state": state, **rounded(row)}
            for name, rows in report.figures.get("supplies", {}).items()
            for state, row in rows.items()
        ],
        "enclosure": figures.enclosure_words(report.figures),
        "cautions": list(CAUTIONS),
    }


def _among(one: Finding, others: Iterable[Finding]) -> bool:
    """Whether a finding of the same rule speaks of some of the same: one that lost a subject is not new."""
    mine = set(one.subjects)
    return any(other.rule == one.rule and (mine & set(other.subjects) or not mine) for other in others)
