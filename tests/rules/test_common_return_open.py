"""First physics: loads that return through one another share the voltage as their resistances do. Two heaters of 120 V
in a split-phase system of 240 V, 100 W and 400 W (144 and 36 ohm), without their neutral: 240 * 144 / 180 = 192 V, and
that is 160 % of 120 V."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

from wiring.findings import Signal

SLUG = "common-return-open"


def star(switches: tuple[str, str], watts: tuple[int, int] = (200, 200), neutral: bool = False) -> str:
    lead = '  - {wire: N, from: "X0:N", to: X1:3}' if neutral else ""
    return f"""mains: {{inlet: X0, system: split-phase, voltage: 240 V, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, N, PE]}}
  X1: {{kind: terminals, points: 3, bridged: [1-3]}}
  S1: {{kind: selector, contacts: {{13-14: NO, 23-24: NO}}}}
  S2: {{kind: selector, contacts: {{13-14: NO, 23-24: NO}}}}
  E1: {{kind: heater, rated: 120 V AC {watts[0]} W, metal: false}}
  E2: {{kind: heater, rated: 120 V AC {watts[1]} W, metal: false}}
states: {{on: {{S1: worked, S2: worked}}}}
wires:
  - {{wire: 1, from: X0:L1, to: "{switches[0]}3"}}
  - {{wire: 2, from: "{switches[0]}4", to: E1:1}}
  - {{wire: 3, from: X0:L2, to: "{switches[1]}3"}}
  - {{wire: 4, from: "{switches[1]}4", to: E2:1}}
  - {{wire: 5, from: E1:2, to: X1:1}}
  - {{wire: 6, from: E2:2, to: X1:2}}
{lead}
"""


def test_with_its_neutral_it_is_right() -> None:
    assert fired(SLUG, design(star(("S1:1", "S2:1"), neutral=True))) == []


def test_loads_that_one_device_switches_may_lie_in_series() -> None:
    assert fired(SLUG, design(star(("S1:1", "S1:2")))) == []


def test_balanced_loads_work_until_one_is_off() -> None:
    [finding] = fired(SLUG, design(star(("S1:1", "S2:1"))))
    assert finding.signal is Signal.CAUTION
    assert finding.subjects == ("X1", "E1", "E2")
    assert finding.numbers[0].value == pytest.approx(0.0, abs=0.1)


def test_what_it_says_of_unlike_ones() -> None:
    [finding] = fired(SLUG, design(star(("S1:1", "S2:1"), (100, 400))))
    assert_says(
        finding,
        "WARNING",
        number=("voltage", 100.0 * 240.0 * 144.0 / 180.0 / 120.0, "%"),
        mend="Lead X1 to the neutral",
        rel=0.01,
    )
