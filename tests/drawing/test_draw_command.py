"""The draw command: files written whole, the right formats, words instead of tracebacks."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from tests.drawing.drawn import ROOT
from wiring.cli import app

PLAN = str(ROOT / "specs" / "coil-winder.yaml")


def _run(*arguments: str):  # type: ignore[no-untyped-def]
    return CliRunner().invoke(app, ["draw", *arguments])


def test_svg_a_file_a_sheet(tmp_path: Path) -> None:
    done = _run(PLAN, "--out", str(tmp_path / "sheets"))
    assert done.exit_code == 0, done.output
    names = sorted(path.name for path in (tmp_path / "sheets").iterdir())
    assert names[0] == "sheet-01.svg"
    assert len(names) >= 4
    assert all((tmp_path / "sheets" / name).read_text(encoding="utf-8").startswith("<?xml") for name in names)


def test_pdf_and_png_by_their_first_bytes(tmp_path: Path) -> None:
    """The signatures of ISO 32000 and of the PNG specification (W3C)."""
    assert _run(PLAN, "--out", str(tmp_path), "--format", "pdf").exit_code == 0
    assert (tmp_path / "sheets.pdf").read_bytes().startswith(b"%PDF-")
    assert _run(PLAN, "--out", str(tmp_path), "--format", "png", "--sheet", "2").exit_code == 0
    assert [p.name for p in tmp_path.glob("*.png")] == ["sheet-02.png"]
    assert (tmp_path / "sheet-02.png").read_bytes().startswith(b"\x89PNG\r\n\x1a\n")


def test_pdf_has_the_same_bytes_twice(tmp_path: Path) -> None:
    for name in ("one", "two"):
        _run(PLAN, "--out", str(tmp_path / name), "--format", "pdf")
    assert (tmp_path / "one/sheets.pdf").read_bytes() == (tmp_path / "two/sheets.pdf").read_bytes()


def test_paper_sets_the_size(tmp_path: Path) -> None:
    _run(PLAN, "--out", str(tmp_path), "--paper", "letter", "--sheet", "1")
    assert 'width="215.9mm" height="279.4mm"' in (tmp_path / "sheet-01.svg").read_text(encoding="utf-8")


def test_a_sheet_that_is_not_there(tmp_path: Path) -> None:
    done = _run(PLAN, "--out", str(tmp_path), "--sheet", "99")
    assert done.exit_code == 2
    assert "no sheet 99" in done.output
    assert not list(tmp_path.iterdir())


def test_a_folder_that_cannot_be_written(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    done = _run(PLAN, "--out", str(tmp_path / "file"))
    assert done.exit_code == 2
    assert "cannot be written" in done.output
    assert "a file is in the way" in " ".join(done.output.split())


def test_a_plan_with_faults_is_not_drawn(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    plan.write_text("format: 1\nmachine: Bench\nrulebook: iec\nparts: {K1: {kind: nothing-known}}\n")
    done = _run(str(plan), "--out", str(tmp_path / "sheets"))
    assert done.exit_code == 2
    assert not (tmp_path / "sheets").exists()


def test_no_engine_is_told_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from wiring.drawing import engine

    monkeypatch.setenv("WIRING_DOT", "system")
    monkeypatch.setattr("shutil.which", lambda name: None)
    engine._binary.cache_clear()
    try:
        done = _run(str(ROOT / "specs" / "foam-gantry.yaml"), "--out", str(tmp_path))
    finally:
        engine._binary.cache_clear()
    assert done.exit_code == 2
    assert "pip install graphviz-pure" in done.output


def test_an_odd_plan_is_drawn(tmp_path: Path) -> None:
    """No mains, no wires, wide and combining characters, a title of 200 letters."""
    plan = tmp_path / "plan.yaml"
    title = "巻線機 e\u0301 " + "x" * 200
    lines = ["format: 1", f"machine: '{title}'", "rulebook: na", "parts:"]
    lines += [f"  H1: {{kind: lamp, rated: 24 V DC 20 mA, title: '{title}'}}", "  X1: {kind: terminals, points: 4}"]
    plan.write_text("\n".join(lines) + "\n", encoding="utf-8")
    done = _run(str(plan), "--out", str(tmp_path / "sheets"))
    assert done.exit_code == 0, done.output
