"""Every command on random plans ends in a word: status 0, 1 or 2, no failure of the tool, nothing half written.

CI runs 60; `WIRING_RANDOM_COMMANDS=1000` runs as many as it says. Plans of more than six parts are left to the check,
whose run is in `test_random_plans`: the stop proof and the power-up of a random network take minutes.
"""

from __future__ import annotations

import os
from pathlib import Path
from random import Random

import pytest
import random_machine_plans
from plain_plans import written
from random_machine_plans import random_plan
from typer.testing import CliRunner

from wiring.cli import app

COUNT = int(os.environ.get("WIRING_RANDOM_COMMANDS", "60"))
COMMANDS = (
    "check PLAN", "check PLAN --format brief", "check PLAN --format json", "check PLAN --format sarif",
    "check PLAN --format html --out OUT.html", "check PLAN --state state0", "budget PLAN --all", "stop PLAN",
    "stop PLAN --format json", "draw PLAN --out OUT", "list wires PLAN", "list cables PLAN --format csv",
    "list parts PLAN --format xlsx --out OUT.xlsx", "list labels PLAN --format pdf --out OUT.pdf", "list lengths PLAN",
    "list spares PLAN", "list terminals PLAN", "pack PLAN --out OUT.pdf", "power-up PLAN",
    "power-up PLAN --format csv --out OUT.csv", "power-up PLAN --format html --out OUT.html", "suggest PLAN",
    "room PLAN", "room PLAN --plot OUT.svg", "change PLAN P0.rating=1_A", "change PLAN 0.size=4_mm2 --in-place",
    "add-motor PLAN --like P0 --out OUT.yaml", "readings PLAN --symptoms", "check PLAN --out PLAN",
)  # fmt: skip


@pytest.mark.parametrize("number", range(COUNT))
def test_a_command_ends_in_a_word(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int) -> None:
    monkeypatch.setattr(random_machine_plans, "MOST_PARTS", 6)
    (tmp_path / "plan.yaml").write_text(written(random_plan(1_000_000 + number)), "utf-8")
    words = COMMANDS[number % len(COMMANDS)] if number < len(COMMANDS) else Random(number).choice(COMMANDS)
    places = {"PLAN": str(tmp_path / "plan.yaml"), "OUT": str(tmp_path / "out")}
    arguments = [
        next((place + word[len(key) :] for key, place in places.items() if word.startswith(key)), word).replace(
            "_A", " A"
        )
        for word in words.split()
    ]
    done = CliRunner().invoke(app, [one.replace("_mm2", " mm2") for one in arguments])
    assert done.exception is None or isinstance(done.exception, SystemExit), (words, repr(done.exception))
    assert done.exit_code in (0, 1, 2), words
    assert done.output or list(tmp_path.glob("out*")), words
    assert not [path.name for path in tmp_path.rglob(".*")], words
