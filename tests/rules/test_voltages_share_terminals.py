"""Groups of terminals kept apart: IEC 60204-1, 11.2.2 (from memory); extra-low voltage up to 60 V DC in
dry places (6.4.1)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "voltages-share-terminals"


def strip(point: str, other: str, volts: str = "24 V DC") -> str:
    """The mains over one point of a row, and a supply's output over another one."""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: {volts}, rated: 2 A}}
  X1: {{kind: terminals, points: 9}}
  X2: {{kind: terminals, points: 9}}
wires:
  - {{wire: 1, from: X0:L, to: "{point}"}}
  - {{wire: 2, from: "{point}", to: G1:L}}
  - {{wire: 3, from: X0:N, to: G1:N}}
  - {{wire: 4, from: G1:V+, to: "{other}"}}
"""


@pytest.mark.parametrize(
    ("point", "other", "volts", "count"),
    [
        ("X1:1", "X1:2", "24 V DC", 1),
        ("X1:1", "X1:9", "24 V DC", 1),
        ("X1:1", "X2:2", "24 V DC", 0),
        ("X1:1", "X1:2", "60 V DC", 1),
        ("X1:1", "X1:2", "61 V DC", 0),
    ],
)
def test_mains_and_extra_low_voltage_do_not_share_a_row(point: str, other: str, volts: str, count: int) -> None:
    assert len(fired(SLUG, design(strip(point, other, volts)))) == count


def test_what_it_says() -> None:
    """230 V is the mains of the plan, 24 V the rated output."""
    [finding] = fired(SLUG, design(strip("X1:1", "X1:2")))
    assert_says(finding, "CAUTION", number=("voltage", 230.0, "V"), mend="over rows of their own")
