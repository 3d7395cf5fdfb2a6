"""The tutorial and the first screen of the README are run line by line; what they show is what comes out."""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from wiring.cli import app

ROOT = Path(__file__).parents[1]
_BLOCK = re.compile(r"^```(\w+)([^\n]*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def blocks(path: Path) -> Iterator[tuple[str, str, str]]:
    """Language, what stands behind it, and text of every block."""
    for found in _BLOCK.finditer(path.read_text(encoding="utf-8")):
        yield found[1], found[2].strip(), found[3]


def run(line: str) -> tuple[int, str]:
    """A `wiring` line in this process."""
    words = shlex.split(line)
    assert words[0] == "wiring", line
    done = CliRunner().invoke(app, words[1:], env={"COLUMNS": "80"})
    assert done.exception is None or isinstance(done.exception, SystemExit), (line, done.exception)
    return done.exit_code, done.output


def test_the_tutorial_runs_line_by_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    printed: list[str] = []
    ran = 0
    for language, behind, text in blocks(ROOT / "specs" / "TUTORIAL.md"):
        if language == "yaml":
            (tmp_path / behind.removeprefix("file=")).write_text(text, encoding="utf-8")
        elif language == "sh":
            wanted = int(behind.removeprefix("status=") or 0)
            printed = []
            for line in text.splitlines():
                status, output = run(line)
                assert status == wanted, (line, output)
                printed.append(output)
                ran += 1
        else:
            shown = " ".join("\n".join(printed).split())
            missing = [line for line in text.splitlines() if " ".join(line.split()) not in shown]
            assert missing == []
    assert ran >= 9
    assert list((tmp_path / "sheets").glob("*.svg"))


def test_the_first_screen_of_the_readme_leads_to_a_clear_plan_and_its_picture() -> None:
    """Five commands, each one that exists, and a picture that is there."""
    text = (ROOT / "README.md").read_text("utf-8")
    first = text[: text.index("## What the output means")]
    [(_, _, lines)] = [block for block in blocks(ROOT / "README.md") if "wiring new" in block[2]][:1]
    commands = [line.partition("   #")[0] for line in lines.splitlines()]
    assert len(commands) == 5
    assert [line.split()[1] for line in commands if line.startswith("wiring ")] == ["new", "check", "draw"]
    [picture] = re.findall(r"!\[[^\]]*\]\(([^)]+)\)", first)
    assert (ROOT / picture).is_file()
    described = next(word for line in commands for word in line.split() if word.startswith("specs/"))
    [shown] = [block[2] for block in blocks(ROOT / "README.md") if "describe:" in block[2]]
    assert shown in (ROOT / described).read_text("utf-8")
    assert len(first[: first.index(picture)].splitlines()) <= 40
