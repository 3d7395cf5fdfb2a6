"""Escapes, bells and marks that turn text around take no effect, wherever a plan or an argument puts them."""

from __future__ import annotations

import json
import re
import unicodedata
from pathlib import Path

import pytest

from tests.commands import run_command
from wiring.wording import spreadsheet_text

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "specs" / "coil-winder.yaml").read_text("utf-8")
EVIL = "\x1b[31m\x07\x9b31m\u202eevil"
#: Control and format characters, but for the line feeds that end lines.
EFFECT = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u200e\u200f\u202a-\u202e\u2066-\u2069]")


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The coil winder with such a machine, title and wire."""
    text = TEXT.replace("machine: Bench coil winder", f"machine: {json.dumps(EVIL)}")
    text = text.replace("{wire: 204,", f"{{wire: {json.dumps('204' + EVIL)}, title: {json.dumps('=' + EVIL)},", 1)
    text = text.replace("  F3: {", f"  F3: {{title: {json.dumps(EVIL)}, ", 1)
    path = tmp_path_factory.mktemp("evil") / "plan.yaml"
    path.write_text(text, "utf-8")
    return path


def run(*arguments: object) -> str:
    """All that a command prints."""
    done = run_command(*arguments)
    assert done.returncode in (0, 1, 2), done.stderr
    return (done.stdout + done.stderr).decode("utf-8")


@pytest.mark.parametrize(
    "words",
    [
        "check", "check --format brief", "check --format json", "check --format sarif", "budget", "stop",
        "stop --format json", "list wires", "list wires --format csv", "list parts --format csv", "power-up",
        "power-up --format csv", "power-up --format html", "suggest", "suggest --format json", "room",
        "change --format json", "readings --symptoms",
    ],
)  # fmt: skip
def test_no_output_has_a_character_that_takes_effect(plan: Path, words: str) -> None:
    command, *options = words.split()
    what = [options.pop(0)] if command == "list" else []
    more = ["F3.rating=4 A"] if command == "change" else []
    printed = run(command, *what, plan, *more, *options)
    assert printed
    assert EFFECT.findall(printed) == []


@pytest.mark.parametrize(
    "words",
    [["check", EVIL], ["rule", EVIL], ["stop", "PLAN", "--stop", EVIL], ["check", "PLAN", "--state", EVIL],
     ["check", "PLAN", "--out", f"/{EVIL}/x"], ["change", "PLAN", f"{EVIL}=1"], ["add-motor", "PLAN", "--like", EVIL],
     ["list", EVIL, "PLAN"], ["check", "PLAN", "--format", EVIL], [EVIL], ["readings", "PLAN", EVIL]],
)  # fmt: skip
def test_no_message_obeys_an_argument(plan: Path, words: list[str]) -> None:
    printed = run(*(plan if word == "PLAN" else word for word in words))
    assert printed
    assert EFFECT.findall(printed) == []


@pytest.mark.parametrize("sign", ["=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20", "\t=", "\r=", " ="])
def test_no_cell_begins_a_formula(sign: str) -> None:
    """The signs that spreadsheet programs take for a formula (OWASP, CSV injection), in full width too."""
    assert spreadsheet_text(f"{sign}1+1").startswith("'")


def test_every_control_and_format_character_is_shown() -> None:
    for number in (*range(0x20), *range(0x7F, 0xA0), 0x200F, 0x202E, 0x2066, 0xFEFF):
        cell = spreadsheet_text(f"a{chr(number)}b")
        assert not any(unicodedata.category(one).startswith("C") for one in cell), hex(number)
