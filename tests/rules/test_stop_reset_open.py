"""The reset loop of `two_channels`: S33, the button, a mirror contact of each contactor, S34. Without any one of its
conductors it never closes; by hand, as it is one row."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "stop-reset-open"
LOOP = [
    "from: 'K0:S33', to: 'S2:13'",
    "from: 'S2:14', to: 'K1:21'",
    "from: 'K1:22', to: 'K2:21'",
    "from: 'K2:22', to: 'K0:S34'",
]


def without(wire: str, reset: str = "monitored") -> str:
    return re.sub(rf"  - {{wire: \d+, {wire}.*\n", "", two_channels(reset=reset))


@pytest.mark.parametrize("wire", LOOP)
def test_every_conductor_of_the_loop_is_missed(wire: str) -> None:
    assert len(fired(SLUG, design(without(wire)))) == 1
    assert fired(SLUG, design(without(wire, "automatic"))) == []


def test_a_whole_loop_is_quiet() -> None:
    assert fired(SLUG, design(two_channels())) == []
    assert fired(SLUG, design(two_channels(feedback=False))) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(without(LOOP[0])))
    assert finding.subjects == ("K0",)
    assert_says(finding, "CAUTION", mend="reset loop of K0 through the reset button")
