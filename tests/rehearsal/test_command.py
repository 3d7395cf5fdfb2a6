"""The command: what it says before it serves, and what it refuses."""

from __future__ import annotations

import builtins
import socket
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from tests.rehearsal.served import SPECS
from wiring.cli import app

PLAN = str(SPECS / "drum-sander.yaml")


def run(*words: str) -> tuple[int, str]:
    found = CliRunner().invoke(app, ["rehearse", *words])
    return found.exit_code, found.output


def test_a_file_that_is_not_there_is_refused(tmp_path: Path) -> None:
    code, words = run(str(tmp_path / "none.yaml"))
    assert code == 2
    assert "There is no file" in words
    assert run("-")[0] == 2


def test_a_port_that_is_taken_is_refused() -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        code, words = run(PLAN, "--port", str(taken.getsockname()[1]))
    assert code == 2
    assert "--port" in words


def test_without_the_extra_it_says_how_to_install_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """The rest of the tool installs without these packages."""
    real = builtins.__import__

    def without(name: str, *rest: Any, **more: Any) -> Any:
        if name.split(".")[0] in ("starlette", "uvicorn", "watchfiles", "segno") or name.startswith("wiring.rehearsal"):
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)
        return real(name, *rest, **more)

    monkeypatch.setattr(builtins, "__import__", without)
    code, words = run(PLAN)
    assert code == 2
    assert "pip install 'wiring[rehearse]'" in words
