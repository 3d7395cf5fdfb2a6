"""What if: trials are those of the commands, and a taking over never writes over what somebody else wrote."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.rehearsal.served import SPECS
from wiring.changes.outcome import open_plan
from wiring.design.load import load
from wiring.rehearsal.acts import RefusedError
from wiring.rehearsal.trials import Trials, take_back
from wiring.rehearsal.version import files_of, stamp_of

#: A plan whose wires stand in a list of their own, with a part that is sized in the plan.
LISTED = """format: 1
machine: Two files
rulebook: iec
mains: {inlet: X0, system: single-phase, voltage: 230 V}
parts:
  X0: {kind: inlet, poles: [L, N, PE], rated: 10 A}
  # kept
  H1: {kind: lamp, rated: 230 V AC 2 W}
wires: wires.csv
"""
ROWS = "wire,from,to,size,length\n1,X0:L,H1:X1,1 mm2,1 m\n2,X0:N,H1:X2,1 mm2,1 m\n"


def trials_of(path: Path) -> Trials:
    base = open_plan(path)
    return Trials(path, base, stamp_of(files_of(path, base)), {})


@pytest.fixture
def winder(tmp_path: Path) -> Trials:
    path = tmp_path / "winder.yaml"
    path.write_text((SPECS / "coil-winder.yaml").read_text("utf-8"), "utf-8")
    return trials_of(path)


def test_an_axis_comes_with_all_that_it_needs_and_is_taken_over(winder: Trials) -> None:
    """One more like M2: another drive, motor and fuse in the plan, which reads as a plan."""
    trial = winder.attempt({"kind": "axis", "part": "M2"})
    assert trial.outcome is not None
    before = set(winder.base.design.parts)
    winder.take(trial)
    found = load(winder.path).design
    assert found is not None
    kinds = sorted(found.parts[name].kind for name in set(found.parts) - before)
    assert "stepper-motor" in kinds
    assert "stepper-drive" in kinds
    assert before <= set(found.parts)


def test_least_sizes_are_told_with_what_they_replace(winder: Trials) -> None:
    told = winder.attempt({"kind": "least", "part": ""}).told
    assert all(" -> " in line or "no step" in line or "least size already" in line for line in told["lines"])


def test_what_cannot_be_tried_is_refused_in_words(winder: Trials) -> None:
    values = {"kind": "value", "part": "M1"}
    for act, words in [
        (values | {"values": {"M1.work.torque": "two"}}, "torque"),
        (values | {"values": {"M1.work.torque": "2 V"}}, "N·m"),
        (values | {"values": {"M2.work.torque": "2 N·m"}}, "the plan writes"),
        (values | {"values": {"M1.work.torque": "2 N·m\nx: y"}}, "the plan writes"),
        (values | {"values": {}}, "expected a text"),
        ({"kind": "axis", "part": "F3"}, "F3"),
        ({"kind": "__class__", "part": "M1"}, "no such trial"),
        ({"kind": "mend", "rule": "no-such", "part": "F3"}, "no finding"),
    ]:
        with pytest.raises(RefusedError, match=words):
            winder.attempt(act)


def test_a_file_that_changed_meanwhile_is_not_written_over(winder: Trials) -> None:
    trial = winder.attempt({"kind": "value", "part": "M1", "values": {"M1.work.torque": "1.1 N·m"}})
    text = winder.path.read_text("utf-8")
    winder.path.write_text(text + "# somebody else\n", "utf-8")
    with pytest.raises(RefusedError, match="changed meanwhile"):
        winder.take(trial)
    winder.path.write_text(text, "utf-8")
    again = trials_of(winder.path)
    taken = again.take(again.attempt({"kind": "value", "part": "M1", "values": {"M1.work.torque": "1.1 N·m"}}))
    winder.path.write_text(winder.path.read_text("utf-8") + "# somebody else\n", "utf-8")
    with pytest.raises(RefusedError, match="changed since"):
        take_back(taken)
    assert winder.path.read_text("utf-8").endswith("# somebody else\n")


def test_what_stands_in_a_list_stays_there(tmp_path: Path) -> None:
    """The lamp's rating is of the plan; list and remark stay byte for byte, before and after the undoing."""
    path, rows = tmp_path / "two.yaml", tmp_path / "wires.csv"
    path.write_text(LISTED, "utf-8")
    rows.write_text(ROWS, "utf-8")
    trials = trials_of(path)
    trial = trials.attempt({"kind": "value", "part": "H1", "values": {"H1.rated": "230 V AC 5 W"}})
    taken = trials.take(trial)
    assert path.read_text("utf-8") == LISTED.replace("AC 2 W", "AC 5 W")
    assert rows.read_text("utf-8") == ROWS
    take_back(taken)
    assert path.read_text("utf-8") == LISTED
