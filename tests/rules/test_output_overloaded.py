"""What hangs on an output, added up by Ohm's law, against the current that the maker gives."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

SLUG = "output-overloaded"


def lamps(watts: list[float], given_a: str = ", output_current: 0.5 A", word: str = "pnp", mark: str = "") -> str:
    parts = "\n".join(f"H{n}: {{kind: lamp, rated: 24 V DC {w} W}}" for n, w in enumerate(watts))
    far = "X2" if word == "pnp" else "X1"
    wires = "\n".join(f"- {{wire: r{n}, from: {far}:{n + 4}, to: H{n}:X2}}" for n in range(len(watts)))
    chain = ", ".join(["A1:O1", *(f"H{n}:X1" for n in range(len(watts)))])
    return plan(
        f"A1: {{kind: controller, supply: {{between: [24V, 0V], voltage: 24 V DC, current: 50 mA}}, "
        f"outputs: {{O1: {word}}}, boot: 'off'{given_a}}}\n{parts}",
        f"- {{wire: 1, from: X1:2, to: A1:24V}}\n- {{wire: 2, from: X2:2, to: A1:0V}}\n"
        f"- {{wire: 3, through: [{chain}]}}{mark}\n{wires}",
    )


def test_a_lamp_that_is_too_large() -> None:
    assert_marked(lamps([20.0], mark="   #! output-overloaded"))


def test_lamps_that_are_too_many() -> None:
    assert_marked(lamps([5.0, 5.0, 5.0], mark="   #! output-overloaded"))


@pytest.mark.parametrize("word", ["pnp", "npn"])
@pytest.mark.parametrize(("watts", "fires"), [(11.9, False), (12.1, True)])
def test_the_limit_is_the_rated_current(word: str, watts: float, fires: bool) -> None:
    """0.5 A at 24 V are 12 W."""
    assert bool(fired(SLUG, design(lamps([watts], word=word)))) is fires


@given(st.lists(st.floats(0.5, 8.0), min_size=1, max_size=4))
def test_loads_are_added(watts: list[float]) -> None:
    watts = [round(w, 1) for w in watts]
    for finding in fired(SLUG, design(lamps(watts, ", output_current: 1 mA"))):
        assert finding.numbers[0].value == pytest.approx(sum(watts) / 24.0, rel=1e-6)


def test_an_unknown_current_is_not_judged_above_20_milliamperes() -> None:
    assert open_questions(SLUG, design(lamps([1.0], "")))[0].subjects == ("A1",)
    assert open_questions(SLUG, design(lamps([0.4], ""))) == []


def test_a_sensor_that_feeds_a_relay() -> None:
    body = plan(
        """
        B1: {kind: sensor, supply: 10..30 V DC, output: pnp NO, output_current: 100 mA}
        K1: {kind: relay, coil: 24 V DC 3 W, suppressor: diode, contacts: {13-14: NO}}
        """,
        """
        - {wire: 1, from: X1:2, to: B1:1}
        - {wire: 2, from: X2:2, to: B1:3}
        - {wire: 3, from: B1:4, to: K1:A1}   #! output-overloaded
        - {wire: 4, from: X2:3, to: K1:A2}
        """,
    )
    assert_marked(body)


def test_what_it_says() -> None:
    """IEC 61131-2: the output is rated 0.5 A; 12.1 W at 24 V are 0.504 A."""
    [finding] = fired(SLUG, design(lamps([12.1])))
    assert_says(
        finding,
        "CAUTION",
        limit=(0.5, "A", "IEC 61131-2 digital outputs, rated current"),
        number=("asked for", 12.1 / 24, "A"),
        mend="Put a relay between",
    )
