"""`check` of several plans and folders, the help of every command, and what a repository needs around them."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
from pathlib import Path

import jsonschema
import pytest
import yaml
from typer.main import get_command

from tests.commands import run_command
from wiring.cli import app
from wiring.cli_commands import EXAMPLES
from wiring.reports.side_by_side import Asked, Checked, checked, checked_side_by_side, failed, plans_in

ROOT = Path(__file__).parents[1]
CLEAR = ROOT / "specs" / "drum-sander.yaml"
STOP = ROOT / "specs" / "faulty" / "earth-missing-door.yaml"
BRIEF = Asked("brief", None, None, False, 80, False, "utf-8")


def run(*arguments: object) -> subprocess.CompletedProcess[str]:
    done = run_command("check", *arguments, cwd=ROOT, environment={"COLUMNS": "80", "PATH": ""})
    return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Two plans, one of them broken, a list, a description and a library beside them, and a hidden copy."""
    (tmp_path / "a").mkdir()
    (tmp_path / ".hidden").mkdir()
    (tmp_path / "a" / "good.yaml").write_bytes(CLEAR.read_bytes())
    (tmp_path / ".hidden" / "good.yaml").write_bytes(CLEAR.read_bytes())
    (tmp_path / "broken.yml").write_text("format: 1\nmachine: x\n", encoding="utf-8")
    (tmp_path / "machine.yaml").write_text("format: 1\ndescribe: x\n", encoding="utf-8")
    (tmp_path / "parts.yaml").write_text("my-part: {kind: fuse}\n", encoding="utf-8")
    (tmp_path / "notes.txt").write_text("format: 1\n", encoding="utf-8")
    return tmp_path


def test_a_folder_stands_for_the_plans_below_it(folder: Path) -> None:
    good, broken = folder / "a" / "good.yaml", folder / "broken.yml"
    assert plans_in([folder]) == [good, broken]
    assert plans_in([good, folder, Path("nowhere.yaml")]) == [good, broken, Path("nowhere.yaml")]


def test_one_that_cannot_be_read_does_not_stop_the_rest(folder: Path) -> None:
    done = run(folder, STOP)
    assert done.returncode == 2
    table = done.stdout[done.stdout.index("3 plans, 1 clear") :]
    rows = [re.split("  +", line.strip()) for line in table.splitlines()[2:5]]
    assert [row[0] for row in rows] == ["CLEAR", "UNREADABLE", "STOP"]
    ends = ["good.yaml", "broken.yml", "earth-missing-door.yaml"]
    assert all(row[-1].endswith(end) for row, end in zip(rows, ends, strict=True))
    assert "DANGER   earth-missing: DR" in done.stdout
    assert "does not certify" in done.stdout
    assert max(len(line) for line in done.stdout.splitlines() if not line.startswith(str(folder))) <= 80


def test_the_status_is_that_of_the_worst() -> None:
    """0 clear, 1 not clear, 2 unreadable, 3 the tool itself."""
    assert run(CLEAR, CLEAR, STOP, "--format", "brief").returncode == 1
    assert checked(CLEAR, BRIEF).status == 0
    assert failed(Path("x"), "why").status == 3


def test_each_is_told_as_it_is_told_alone() -> None:
    alone = run(STOP, "--format", "json").stdout
    both = json.loads(run(CLEAR, STOP, "--format", "json").stdout)
    assert both["format"] == 1
    assert both["plans"][1] == json.loads(alone)


def test_one_log_has_a_run_for_each_plan(folder: Path) -> None:
    log = json.loads(run(STOP, folder, "--format", "sarif").stdout)
    schema = json.loads((ROOT / "tests" / "reports" / "data" / "sarif-2.1.0-rtm.5.json").read_text("utf-8"))
    jsonschema.Draft7Validator(schema).validate(log)
    assert [bool(one["invocations"][0]["executionSuccessful"]) for one in log["runs"]] == [True, True, False]
    assert len({one["automationDetails"]["id"] for one in log["runs"]}) == 3


def test_an_empty_folder_and_a_page_of_several_are_refused(tmp_path: Path) -> None:
    empty = run(tmp_path)
    assert empty.returncode == 2
    assert "There is no plan in" in empty.stderr
    assert run(CLEAR, STOP, "--format", "html").returncode == 2


def test_a_failure_of_the_tool_on_one_plan_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_: object) -> None:
        raise KeyError("never")

    monkeypatch.setattr("wiring.reports.side_by_side._checked", fails)
    told = checked(CLEAR, BRIEF)
    assert told.status == 3
    assert "KeyError" in told.printed


def test_progress_counts_every_plan() -> None:
    seen: list[tuple[int, int]] = []
    plans = [Path("one.yaml"), Path("two.yaml")]
    found = checked_side_by_side(plans, BRIEF, lambda what, done, of: seen.append((done, of)))
    assert seen == [(1, 2), (2, 2)]
    assert [one.plan for one in found] == ["one.yaml", "two.yaml"]
    assert all(isinstance(one, Checked) for one in found)


COMMANDS = get_command(app).commands  # type: ignore[attr-defined]


def test_every_command_has_an_example_and_no_example_lacks_its_command() -> None:
    assert set(COMMANDS) == set(EXAMPLES)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_example_of_a_command_is_read_by_it(name: str) -> None:
    words = shlex.split(EXAMPLES[name].partition(" >")[0])
    assert words[0] == name
    command = COMMANDS[name]
    command.make_context(name, list(words[1:]))
    assert f"Example: wiring {EXAMPLES[name]}" == command.epilog


def test_help_lists_all_commands_with_their_first_words_whatever_is_read() -> None:
    short = run_command("--help", cwd=ROOT, environment={"COLUMNS": "80", "PATH": ""}).stdout.decode()
    listed = re.findall(r"^  ([a-z-]+)  +\S", short[short.index("Commands:") :], re.MULTILINE)
    assert listed == list(EXAMPLES)
    assert "--install-completion" in short
    own = run_command("change", "--help", cwd=ROOT, environment={"COLUMNS": "200", "PATH": ""}).stdout.decode()
    assert f"Example: wiring {EXAMPLES['change']}" in own
    version = run_command("--version", cwd=ROOT, environment={"PATH": ""})
    assert re.match(r"wiring \d", version.stdout.decode())
    assert version.returncode == 0


def test_the_hook_runs_the_command() -> None:
    [hook] = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text("utf-8"))
    assert hook["entry"].split() == ["wiring", "check"]
    assert re.search(hook["files"], "machines/plan-2.yaml")
    assert not re.search(hook["files"], "parts/fuses.yaml")
