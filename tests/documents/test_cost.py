"""What a change costs, against the prices that its plan gives."""

from __future__ import annotations

from tests.helpers import design
from wiring.documents.cost import cost_of

PLAN = """
parts:
  F1: {kind: breaker, poles: 2, rating: 6 A, curve: C, order: B-6, price: 12.50 EUR}
  F2: {kind: breaker, poles: 2, rating: 6 A, curve: C, order: B-6, price: 12.50 EUR}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  D1: {kind: stepper-drive, supply: 24..48 V DC, phase_current: 4.2 A peak, hold_current: 50 %, price: 80 EUR}
"""


def told(*changes: tuple[str, str]) -> list[str]:
    text = PLAN
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return list(cost_of(design(PLAN), design(text)).sentences)


def test_what_is_bought_like_something_there_has_its_price() -> None:
    """Two of 12.50 EUR are 25.00 EUR."""
    line = "  F2: {kind: breaker, poles: 2, rating: 6 A, curve: C, order: B-6, price: 12.50 EUR}\n"
    more = "".join(line.replace("F2", name) for name in ("F3", "F4"))
    assert told((line, line + more))[0] == "To buy for 25.00 EUR: F3, F4."


def test_the_price_of_another_thing_holds_no_longer() -> None:
    changed = ("F2: {kind: breaker, poles: 2, rating: 6 A", "F2: {kind: breaker, poles: 2, rating: 10 A")
    assert told(changed)[:2] == ["To buy, price to be asked: F2.", "Used no longer as it is: F2."]
    priced = (
        "F2: {kind: breaker, poles: 2, rating: 6 A, curve: C, order: B-6, price: 12.50",
        "F2: {kind: breaker, poles: 2, rating: 10 A, curve: C, order: B-10, price: 14.00",
    )
    assert told(priced)[0] == "To buy for 14.00 EUR: F2."


def test_a_setting_and_a_title_cost_nothing() -> None:
    assert (
        told(("hold_current: 50 %", "hold_current: 40 %, title: lift"), ("phase_current: 4.2", "phase_current: 3.0"))
        == []
    )


def test_what_is_taken_out_is_told_and_a_plan_without_prices_tells_nothing() -> None:
    taken = "  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}\n"
    assert told((taken, "")) == ["Used no longer as it is: G1."]
    bare = taken.join(("parts:\n", "  G2: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}\n"))
    assert list(cost_of(design("parts:\n" + taken), design(bare)).sentences) == []
