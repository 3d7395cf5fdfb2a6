"""A holding circuit as Boolean algebra: K' = stop AND (start OR K) lets go on stop, K' = (stop AND start) OR K never
does, K' = start AND (second OR K) only while the first is held."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says
from small_plans import plan

SLUG = "hold-passes-contact"
PARTS = """
K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
S1: {kind: KIND, contacts: {11-12: NC}}
S2: {kind: push-button, contacts: {13-14: NO}}
"""
WIRES = """
- {wire: 1, from: X1:2, to: S1:11}
- {wire: 2, from: S1:12, to: S2:13}
- {wire: 3, from: HOLD, to: K1:13}
- {wire: 4, through: [S2:14, K1:14, K1:A1]}
- {wire: 5, from: K1:A2, to: X2:2}
"""


def body(hold: str, kind: str = "push-button") -> str:
    return plan(PARTS.replace("KIND", kind), WIRES.replace("HOLD", hold))


@pytest.mark.parametrize("kind", ["push-button", "emergency-stop", "limit-switch", "guard-switch", "thermal-cut-out"])
def test_a_hold_past_what_stops(kind: str) -> None:
    [finding] = fired(SLUG, design(body("X1:3", kind)))
    assert finding.subjects == ("K1", "S1")
    assert_says(finding, "WARNING", mend="beside the start button alone")
    assert fired(SLUG, design(body("S1:12", kind))) == []


def test_a_float_may_give_leave_to_start_alone() -> None:
    assert fired(SLUG, design(body("X1:3", "float-switch"))) == []


def test_a_stop_that_makes() -> None:
    text = body("S1:12").replace(
        "S1: {kind: push-button, contacts: {11-12: NC}}", "S1: {kind: push-button, contacts: {11-12: NO}}"
    )
    [finding] = fired(SLUG, design(text))
    assert (finding.signal, finding.subjects) == ("CAUTION", ("K1", "S1"))


def test_a_coil_that_a_switch_keeps_holds_nothing() -> None:
    text = body("X1:3").replace("S2: {kind: push-button", "S2: {kind: selector")
    assert fired(SLUG, design(text)) == []


def test_a_start_led_past_the_stop() -> None:
    """K' = start OR (stop AND K) stays while the start is held; IEC 60204-1, 9.2.3.3: stop overrides start."""
    text = body("S1:12").replace("from: S1:12, to: S2:13", "from: X1:4, to: S2:13")
    [finding] = fired(SLUG, design(text))
    assert finding.subjects == ("K1", "S1")
    assert_says(finding, "CAUTION", mend="in behind S1 as well")
    assert fired(SLUG, design(text.replace("S1: {kind: push-button", "S1: {kind: limit-switch"))) == []
