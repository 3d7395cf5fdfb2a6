"""The printed stop proof: every width, no escape sequence without colour, JSON that says the same."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path

import pytest
from helpers import design

from wiring.design.load import load
from wiring.design.stop.account import account
from wiring.design.stop.proof import full_proof
from wiring.reports.lines import cells
from wiring.reports.stop_json import render_stop_json
from wiring.reports.stop_report import STRUCTURE, render_stop, stop_exit

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import SEAL, two_channels


@pytest.mark.parametrize("width", [32, 60, 80, 120])
def test_lines_fit_the_width(width: int) -> None:
    machine = design(SEAL)
    text = render_stop(account(machine.stopping, full_proof(machine.stopping)), "test.yaml", width=width, colour=False)
    assert "\x1b" not in text
    assert max(cells(line) for line in text.splitlines()) <= width


def test_the_story_names_the_welded_pole() -> None:
    machine = design(SEAL)
    told = account(machine.stopping, full_proof(machine.stopping, fault="weld:K1:1-2"), everything=True)
    data = json.loads(render_stop_json(told, "test.yaml"))
    [fault] = data["stops"]["emergency"]["faults"]
    assert fault["verdict"] == "dangerous"
    assert fault["alive"] == ["E1"]
    assert fault["story"][-1] == "E1 is still fed through K1:1-2"
    assert stop_exit(told) == 1


def test_two_contactors_are_two_layers() -> None:
    machine = design(two_channels())
    told = account(machine.stopping, full_proof(machine.stopping))
    assert set(told.stops[0].cuts["E1"]) == {("K1:1-2",), ("K2:1-2",)}
    assert stop_exit(told) == 0


@pytest.mark.parametrize(("name", "most"), [("coil-winder", 40), ("stone-engraver", 80)])
def test_a_proof_fits_its_page(name: str, most: int) -> None:
    """At 80 columns, cautions not counted; pairs that stay open are as many for a program as on the page."""
    machine = load(Path(__file__).parents[2] / "specs" / f"{name}.yaml").design
    assert machine is not None
    told = account(machine.stopping, full_proof(machine.stopping))
    text = render_stop(told, name, width=80, colour=False)
    assert len(text.split(STRUCTURE[:40])[0].splitlines()) <= most
    said = [int(number) for number in re.findall(r"(\d+)\s+pairs\s+of\s+faults\s+would", text)]
    listed = [
        sum(len(second) for by_first in stop["open_pairs"].values() for second in by_first.values())
        for stop in json.loads(render_stop_json(told, name))["stops"].values()
    ]
    assert said == [number for number in listed if number]


def test_pairs_stand_in_a_matrix_that_is_the_same_both_ways() -> None:
    """The five cross shorts of two channels at one polarity: which two feed both channels is derived in
    `tests/control/test_fault_tables.py` for the first row."""
    machine = design(two_channels())
    text = render_stop(account(machine.stopping, full_proof(machine.stopping)), "test.yaml", width=100, colour=False)
    rows = [line.split() for line in text.splitlines() if " cores:C1." in line and line.strip()[0] in "abcde"]
    marks = [row[2:] for row in rows]
    assert len(marks) == 5
    assert marks == [list(column) for column in zip(*marks, strict=True)]
    first = dict(zip([row[1] for row in rows], marks[[row[1] for row in rows].index("cores:C1.1+C1.2")], strict=True))
    marked = {name for name, mark in first.items() if mark == "x"}
    assert marked == {"cores:C1.3+C1.4", "cores:C1.1+C1.4", "cores:C1.2+C1.4"}
