"""All conductors of an AC circuit in one conduit: NEC 300.3(B), IEC 60204-1, 13.1.4 (from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "circuit-conductors-apart"


def fed(first: str, second: str, at: str = "machine", volts: str = "230 V AC") -> str:
    return f"""
routes:
  pipe: {{kind: conduit, at: {at}}}
  tube: {{kind: conduit, at: {at}}}
  tray: {{kind: tray, at: {at}}}
  loom: {{kind: loom, at: {at}}}
parts:
  X1: {{kind: terminals, points: 2}}
  E1: {{kind: heater, at: machine, rated: {volts} 500 W, metal: false}}
wires:
  - {{wire: 1, from: X1:1, to: E1:1, route: {first}}}
  - {{wire: 2, from: X1:2, to: E1:2, route: {second}}}
"""


@pytest.mark.parametrize(
    ("first", "second", "count"), [("pipe", "pipe", 0), ("pipe", "tube", 1), ("pipe", "tray", 1), ("loom", "tray", 0)]
)
def test_line_and_return_lie_in_one_conduit(first: str, second: str, count: int) -> None:
    assert len(fired(SLUG, design(fed(first, second)))) == count


def test_direct_current_and_ducts_of_the_cabinet_do_not_matter() -> None:
    """The field of a direct current heats no steel."""
    assert fired(SLUG, design(fed("pipe", "tube", volts="24 V DC"))) == []
    assert fired(SLUG, design(fed("pipe", "tube", at="cabinet"))) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(fed("pipe", "tube")))
    assert_says(finding, "CAUTION", mend="in one conduit or cable with the others of E1")
