"""Contacts on DC: 30 V for a plain contact (rating printed on common relays), else the DC rating of the part."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.plan.edits import SetValue

SLUG = "contact-not-rated-for-dc"


def circuit(volts: int, contact: str, mark: str = "") -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 10 A}}
  K1: {{kind: contactor, poles: 1, rated: 9 A, coil: 24 V DC 3 W, suppressor: varistor{contact}}}{mark}
  E1: {{kind: load, rated: {volts} V DC 100 W}}
wires:
  - {{wire: 1, from: 'G1:V+', to: K1:1}}
  - {{wire: 2, from: K1:2, to: E1:1}}
  - {{wire: 3, from: E1:2, to: 'G1:V-'}}
"""


def test_a_contactor_for_ac_on_the_bus() -> None:
    assert_marked(circuit(48, ", rated_voltage: 400 V AC, category: AC-3", "   #! contact-not-rated-for-dc"))


def test_a_relay_for_thirty_volts_on_the_bus() -> None:
    assert_marked(circuit(48, ", rated_voltage: 30 V DC", "   #! contact-not-rated-for-dc"))


@pytest.mark.parametrize(
    ("volts", "contact", "fires"),
    [
        (30, ", category: AC-3", False),
        (31, ", category: AC-3", True),
        (48, ", rated_voltage: 48 V DC", False),
        (49, ", rated_voltage: 48 V DC", True),
        (80, ", category: AC-1, dc_rated: 9 A", False),
        (80, ", category: DC-3, rated_voltage: 110 V DC", False),
    ],
)
def test_the_limits(volts: int, contact: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(circuit(volts, contact)))) is fires


def test_a_part_that_says_nothing_is_not_judged() -> None:
    assert open_questions(SLUG, design(circuit(48, "")))[0].subjects == ("K1",)
    assert open_questions(SLUG, design(circuit(24, ""))) == []


def test_contact_rating_of_a_relay() -> None:
    text = circuit(48, "").replace(
        "kind: contactor, poles: 1, rated: 9 A", "kind: relay, contacts: {1-2: NO}, contact_rating: DC-13 2 A 24 V"
    )
    assert len(fired(SLUG, design(text))) == 1
    assert fired(SLUG, design(text.replace("2 A 24 V", "2 A 60 V"))) == []


def test_what_it_says() -> None:
    """Common relays are marked up to 30 V DC (common practice); the rail has 31 V."""
    [finding] = fired(SLUG, design(circuit(31, ", category: AC-3")))
    assert_says(
        finding,
        "CAUTION",
        limit=(30.0, "V", "Trade practice DC rating printed on common relays"),
        number=("circuit", 31.0, "V"),
        mend="60 V DC",
    )


@pytest.mark.parametrize(("volts", "signal"), [(60, "CAUTION"), (61, "WARNING")])
def test_above_extra_low_voltage_it_is_a_warning(volts: int, signal: str) -> None:
    """IEC 60204-1 6.4.1: 60 V DC in dry places."""
    [finding] = fired(SLUG, design(circuit(volts, ", category: AC-3")))
    assert finding.signal == signal


def test_an_alternating_voltage_alone_is_no_marking_for_direct_current() -> None:
    [finding] = fired(SLUG, design(circuit(48, ", rated_voltage: 230 V AC")))
    assert "alternating current only" in finding.summary


@pytest.mark.parametrize(
    ("volts", "marked", "fires"),
    [(48, "5..60 V DC", False), (80, "5..60 V DC", True), (48, "24..280 V AC", True)],
)
def test_a_semiconductor_relay_is_marked_for_a_range(volts: int, marked: str, fires: bool) -> None:
    relay = f"kind: solid-state-relay, control: 4..32 V DC, rated: 9 A, rated_voltage: {marked}}}"
    text = circuit(volts, "").replace(
        "kind: contactor, poles: 1, rated: 9 A, coil: 24 V DC 3 W, suppressor: varistor}", relay
    )
    assert bool(fired(SLUG, design(text))) is fires


def test_a_relay_gets_a_rating_for_its_voltage_and_current() -> None:
    """100 W at 48 V are 2.08 A: of the ratings 1, 2 and 6 A at 30 and 60 V (common practice) 6 A at 60 V."""
    text = circuit(48, "").replace(
        "kind: contactor, poles: 1, rated: 9 A", "kind: relay, contacts: {1-2: NO}, contact_rating: DC-13 2 A 24 V"
    )
    [finding] = fired(SLUG, design(text))
    assert finding.mends[0].edits == (SetValue(("parts", "K1", "contact_rating"), "DC-13 6 A 60 V"),)
