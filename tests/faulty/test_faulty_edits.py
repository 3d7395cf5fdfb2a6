"""Clean plans with one mistake each, as edits: the check finds it, and cries over nothing else."""

from __future__ import annotations

import os
from collections import Counter
from functools import cache
from hashlib import sha256
from pathlib import Path

import pytest
import yaml
from asked_not_stated import faults_of
from marked_plans import read
from plain_plans import Plan, parsed, with_edits, written

from wiring.findings import Report, Signal
from wiring.rules import SLUGS
from wiring.rules.run import judge

HERE = Path(__file__).parent
#: Plans that came after the tables.
LATER = {"drum-sander", "parts-washer", "glue-robot"}
SPECS = HERE.parents[1] / "specs"
KEYS = {"base", "why", "set", "drop", "add", "finds", "notices"}


def cases() -> dict[str, Plan]:
    """Every case of every table by its name."""
    found: dict[str, Plan] = {}
    for path in sorted(HERE.glob("*.yaml")):
        table = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
        assert not found.keys() & table.keys()
        found |= table
    return found


CASES = cases()
#: Machines whose stop proof takes seconds: every second of their cases is judged, all of them with `WIRING_FAULTY=all`.
LARGE = {"foam-gantry", "stone-engraver"}


def judged_cases() -> list[str]:
    """The cases that this run judges, drawn by the hash of their names."""
    everything = os.environ.get("WIRING_FAULTY") == "all"
    return [
        name
        for name, case in CASES.items()
        if everything or case["base"] not in LARGE or sha256(name.encode()).digest()[0] % 2
    ]


def edited(case: Plan) -> Plan:
    """The clean plan of a case with its edits."""
    return apply_edits(case, None)


def apply_edits(case: Plan, plan: Plan | None) -> Plan:
    """A plan with the edits of a case; the clean one that it names where none is given."""
    return with_edits(plan or parsed((SPECS / f"{case['base']}.yaml").read_text(encoding="utf-8")), case)


@cache
def report_of(name: str) -> Report:
    """What the rules say to a case, judged once."""
    return judge(read(written(edited(CASES[name]))))


@pytest.mark.parametrize("name", judged_cases())
def test_the_mistake_is_found_and_nothing_else_above_notice(name: str) -> None:
    report = report_of(name)
    assert report.crashed == ()
    loud = [finding for finding in report.roots if finding.signal is not Signal.NOTICE]
    wanted = CASES[name]["finds"]
    assert sorted(finding.rule for finding in loud) == sorted(wanted), [finding.summary for finding in loud]
    for finding in loud:
        assert wanted[finding.rule] in finding.subjects, finding.summary
    assert set(CASES[name].get("notices", ())) <= {finding.rule for finding in report.findings}
    assert [fault for finding in report.findings for fault in faults_of(finding)] == []


@pytest.mark.parametrize("name", CASES)
def test_the_case_is_whole(name: str) -> None:
    case = CASES[name]
    assert case.keys() <= KEYS
    assert len(case["why"]) > 20
    assert set(case["finds"]) | set(case.get("notices", ())) <= set(SLUGS)
    assert case["finds"] or case.get("notices")
    assert (SPECS / f"{case['base']}.yaml").is_file()


def test_no_rule_carries_the_tables_and_all_four_plans_are_broken() -> None:
    rules = Counter(slug for case in CASES.values() for slug in (*case["finds"], *case.get("notices", ())))
    assert len(CASES) >= 120
    assert max(rules.values()) <= len(CASES) // 10
    assert {case["base"] for case in CASES.values()} == {path.stem for path in SPECS.glob("*.yaml")} - LATER
