"""The wire that makes a single fault dangerous is named; derived by hand before the first run."""

from __future__ import annotations

import pytest
from circuits import SEAL, two_channels
from helpers import design

from wiring.findings import Finding
from wiring.rules import stop_fault_dangerous, stop_single_channel
from wiring.rules.rule import Item

_MORE = "  - {{wire: 99, from: '{0}', to: '{1}', size: 1.5 mm2, length: 1 m}}\n"


def mistaken(start: str, end: str) -> str:
    """The two channels with one wire too many."""
    return two_channels(cable=False, cross_fault=True) + _MORE.format(start, end)


def blamed(text: str) -> list[Finding]:
    machine = design(text)
    said = [*stop_single_channel.check(machine), *stop_fault_dangerous.check(machine)]
    told = [item.tell([item.detail]) if isinstance(item, Item) else item for item in said]
    return [one for one in told if isinstance(one, Finding)]


@pytest.mark.parametrize(
    ("start", "end", "part"),
    [
        # Past the pole of K2: K1 alone parts E1, and its weld leaves E1 on.
        ("K2:1", "K2:2", "K1"),
        # 24 V on the coil of K2 for ever: the same.
        ("G1:V+", "K2:A1", "K1"),
        # Past the pole of K1: K2 alone.
        ("K1:1", "K1:2", "K2"),
    ],
)
def test_a_wire_that_takes_a_contactor_away_is_named(start: str, end: str, part: str) -> None:
    """Without wire 99 the machine is the two channels of `test_hand_tables`, where no weld is dangerous."""
    [found] = [one for one in blamed(mistaken(start, end)) if one.subjects[0] == part]
    assert "without 99 it would not" in found.summary
    assert any("to blame" in cause.remark for cause in found.because)


def test_where_no_wire_is_too_many_none_is_blamed() -> None:
    """One contactor alone carries the stop: that is how it is built, and no wire to take away mends it."""
    for text in (SEAL, two_channels(poles=1)):
        assert blamed(text)
        assert not [one for one in blamed(text) if "it would not" in one.summary]
