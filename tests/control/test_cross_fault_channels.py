"""A stop relay that finds shorts between its channels feeds one of them from each pole: neither is wired wrongly, and
an earth fault on the one leaves the other to be heard (circuits of ISO 13849-1, category 4; from memory)."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired

sys.path.insert(0, str(Path(__file__).parents[1] / "control"))
from circuits import two_channels


@pytest.mark.parametrize("cross_fault", [False, True])
def test_a_channel_from_each_pole_is_no_reversal_and_no_contact_on_the_earthed_side(cross_fault: bool) -> None:
    found = design(two_channels(cross_fault=cross_fault))
    assert fired("polarity-reversed", found) == []
    assert fired("stop-contact-on-earthed-side", found) == []
