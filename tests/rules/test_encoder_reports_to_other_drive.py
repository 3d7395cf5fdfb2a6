"""First physics: a loop that is closed over another shaft has no point of rest."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "encoder-reports-to-other-drive"


def axes(first: str, second: str) -> str:
    parts = "\n".join(
        f"""  T{n}: {{kind: servo-drive, supply: 230 V AC, encoder: {{voltage: 5 V DC, signals: [EA+, EA-]}}}}
  M{n}: {{kind: servo-motor, rated_power: 200 W, encoder: {{voltage: 5 V DC, signals: [EA+, EA-]}}}}"""
        for n in (1, 2)
    )
    power = "\n".join(f"  - {{wire: {n}{p}, from: 'T{n}:{p}', to: 'M{n}:{p}'}}" for n in (1, 2) for p in "UVW")
    back = "\n".join(
        f"  - {{wire: E{n}{s}, from: 'M{n}:EA{s}', to: '{drive}:EA{s}'}}"
        for n, drive in ((1, first), (2, second))
        for s in "+-"
    )
    return f"parts:\n{parts}\nwires:\n{power}\n{back}\n"


@pytest.mark.parametrize(
    ("first", "second", "told"), [("T1", "T2", []), ("T2", "T1", ["M1", "M2"]), ("T2", "T2", ["M1"])]
)
def test_the_signals_reach_the_drive_that_moves_the_motor(first: str, second: str, told: list[str]) -> None:
    assert [one.subjects[0] for one in fired(SLUG, design(axes(first, second)))] == told


def test_what_it_says() -> None:
    [finding, _] = fired(SLUG, design(axes("T2", "T1")))
    assert finding.subjects == ("M1", "T2", "T1")
    assert_says(finding, "WARNING", mend="Lead the signals of the encoder of M1 to T1")
