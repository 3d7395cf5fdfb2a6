"""ISO 13849-1, 6.2.6: one fault may not defeat a stop of category 3: no contact or conductor serves both channels.

Which contact serves both is derived by hand from the circuit of `two_channels`: S11 to S1:11-12 to S12, S21 to S1:21-22
to S22.
"""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "stop-channels-joined"
STRAY = ("'K0:S11', 'S1:11'", "'G1:V+', 'S1:11'")
THROUGH_ONE = [("'K0:S21', 'S1:21'", "'K0:S21', 'S1:11'"), ("'S1:22', 'K0:S22'", "'S1:12', 'K0:S22'")]


def changed(*swaps: tuple[str, str], cross_fault: bool = False) -> str:
    text = two_channels(cross_fault=cross_fault)
    for old, new in swaps:
        assert old in text
        text = text.replace(old, new)
    return text


@pytest.mark.parametrize("cross_fault", [False, True])
def test_both_channels_through_one_contact(cross_fault: bool) -> None:
    [finding] = fired(SLUG, design(changed(*THROUGH_ONE, cross_fault=cross_fault)))
    assert finding.subjects[:2] == ("K0", "S1")
    assert "S1:11-12 serves both" in finding.summary
    assert fired(SLUG, design(two_channels(cross_fault=cross_fault))) == []


def test_one_joint_is_enough() -> None:
    [finding] = fired(SLUG, design(changed(THROUGH_ONE[1])))
    assert {"C1.2", "C1.4"} <= set(finding.subjects)


def test_channels_that_begin_at_one_terminal_of_the_unit_are_its_makers_affair() -> None:
    text = changed(("channels: [S11-S12, S21-S22]", "channels: [S11-S12, S11-S22]"), ("'K0:S21'", "'K0:S11'"))
    assert fired(SLUG, design(text)) == []


def test_a_channel_that_begins_at_the_supply_is_joined_with_all_that_hangs_there() -> None:
    """The relay gives S11 for the channel: with S1:11 on 24 V a wire of 24 V at S12 closes it, S1 pressed or not."""
    [finding] = fired(SLUG, design(changed(STRAY)))
    assert finding.subjects == ("K0", "S1")
    assert "begins at G1 and not at K0:S11" in finding.summary


def test_a_unit_whose_channel_begins_at_the_pole_anyhow_is_its_makers_affair() -> None:
    tied = "wires:\n  - {wire: 40, from: 'G1:V+', to: 'K0:S11', size: 0.75 mm2, length: 1 m}\n"
    assert fired(SLUG, design(changed(("wires:\n", tied)))) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(changed(*THROUGH_ONE)))
    assert_says(finding, "WARNING", mend="Lead S21-S22 of K0 over conductors and a contact of its own")
