"""Reset by a deliberate action on the device for it (ISO 13850, 4.1.4, from memory)."""

from __future__ import annotations

from helpers import design
from marked_plans import fired
from says import assert_says
from small_plans import plan

SLUG = "stop-reset-elsewhere"
PARTS = """
K0: {kind: safety-relay, supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], reset: S33-S34, outputs: [13-14, 23-24]}
S1: {kind: emergency-stop, contacts: {11-12: NC direct, 21-22: NC direct}}
S2: {kind: push-button, contacts: {13-14: NO}}
S3: {kind: push-button, contacts: {13-14: NO}}
Y1: {kind: valve, rated: 24 V DC 5 W, suppressor: diode}
"""
WIRES = """
- {wire: 1, from: X1:2, to: K0:A1}
- {wire: 2, from: K0:A2, to: X2:2}
- {wire: 3, from: K0:S11, to: S1:11}
- {wire: 4, from: S1:12, to: K0:S12}
- {wire: 5, from: K0:S21, to: S1:21}
- {wire: 6, from: S1:22, to: K0:S22}
- {wire: 7, from: K0:S33, to: BUTTON:13}
- {wire: 8, from: BUTTON:14, to: K0:S34}
- {wire: 9, from: X1:3, to: K0:13}
- {wire: 10, from: K0:14, to: Y1:1}
- {wire: 11, from: Y1:2, to: X2:3}
"""
STOP = "stops:\n  emergency: {devices: [S1], category: 0, reset: S2, removes: [Y1]}"


def test_another_button_in_the_loop() -> None:
    [finding] = fired(SLUG, design(plan(PARTS, WIRES.replace("BUTTON", "S3"), more=STOP)))
    assert finding.subjects == ("S2", "K0", "S3", "emergency")
    assert_says(finding, "CAUTION", mend="through S2")


def test_the_one_that_the_plan_names() -> None:
    assert fired(SLUG, design(plan(PARTS, WIRES.replace("BUTTON", "S2"), more=STOP))) == []
