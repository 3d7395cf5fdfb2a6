"""Law: one wire past the contacts of a stop is DANGER where it alone keeps a hazard fed, WARNING past one of two or
at a coil; a finding names that wire, and one names what it leaves alive.

Which wires there are, and what they lead past, is found by `law_bypasses` with networkx, without any rule.
"""

from __future__ import annotations

import pytest
from law_bypasses import Bypass, bypasses
from law_cases import news, sample

from wiring.findings import Signal

SIZE = 7
EVERY = {one.case.name: one for one in bypasses()}
CHOSEN = [EVERY[case.name] for case in sample([one.case for one in EVERY.values()], SIZE)]


@pytest.mark.parametrize("bypass", CHOSEN, ids=[one.case.name for one in CHOSEN])
def test_a_wire_past_contacts_of_a_stop_is_told_and_named(bypass: Bypass) -> None:
    told = news(bypass.case)
    assert told is not None
    worst = min((one.signal.rank for one in told), default=len(Signal))
    assert worst <= (Signal.DANGER if bypass.whole else Signal.WARNING).rank
    assert any("BYPASS" in one.subjects for one in told)
    assert not bypass.whole or any(bypass.load in one.subjects for one in told)
