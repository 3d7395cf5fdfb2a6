"""IEC 60204-1, 9.2.3.4.2: a reset is an act of a person. A monitored reset waits for the loop to close and open again,
so one that is closed for good never comes on; a manual one comes on by itself (how such units work, from memory)."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired, folded_under
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "stop-reset-bridged"


def bridged(**kinds: str) -> str:
    """The reset button bridged by a conductor."""
    text = two_channels(**kinds)  # type: ignore[arg-type]
    return text.replace("cables:\n", "  - {wire: 99, from: 'S2:13', to: 'S2:14'}\ncables:\n")


@pytest.mark.parametrize(("mode", "signal"), [("monitored", "CAUTION"), ("manual", "WARNING"), ("automatic", "")])
def test_what_follows_hangs_on_the_unit(mode: str, signal: str) -> None:
    found = fired(SLUG, design(bridged(reset=mode)))
    assert [one.signal for one in found] == ([signal] if signal else [])
    assert fired(SLUG, design(two_channels(reset=mode))) == []


def test_a_button_that_stands_in_no_loop_is_named() -> None:
    text = two_channels().replace("from: 'K0:S33', to: 'S2:13'", "from: 'K0:S33', to: 'K1:21'")
    text = text.replace("from: 'S2:14', to: 'K1:21'", "from: 'S2:14', to: 'S2:13'")
    [finding] = fired(SLUG, design(text))
    assert finding.subjects == ("K0", "S2", "emergency")


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(bridged()))
    assert_says(finding, "CAUTION", mend="make contact of a reset button into the reset loop of K0")
    assert folded_under("stop-feedback-missing", design(bridged())) <= {SLUG}
