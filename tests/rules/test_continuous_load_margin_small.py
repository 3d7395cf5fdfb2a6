"""Continuous and heating loads at 125 % under NFPA 70 210.20(A) and 425.4."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired, open_questions
from says import assert_says

from wiring.rules.continuous_load_margin_small import requirements

SLUG = "continuous-load-margin-small"


def body(load: str, rating: float = 20, size: str = "8 AWG") -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, upstream: {{kind: breaker, rating: 60 A, curve: C}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, rated: 60 A}}
  F1: {{kind: breaker, rating: {rating} A, curve: C}}
  E1: {load}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 4 AWG, insulation: TW, length: 1 cm}}
  - {{wire: 2, from: F1:2, to: E1:1, size: {size}, insulation: TW, length: 1 cm}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 4 AWG, insulation: TW, length: 1 cm}}
"""


def heater(amps: float) -> str:
    return f"{{kind: heater, rated: 120 V AC {120 * amps} W, metal: false}}"


# 125 % of 16 A are 20 A: the largest continuous load of a 20 A breaker (NFPA 70 210.20(A); a heater by 425.4).
@pytest.mark.parametrize(
    ("load", "fires"),
    [
        (heater(16.0), False),
        (heater(16.9), True),
        ("{kind: load, rated: 120 V AC 1992 W, metal: false, continuous: true}", True),
        ("{kind: load, rated: 120 V AC 1992 W, metal: false, continuous: false}", False),
        ("{kind: load, rated: 120 V AC 1992 W, metal: false}", False),
    ],
)
def test_the_device_has_125_percent(load: str, fires: bool) -> None:
    found = fired(SLUG, design(body(load), "na"))
    assert [finding.subjects[0] for finding in found] == (["F1"] if fires else [])
    if fires:
        assert found[0].mend[0].startswith("Take a breaker of 25 A for F1")


# 14 AWG carries 15 A, 12 AWG 20 A, 10 AWG 30 A (table 310.16, 60 °C): 12, 16 and 24 A of a heater.
@pytest.mark.parametrize(
    ("size", "amps", "fires"),
    [("12 AWG", 15.8, False), ("12 AWG", 16.7, True), ("10 AWG", 23.8, False), ("10 AWG", 25.4, True)],
)
def test_the_conductor_has_125_percent(size: str, amps: float, fires: bool) -> None:
    found = fired(SLUG, design(body(heater(amps), 60, size), "na"))
    assert [finding.subjects[0] for finding in found] == (["2"] if fires else [])


def test_a_load_is_asked_where_it_decides() -> None:
    [question] = open_questions(SLUG, design(body("{kind: load, rated: 120 V AC 1992 W, metal: false}"), "na"))
    assert question.subjects == ("E1",)
    assert "continuous" in question.missing
    assert not open_questions(SLUG, design(body("{kind: load, rated: 120 V AC 1200 W, metal: false}"), "na"))


def test_the_iec_book_asks_for_no_margin() -> None:
    assert fired(SLUG, design(body(heater(19.5)))) == []


def test_what_it_says() -> None:
    """NFPA 70 210.19(A)(1): the conductor carries 125 % of a continuous load, 16.9 A less what the mains and the
    breaker lose (2 %); 12 AWG of TW has 20 A."""
    [finding] = fired(SLUG, design(body(heater(16.7), 25, "12 AWG"), "na"))
    assert_says(
        finding,
        "CAUTION",
        limit=(1.25 * 16.7, "A", "NFPA 70 210.19(A)(1) and 215.2(A)(1)"),
        number=("ampacity", 20.0, "A"),
        mend="Make 2 of 10 AWG",
        rel=0.02,
    )


def test_what_the_engine_is_asked_is_what_the_rule_wants() -> None:
    """NFPA 70 210.20(A) and 210.19(A)(1): 125 % of 16.7 A, a little less behind the mains, are more than 12 AWG carries
    (20 A, table 310.16, TW); 10 AWG, 5.261 mm2, carries 30 A."""
    made = design(body(heater(16.7), 20, "12 AWG"), "na")
    asked = {one.item: one.least for one in requirements(made)}
    assert asked["F1"] == pytest.approx(1.25 * 16.7, rel=0.05)
    assert asked["2"] == pytest.approx(5.261, rel=0.001)
