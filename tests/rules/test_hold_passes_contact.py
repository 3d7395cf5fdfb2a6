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


def test_a_hold_past_a_pressure_that_parts() -> None:
    """K' = (pressure AND start) OR K runs on above the pressure. Common practice: it is a limit; leave to start, as of
    a compressor that starts unloaded, is the rarer use of it."""
    [finding] = fired(SLUG, design(body("X1:3", "pressure-switch")))
    assert finding.subjects == ("K1", "S1")
    assert_says(finding, "CAUTION", mend="leave to start alone, accept this")
    assert fired(SLUG, design(body("S1:12", "pressure-switch"))) == []


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


TWO = """
K1: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
K2: {kind: relay, coil: 24 V DC 1 W, suppressor: diode, contacts: {13-14: NO}}
S1: {kind: push-button, contacts: {11-12: NC}}
S2: {kind: push-button, contacts: {13-14: NO}}
S3: {kind: push-button, contacts: {11-12: NC}}
S4: {kind: push-button, contacts: {13-14: NO}}
"""


def two(held_1: str, held_2: str, more: str = "") -> str:
    """Two coils with stop and start buttons of their own; the holding contact of each is that of the one named."""
    return plan(
        TWO,
        f"""
- {{wire: 1, through: ["X1:2", "S1:11"]}}
- {{wire: 2, through: ["S1:12", "S2:13", "{held_1}:13"]}}
- {{wire: 3, through: ["S2:14", "{held_1}:14", "K1:A1"]}}
- {{wire: 4, from: "K1:A2", to: "X2:2"}}
- {{wire: 5, through: ["X1:3", "S3:11"]}}
- {{wire: 6, through: ["S3:12", "S4:13", "{held_2}:13"]}}
- {{wire: 7, through: ["S4:14", "{held_2}:14", "K2:A1"]}}
- {{wire: 8, from: "K2:A2", to: "X2:3"}}
{more}""",
    )


def test_the_holding_contacts_of_two_coils_exchanged() -> None:
    """K1' = stop 1 AND (start 1 OR K2), K2' = stop 3 AND (start 4 OR K1): S4 brings both in, and K1 comes back as soon
    as S1 is let go while K2 is in."""
    assert fired(SLUG, design(two("K1", "K2"))) == []
    [finding] = fired(SLUG, design(two("K2", "K1")))
    assert finding.subjects == ("K1", "K2", "S1")
    assert_says(finding, "WARNING", mend="a make contact of K1 itself")


def test_two_coils_that_hold_each_other() -> None:
    """K1' = K2' = stop 1 AND (start 2 OR K1) OR stop 3 AND (start 4 OR K2): with both in neither stop alone is 0."""
    [finding] = fired(SLUG, design(two("K1", "K2", '- {wire: 9, from: "K1:14", to: "K2:14"}')))
    assert finding.subjects == ("K1", "K2", "S1", "S3")
    assert "drop neither" in finding.summary


def test_a_button_beside_an_automatic_contact_is_a_jog() -> None:
    """K1' = start OR K2 has no stop of its own to pass."""
    text = (
        two("K2", "K2")
        .replace('through: ["X1:2", "S1:11"]', 'through: ["X1:2", "S2:13"]')
        .replace('through: ["S1:12", "S2:13", "K2:13"]', 'through: ["S2:13", "S3:12"]')
    )
    assert fired(SLUG, design(text)) == []
