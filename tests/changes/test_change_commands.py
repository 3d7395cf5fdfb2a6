"""The commands that change a plan, as a person calls them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from wiring.changes.outcome import open_plan
from wiring.cli import app

SPECS = Path(__file__).parents[2] / "specs"
FEEDER = str(SPECS / "bench-press-feeder.yaml")
BENCH = """\
format: 1
machine: Test bench
rulebook: iec
parts:
  G1: {use: supply-24v-10a}   # the only supply
  F1: {kind: fuse, rating: 6 A, class: gG}
  E1: {kind: load, rated: 24 V DC 48 W}
wires:
  - {wire: 1, from: G1:V+, to: F1:1, size: 2.5 mm2, insulation: pvc-70, length: 0.5 m}
  - {wire: 2, from: F1:2, to: E1:1, size: 2.5 mm2, insulation: pvc-70, length: 0.5 m}
  - {wire: 3, from: G1:V-, to: E1:2, size: 2.5 mm2, insulation: pvc-70, length: 0.5 m}
"""


@pytest.fixture
def bench(tmp_path):
    path = tmp_path / "bench.yaml"
    path.write_text(BENCH, encoding="utf-8")
    return path


def called(*words: str, columns: int = 80):
    return CliRunner(env={"COLUMNS": str(columns)}).invoke(app, [str(word) for word in words])


def test_add_motor_tells_and_writes(tmp_path):
    out = tmp_path / "new.yaml"
    result = called("add-motor", FEEDER, "--like", "M1", "--out", out)
    assert result.exit_code == 0, result.output
    assert "M3 on D3, F6, fed by G1" in result.output
    assert "no-free-channel" in result.output
    assert max(map(len, result.output.splitlines())) <= 80
    assert "M3" in open_plan(out).design.parts


def test_add_motor_as_data():
    result = called("add-motor", FEEDER, "--like", "D1", "--format", "json")
    data = json.loads(result.output)
    assert data["format"] == 1
    assert [one["rule"] for one in data["new"]] == ["no-free-channel"]
    rows = {(row["section"], row["subject"], row["state"]): row for row in data["figures"]}
    row = rows["supply", "G1", "fast"]
    assert row["after"] > row["before"] > 0.0
    assert rows["device", "F6", ""]["before"] is None
    assert {row["section"] for row in data["figures"]} >= {"supply", "peak", "device", "conductor", "mains", "cabinet"}


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--like", "M7"], "There is no part 'M7'"),
        (["--like", "M1", "--on", "G7"], "There is no part 'G7'"),
        (["--like", "M1", "--motor", "motor-frame-23-1.2"], "motor-frame-23-1.2nm"),
        (["--like", "M1", "--count", "0"], "count"),
    ],
)
def test_add_motor_that_cannot_be(tmp_path, words, told):
    out = tmp_path / "new.yaml"
    result = called("add-motor", FEEDER, *words, "--out", out)
    assert result.exit_code == 2
    assert told in result.output
    assert list(tmp_path.iterdir()) == []


def test_change_tells_what_is_new_and_what_clears_it(bench):
    result = called("change", bench, "E1.rated=24 V DC 280 W")
    assert result.exit_code == 1
    assert "WARNING supply-overloaded" in result.output
    assert "supply-24v-20a in place of supply-24v-10a" in result.output
    assert bench.read_text(encoding="utf-8") == BENCH


def test_change_in_place_touches_one_line(bench):
    result = called("change", bench, "2.size=4 mm2", "--in-place")
    assert result.exit_code == 0, result.output
    assert bench.read_text(encoding="utf-8") == BENCH.replace("to: E1:1, size: 2.5", "to: E1:1, size: 4")
    assert sorted(path.name for path in bench.parent.iterdir()) == ["bench.yaml", "bench.yaml.old"]
    assert bench.with_name("bench.yaml.old").read_text(encoding="utf-8") == BENCH


def test_change_by_a_file(bench, tmp_path):
    file = tmp_path / "more.yaml"
    file.write_text("- F1.rating=4 A\n", encoding="utf-8")
    data = json.loads(called("change", bench, "--from", file, "--format", "json").output)
    row = next(row for row in data["figures"] if row["subject"] == "F1")
    assert row["limit"] == 4.0


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("G7.rated=1 A", "The plan has no 'G7'"),
        ("G1.ratd=1 A", "ratd"),
        ("G1.rated=1", "unit"),
        ("words", "is no change"),
        ("1.to=F9:1", "F9"),
    ],
)
def test_change_that_does_not_read(bench, line, told):
    result = called("change", bench, line, "--out", bench.with_name("other.yaml"))
    assert result.exit_code == 2
    assert told.casefold() in result.output.casefold()
    assert not bench.with_name("other.yaml").exists()


def test_a_wrong_change_does_not_call_the_plan_unreadable(bench):
    """The plan in the file is sound; what the change would make of it is not."""
    told = " ".join(called("change", bench, "G1.rated=1").output.split())
    assert "the changed plan cannot be read" in told


def test_change_without_a_change(bench):
    result = called("change", bench)
    assert result.exit_code == 2
    assert "No change is given" in result.output


@pytest.mark.parametrize("command", [["add-motor", "--like", "M1"], ["change", "A=1"], ["suggest"], ["room"]])
def test_a_plan_that_is_none(tmp_path, command):
    missing = called(command[0], tmp_path / "none.yaml", *command[1:])
    assert missing.exit_code == 2
    assert "no such file" in " ".join(missing.output.split())
    broken = tmp_path / "broken.yaml"
    broken.write_text("parts: [", encoding="utf-8")
    result = called(command[0], broken, *command[1:])
    assert result.exit_code == 2
    assert "Traceback" not in result.output


def test_a_place_that_cannot_be_written(bench, tmp_path):
    result = called("change", bench, "F1.rating=4 A", "--out", tmp_path / "no" / "plan.yaml")
    assert result.exit_code == 2
    assert "no folder" in result.output


def test_suggest_writes_a_copy_that_is_clear(bench, tmp_path):
    out = tmp_path / "small.yaml"
    result = called("suggest", bench, "--write", out)
    assert result.exit_code == 0, result.output
    assert "G1: supply-24v-10a -> supply-24v-5a." in result.output
    assert open_plan(out).standing == {}
    assert "{use: supply-24v-5a}   # the only supply" in out.read_text(encoding="utf-8")
    data = json.loads(called("suggest", bench, "--headroom", "50%", "--format", "json").output)
    assert data["clear"]
    assert data["headroom"] == 0.5


@pytest.mark.parametrize("share", ["20", "100 %", "-5 %", "much"])
def test_suggest_with_a_share_that_is_none(bench, share):
    result = called("suggest", bench, f"--headroom={share}")
    assert result.exit_code == 2


def test_room_draws_bars(bench):
    result = called("room", bench)
    assert result.exit_code == 0, result.output
    assert "G1" in result.output
    assert "[####" in result.output
    assert max(map(len, result.output.splitlines())) <= 80
    assert max(map(len, called("room", bench, columns=40).output.splitlines())) <= 40
    data = json.loads(called("room", bench, "--format", "json").output)
    assert data["supplies"][0]["left_w"] > 0.0
    assert data["axes"] == []


def test_room_draws_a_picture(bench, tmp_path):
    out = tmp_path / "room.svg"
    result = called("room", bench, "--plot", out)
    assert result.exit_code == 0, result.output
    assert f"Written:{out}" in "".join(result.output.split())  # a long path is broken where the line ends
    assert out.read_text(encoding="utf-8").startswith("<?xml")
    data = json.loads(called("room", bench, "--plot", out, "--format", "json").output)
    assert data["plot"] == str(out)
    # the load takes 48 W in every state and has no moving part: average, heaviest and peak are one
    row = data["supplies"][0]
    assert row["average_w"] == row["used_w"] == row["peak_w"] == pytest.approx(48.0, rel=0.02)


@pytest.mark.parametrize(("name", "told"), [("room.png", "ends in .svg"), ("no/room.svg", "no folder")])
def test_a_picture_that_cannot_be_written(bench, tmp_path, name, told):
    result = called("room", bench, "--plot", tmp_path / name)
    assert result.exit_code == 2
    assert told in " ".join(result.output.split())
