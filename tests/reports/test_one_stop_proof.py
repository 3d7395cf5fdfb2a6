"""`check`, `stop`, the pack and the page tell one stop proof in the same words.

`stop` proves each plan anew, in every order of contacts and with pairs of faults; the others share the proof that every
check makes. What is compared are two computations, and what is printed of them. WIRING_LAWS=all takes every plan of
`specs/` with its pairs; without it some small ones are tried.
"""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from wiring.control.verdicts import Verdict
from wiring.design.load import load
from wiring.design.stop.account import account
from wiring.design.stop.proof import full_proof
from wiring.documents.contents import stops_of
from wiring.reports.stop_json import render_stop_json
from wiring.reports.stop_report import render_stop, stop_exit
from wiring.reports.stop_words import TITLES, without_a_fault
from wiring.rules.run import judge

SPECS = Path(__file__).parents[2] / "specs"
SOME = ("coil-winder", "drum-sander", "parts-washer", "earth-conductor-switched-frame", "earth-missing-motor")


def stopped() -> list[Path]:
    """The plans with a stop: all of them, or some."""
    paths = sorted([*SPECS.glob("*.yaml"), *SPECS.glob("faulty/*.yaml")])
    every = os.environ.get("WIRING_LAWS") == "all"
    return [path for path in paths if (every or path.stem in SOME) and "\nstops:" in path.read_text(encoding="utf-8")]


@pytest.mark.parametrize("path", stopped(), ids=lambda path: path.stem)
def test_one_result_in_the_same_words(path: Path) -> None:
    design = load(path).design
    assert design is not None
    report, told = judge(design), account(design.stopping, full_proof(design.stopping))
    shown = stops_of(design, report)
    printed = " ".join(render_stop(told, path.name, width=4000, colour=False).split())
    data = json.loads(render_stop_json(told, path.name))["stops"]
    assert list(data) == [stop["name"] for stop in shown if stop["verdicts"]]
    for stop in shown:
        verdicts = dict(stop["verdicts"])
        mine = [one.result for one in told.stops if one.result.use.name == stop["name"]]
        by_program = data[stop["name"]]
        for word in (Verdict.DANGEROUS, Verdict.UNDECIDED):
            faults = [(one.fault, result.use.while_) for result in mine for one in result.of(word)]
            assert verdicts[TITLES[word]] == [f"{fault.id}: {fault.words}{state}" for fault, state in faults]
            both = [by_program, *by_program.get("while", {}).values()]
            assert [fault.id for fault, _ in faults] == [name for one in both for name in one[word.value]]
            assert all(fault.id in printed for fault, _ in faults)
            assert not faults or f"{TITLES[word]}:" in printed
        lines = [(result.use.state, line) for result in mine for line in without_a_fault(result)]
        assert verdicts["Without a fault"] == [f"{state}: {line}" if state else line for state, line in lines]
        assert all(line in printed for _, line in lines)
        hidden = {one.fault.id for result in mine for one in (*result.hidden, *result.dangerous)}
        assert {words.rpartition(": ")[0] for words in verdicts[TITLES[Verdict.HIDDEN]]} <= hidden
    taken = any(one.accepted for one in report.findings)
    assert taken or not stop_exit(told) or report.verdict != "clear"
