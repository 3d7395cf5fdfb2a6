"""A rule or a table of figures that fails is said by every command that rests on it: in words, file and exit status."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner, Result

from wiring.cli import app
from wiring.design import figures
from wiring.rules import rule_module

ROOT = Path(__file__).parents[1]
CLEAR = ROOT / "specs" / "bench-press-feeder.yaml"
BOTH = ("earth-missing", "figures-stops")


@pytest.fixture(autouse=True)
def failing(monkeypatch: pytest.MonkeyPatch) -> None:
    """One rule and one section of the figures fail, whatever the plan."""

    def fails(design: object) -> Any:
        raise ZeroDivisionError

    monkeypatch.setattr(rule_module("earth-missing"), "check", fails)
    monkeypatch.setitem(figures.SECTIONS, "stops", fails)  # type: ignore[arg-type]


def run(*arguments: object) -> Result:
    """The command in this process."""
    return CliRunner().invoke(app, [str(one) for one in arguments])


def pdf_text(path: Path) -> str:
    return " ".join(page.extract_text() for page in PdfReader(path).pages)


@pytest.mark.parametrize("style", ["text", "brief", "json", "sarif"])
def test_check_names_both(style: str) -> None:
    done = run("check", CLEAR, "--format", style)
    assert done.exit_code == 1
    assert "earth-missing" in done.stdout
    assert "figures of stops" in " ".join(done.stdout.split())


def test_the_figures_that_could_be_computed_are_there() -> None:
    found = json.loads(run("check", CLEAR, "--format", "json").stdout)["figures"]
    assert found["stops"] == {}
    assert found["supplies"]["G1"]


def test_budget_names_both() -> None:
    done = run("budget", CLEAR)
    assert done.exit_code == 1
    assert all(name in " ".join(done.stdout.split()) for name in BOTH)


def test_the_drawing_names_both(tmp_path: Path) -> None:
    done = run("draw", CLEAR, "--out", tmp_path / "sheets")
    assert done.exit_code == 1
    drawn = "".join(path.read_text("utf-8") for path in (tmp_path / "sheets").glob("*.svg"))
    assert all(name in drawn for name in ("earth-missing", "figures of stops"))
    assert all(name in done.stderr for name in BOTH)


def test_the_pack_names_both(tmp_path: Path) -> None:
    done = run("pack", CLEAR, "--out", tmp_path / "pack.pdf")
    assert done.exit_code == 1
    said = pdf_text(tmp_path / "pack.pdf")
    assert all(name in said for name in ("earth-missing", "figures of stops"))


@pytest.mark.parametrize("style", ["text", "html", "csv", "pdf"])
def test_the_power_up_sheet_names_both(tmp_path: Path, style: str) -> None:
    out = tmp_path / f"sheet.{style}"
    done = run("power-up", CLEAR, "--format", style, "--out", out)
    assert done.exit_code == 1
    said = pdf_text(out) if style == "pdf" else out.read_text("utf-8")
    assert all(name in said.replace("\n", " ") for name in BOTH)
    if style == "csv":
        assert all(row["reading"] == "" for row in csv.DictReader(said.splitlines()))


def test_mends_that_fail_leave_the_findings_and_say_so(monkeypatch: pytest.MonkeyPatch) -> None:
    from wiring.sizing import mends

    def fails(*_: object, **__: object) -> Any:
        raise ZeroDivisionError

    monkeypatch.setattr(mends, "settle", fails)
    plan = ROOT / "specs" / "faulty" / "supply-overloaded-press.yaml"
    done = run("check", plan, "--format", "json")
    assert done.exit_code == 1
    rules = [one["rule"] for one in json.loads(done.stdout)["findings"]]
    assert "supply-overloaded" in rules
    assert any(one["subjects"] == ["mends"] for one in json.loads(done.stdout)["findings"])
