"""Wherever the proof gives up at a bound, the verdict is a question: a plan with anything left open is never clear.

Every bound is set to nothing on a plan that meets it; what stays open must then be told. Logic, no figures.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design

from wiring.control import numeric_simulation, operator_search, pairs, settling_net
from wiring.design.design import Design
from wiring.design.load import load
from wiring.design.stop import stopping
from wiring.design.stop.account import account
from wiring.design.stop.proof import full_proof
from wiring.findings import Verdict
from wiring.reports.stop_report import stop_exit
from wiring.rules.run import judge

sys.path.append(str(Path(__file__).parents[1] / "rules"))

from circuits import two_channels
from test_stop_feedback_missing import behind_a_semiconductor

SPECS = Path(__file__).parents[2] / "specs"


def spec(name: str) -> Design:
    """One of the complete plans, all of which are clear."""
    found = load(SPECS / f"{name}.yaml").design
    assert found is not None
    return found


def asked(machine: Design) -> str:
    """What the rule of single faults asks, where the verdict is held up by a question or worse."""
    report = judge(machine)
    assert report.verdict is not Verdict.CLEAR
    return " ".join(one.missing for one in report.open_questions if one.rule == "stop-fault-dangerous")


def test_pairs_of_contactors_beyond_the_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """The program may feed the load, so that logic leaves both contactors welded open."""
    monkeypatch.setattr(pairs, "SETTLED_STUCK", 0)
    assert "fail closed one after the other" in asked(design(behind_a_semiconductor(feedback=False)))


def test_a_whole_proof_lists_the_pairs_that_it_leaves_open(monkeypatch: pytest.MonkeyPatch) -> None:
    text = behind_a_semiconductor(feedback=True)
    machine = design(text)
    assert stop_exit(account(machine.stopping, full_proof(machine.stopping))) == 0
    monkeypatch.setattr(pairs, "SETTLED", 0)
    machine = design(text)
    told = account(machine.stopping, full_proof(machine.stopping))
    assert told.stops[0].result.open_pairs
    assert stop_exit(told) == 1


def test_single_faults_beyond_the_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """A broken return, behind which loads lie in series: only volts decide."""
    monkeypatch.setattr(stopping, "_MOST_RUNS", 0)
    assert "a solution in numbers for" in asked(spec("bench-press-feeder"))


def test_positions_of_operators_beyond_the_bound(monkeypatch: pytest.MonkeyPatch) -> None:
    """With no half of the positions looked into, and none tried to the end, one and two operators stand for all."""
    monkeypatch.setattr(operator_search, "_MOST", 0)
    monkeypatch.setattr(operator_search, "_ALL", 0)
    machine = spec("tray-mover")
    assert any(one.partly for result in machine.stop_proof.results.values() for one in result.undecided)
    assert asked(machine)


def test_each_position_on_its_own_says_what_their_halves_say(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two ways through the same positions of all operators: half by half, and one after the other."""

    def told(machine: Design) -> dict[tuple[str, str, str], str]:
        results = machine.stop_proof.results.items()
        return {(stop, one.device, one.fault.id): one.verdict for stop, result in results for one in result.verdicts}

    halved = told(spec("tray-mover"))
    monkeypatch.setattr(operator_search, "_MOST", 0)
    monkeypatch.setattr(operator_search, "_ALL", 10**6)
    assert told(spec("tray-mover")) == halved


def test_units_that_keep_resetting_are_never_at_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    """A reset that still fires after the last event: with one event, the only one that there is."""

    def few(least: int, _: int) -> int:
        return 1 if least == settling_net._EVENTS else least

    monkeypatch.setattr(settling_net, "enough_rounds", few)
    machine = design(two_channels())
    assert dict(machine.unfaulted.unrest) == {"S1": "buzzer"}
    assert judge(machine).verdict is not Verdict.CLEAR


def test_units_that_keep_resetting_are_never_at_rest_in_numbers(monkeypatch: pytest.MonkeyPatch) -> None:
    machine = design(two_channels())
    use, running = machine.stopping.uses[0], machine.stop_proof.running
    assert not any(shot.reason for shot in numeric_simulation.run_script(running, use, "S1", ()).values())

    def few(least: int, _: int) -> int:
        return 0 if least == numeric_simulation._EVENTS else least

    monkeypatch.setattr(numeric_simulation, "enough_rounds", few)
    seen = numeric_simulation.run_script(running, use, "S1", ())
    assert [shot.reason for shot in seen.values() if shot.reason] == ["never at rest: K0 outputs"]
