"""A battery is a supply with a disconnecting device of its own: IEC 60204-1, 5.3.1 (from memory)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "battery-without-switch"


def fed(between: str, volts: str = "24 V DC") -> str:
    """A lamp on a battery with a part between its plus and the lamp."""
    return f"""
parts:
  GB1: {{kind: battery, voltage: {volts}, capacity: 7 Ah, fuse: {{rating: 10 A, class: gG}}}}
  P1: {{{between}}}
  H1: {{kind: lamp, rated: {volts} 1 W}}
wires:
  - {{wire: 1, from: "GB1:+", to: "P1:1"}}
  - {{wire: 2, from: "P1:2", to: H1:X1}}
  - {{wire: 3, from: "GB1:-", to: H1:X2}}
"""


@pytest.mark.parametrize(
    ("between", "count"),
    [
        ("kind: disconnector, poles: 2, rated: 16 A", 0),
        ("kind: breaker, rating: 6 A, curve: C", 0),
        ("kind: fuse, rating: 6 A, class: gG", 1),
        ("kind: contactor, poles: 1, coil: 24 V DC 3 W", 1),
    ],
)
def test_a_hand_parts_it_from_what_it_feeds(between: str, count: int) -> None:
    assert [one.subjects for one in fired(SLUG, design(fed(between)))] == [("GB1", "H1")] * count


def test_above_extra_low_voltage_it_is_worse() -> None:
    """60 V DC in dry places (IEC 60204-1, 6.4.1)."""
    [low] = fired(SLUG, design(fed("kind: fuse, rating: 6 A, class: gG", "60 V DC")))
    [high] = fired(SLUG, design(fed("kind: fuse, rating: 6 A, class: gG", "72 V DC")))
    assert (low.signal, high.signal) == ("CAUTION", "WARNING")


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(fed("kind: fuse, rating: 6 A, class: gG")))
    assert_says(finding, "CAUTION", mend="a lockable disconnector for direct current")
