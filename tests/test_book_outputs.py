"""What the commands print for a North American plan: its words and units, whatever the command."""

from __future__ import annotations

import os
import re

import pytest
from commands import ROOT, run

from wiring.documents.lists import WITH_ZONES, ListName

ALL = os.environ.get("WIRING_BOOKS") == "all"
#: A conductor of each plan, and a motor on a drive where it has one.
PLANS = {"bench-press-feeder": ("C3", "M1"), "glue-robot": ("W1", "M1"), "parts-washer": ("15", "")}
TRIED = list(PLANS) if ALL else ["bench-press-feeder"]
COMMANDS = [
    "check PLAN --all",
    "cabinet PLAN --all",
    "suggest PLAN CONDUCTOR",
    "add-motor PLAN --like MOTOR",
    "compare PLAN specs/faulty/conductor-overloaded-press.yaml",
    "power-up PLAN --full",
    *(f"list {name.value} PLAN" for name in ListName if ALL or name not in WITH_ZONES),
]
if ALL:
    COMMANDS += ["stop PLAN", "room PLAN", "budget PLAN --all", "check PLAN", "change PLAN S1.title=stop"]
#: What stands in code, and names with hyphens, are no words of ours; the drill for a metric thread is metric.
OTHERS = re.compile(r"`[^`]*`|\S*-\S*|\d\S* mm(?= +(?:for )?M\d)|\{[^}]*\}?")
FOREIGN = re.compile(
    r"\b(?:un)?earth(?:ed|ing|s)?\b|\d °C(?! column| \()|\d mm\b|\d mm2\b|\bhot (?:side|leg|wire)", re.IGNORECASE
)


def foreign_lines(printed: str) -> list[str]:
    """The lines with a word or unit of the other book."""
    return [line for line in printed.splitlines() if FOREIGN.search(OTHERS.sub("", line))]


@pytest.mark.parametrize("plan", TRIED)
@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_speaks_the_book_of_the_plan(command: str, plan: str) -> None:
    conductor, motor = PLANS[plan]
    if "MOTOR" in command and not motor:
        pytest.skip("no axis that another could be like")
    names = {"PLAN": f"specs/{plan}.yaml", "CONDUCTOR": conductor, "MOTOR": motor}
    done = run(*(names.get(word, word) for word in command.split(" ")))
    assert done.returncode in (0, 1), done.stderr
    assert foreign_lines(done.stdout + done.stderr) == []


@pytest.mark.parametrize("plan", TRIED)
def test_every_sheet_speaks_the_book_of_the_plan(plan: str) -> None:
    sheets = sorted((ROOT / "diagrams" / plan).glob("*.svg"))
    assert sheets
    texts = [text for sheet in sheets for text in re.findall(r">([^<>]+)<", sheet.read_text("utf-8"))]
    assert foreign_lines("\n".join(texts)) == []


def test_the_judge_of_lines_knows_the_other_book() -> None:
    assert foreign_lines("Earth it\nat 40 °C\n12 mm wide\n2.5 mm2") == ["Earth it", "at 40 °C", "12 mm wide", "2.5 mm2"]
    assert foreign_lines("`earth`\nearth-missing\n104 °F\nthe 75 °C column\nground it") == []
