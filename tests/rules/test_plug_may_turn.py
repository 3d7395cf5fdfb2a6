"""Devices of one pole behind a plug that fits both ways round: IEC 60204-1, 7.2.3 (from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

SLUG = "plug-may-turn"


def plugged(connection: str, poles: int = 1, system: str = "single-phase") -> str:
    given = f", connection: {connection}" if connection else ""
    back = "F1:4" if poles == 2 else "X0:N"
    feed = '  - {wire: 4, from: X0:N, to: "F1:3"}\n' if poles == 2 else ""
    return f"""
mains: {{inlet: X0, system: {system}, voltage: 230 V{given}}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: breaker, poles: {poles}, rating: 6 A, curve: C, breaking: 6 kA}}
  E1: {{kind: load, rated: 230 V AC 100 W}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1}}
  - {{wire: 2, from: F1:2, to: E1:1}}
  - {{wire: 3, from: E1:2, to: "{back}"}}
{feed}"""


@pytest.mark.parametrize(
    ("connection", "poles", "count"),
    [("reversible plug", 1, 1), ("reversible plug", 2, 0), ("polarised plug", 1, 0), ("fixed", 1, 0), ("", 1, 0)],
)
def test_both_conductors_are_opened(connection: str, poles: int, count: int) -> None:
    plan = design(plugged(connection, poles))
    assert [one.subjects for one in fired(SLUG, plan)] == [("F1",)] * count
    assert bool(open_questions(SLUG, plan)) is (not connection)


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(plugged("reversible plug")))
    assert_says(finding, "CAUTION", mend="open both conductors for F1")
