"""Readings in the file beside the plan: none that was acknowledged is lost, none is put at another measurement."""

from __future__ import annotations

import csv
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from tests.rehearsal.served import SPECS
from wiring.design.load import load_text
from wiring.outputs import CannotSaveError
from wiring.powerup.builder import Builder
from wiring.powerup.predict import Predictor
from wiring.powerup.readings_file import read_readings
from wiring.powerup.sheet import build
from wiring.rehearsal.acts import RefusedError
from wiring.rehearsal.cabinet import Cabinet
from wiring.rehearsal.entries import Entries, Entry, OvertakenError

KILLS = int(os.environ.get("WIRING_KILLS", "6"))
TEXT = (SPECS / "drum-sander.yaml").read_text("utf-8")


@cache
def sheet_of(text: str) -> Builder:
    design = load_text(text, "sander.yaml", SPECS).design
    assert design is not None
    return build(design)


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "sander.yaml"
    path.write_text(TEXT, "utf-8")
    return path


@pytest.fixture
def entries(plan: Path) -> Entries:
    return Entries(plan, sheet_of(TEXT), [plan])


def numeric(entries: Entries) -> str:
    return next(line.id for line in entries.sheet.main if line.is_numeric)


def test_no_acknowledged_entry_is_lost_when_the_writer_is_killed(plan: Path) -> None:
    """SIGKILL at random moments; the file is read back after each."""
    words = [sys.executable, "-m", "tests.rehearsal.writer", str(plan), str(KILLS), "5"]
    root = Path(__file__).parents[2]
    env = os.environ | {"PYTHONPATH": str(root)}
    done = subprocess.run(words, capture_output=True, text=True, check=False, cwd=root, env=env)
    assert done.returncode == 0, done.stderr
    kills, acknowledged, lost = map(int, done.stdout.split())
    assert kills == KILLS
    assert acknowledged >= KILLS
    assert lost == 0


def test_what_a_killed_writer_left_is_cleared_at_the_next_start(plan: Path) -> None:
    """One that may still be written stays, and so does what another hand put there."""
    old, fresh, own = (plan.with_name(f".sander-readings.csv.{name}.part") for name in ("ab3_xyz0", "ab3_xyz1", "mine"))
    for path in (old, fresh, own):
        path.write_text("line,", "utf-8")
    for path in (old, own):
        os.utime(path, (0.0, 0.0))
    Entries(plan, sheet_of(TEXT), [plan])
    assert not old.exists()
    assert fresh.exists()
    assert own.exists()


def test_what_is_kept_is_what_the_command_reads(entries: Entries) -> None:
    """The file is that of `wiring readings`."""
    name = numeric(entries)
    entries.keep(name, "0.4", 0)
    entries.keep("1.1", "ok", 0)
    found = {one.line.id: one.value for one in read_readings(entries.path, Predictor(entries.to))}
    assert found == {name: 0.4, "1.1": 0.0}


def test_of_two_that_write_one_line_the_second_is_asked(entries: Entries) -> None:
    first = entries.keep("1.1", "ok", 0)
    assert first == Entry("ok", 1)
    with pytest.raises(OvertakenError) as other:
        entries.keep("1.1", "not ok", 0)
    assert other.value.entry == first
    assert entries.keep("1.1", "not ok", 1) == Entry("not ok", 2)
    assert entries.keep("1.1", "not ok", 0) == Entry("not ok", 2), "one that is sent again counts once"


def test_what_another_program_wrote_meanwhile_stays(entries: Entries) -> None:
    entries.keep("1.1", "ok", 0)
    rows = list(csv.reader(entries.path.read_text("utf-8").splitlines()))
    rows[2][-1] = "not ok"
    with entries.path.open("w", newline="") as file:
        csv.writer(file).writerows(rows)
    entries.keep("1.1", "not ok", 1)
    assert entries.found["1.2"].text == "not ok"
    assert "not ok" in entries.path.read_text("utf-8").splitlines()[2]


def test_a_reading_goes_with_its_measurement_when_the_sheet_changes(plan: Path, entries: Entries) -> None:
    """With a wire gone lines are numbered anew: each reading stands at what was measured, or is set aside."""
    said = {}
    for n, line in enumerate(entries.sheet.main):
        entries.keep(line.id, f"{n + 1}", 0)
        said[f"{n + 1}"] = line
    changed = TEXT.replace("title: ", "title: new ", 1)
    changed = "\n".join(line for line in changed.split("\n") if "{wire: 107" not in line)
    to = sheet_of(changed)
    again = Entries(plan, to, [plan])
    lines = {line.id: line for line in to.lines}
    assert again.found
    for name, entry in again.found.items():
        was, now = said[entry.text], lines[name]
        assert (was.action, was.meter, was.red, was.black) == (now.action, now.meter, now.red, now.black)
    left = list(csv.DictReader(again.earlier.read_text("utf-8").splitlines())) if again.earlier.exists() else []
    kept = {entry.text for entry in again.found.values()} | {row["reading"] for row in left}
    assert kept == set(said), "nothing that was typed is lost"


def test_a_reading_typed_before_the_plan_changed_gets_to_no_other_line(plan: Path) -> None:
    """A telephone that was out of reach sends what it kept: the number of its line may mean something else by now."""
    design = load_text(TEXT, "sander.yaml", SPECS).design
    assert design is not None
    cabinet = Cabinet(plan, design, (), [plan])
    card = next(one for one in cabinet.cards()["cards"] if not one["answers"])
    other = {"line": card["id"], "text": "0.2", "edition": 0}
    with pytest.raises(RefusedError, match="another measurement"):
        cabinet.keep(other | {"what": card["what"].replace(card["action"], "something else")})
    assert cabinet.keep(other | {"what": card["what"]})["kept"][:2] == ["0.2", 1]
    with pytest.raises(RefusedError, match="no reading") as refused:
        cabinet.keep(other | {"what": card["what"], "text": "much", "edition": 1})
    assert refused.value.now is None
    with pytest.raises(RefusedError) as overtaken:
        cabinet.keep(other | {"what": card["what"], "text": "0.3"})
    assert overtaken.value.now[:2] == ["0.2", 1]


def test_a_voltage_where_the_machine_must_be_dead_asks_for_no_resistance(plan: Path) -> None:
    """Looking for the cause with an ohmmeter would put it on live parts."""
    design = load_text(TEXT, "sander.yaml", SPECS).design
    assert design is not None
    cabinet = Cabinet(plan, design, (), [plan])
    card = next(one for one in cabinet.cards()["cards"] if one["meter"].startswith("V AC"))
    assert card["stage"].startswith("1 ")
    cabinet.keep({"line": card["id"], "text": "230", "edition": 0, "what": card["what"]})
    found = cabinet.causes()
    assert "Hands off" in found["stop"]
    assert "next" not in found


def test_a_file_that_is_none_is_left_alone(plan: Path) -> None:
    path = plan.with_name("sander-readings.csv")
    path.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(CannotSaveError, match="Move it away"):
        Entries(plan, sheet_of(TEXT), [plan])
    assert path.read_bytes() == b"\xff\xfe\x00"


def test_a_cell_that_a_spreadsheet_would_run_is_marked(entries: Entries) -> None:
    entries.keep("1.1", "=1+1", 0)
    row = next(csv.DictReader(entries.path.read_text("utf-8").splitlines()))
    assert row["reading"] == "'=1+1"
    entries.take_up(entries.to)
    assert entries.found["1.1"].text == "=1+1"
