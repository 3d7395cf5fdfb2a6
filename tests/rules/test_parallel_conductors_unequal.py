"""Conductors in parallel (IEC 60364-4-43, 433.4, from memory): unequal above 10 % of what each should take."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired, open_questions
from says import assert_says

from wiring.design.conductor.overload_protection import allowed_rating
from wiring.findings import Signal

SLUG = "parallel-conductors-unequal"


def pair(first: str, second: str, watts: int = 360, fuse: int = 25) -> str:
    """A load fed by wires 1 and 2 in parallel behind a fuse; its return is one thick wire."""
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 40 A}}
  F1: {{kind: fuse, rating: {fuse} A, class: gG}}
  E1: {{kind: load, rated: 24 V DC {watts} W}}
wires:
  - {{wire: 0, from: G1:V+, to: F1:1, size: 10 mm2, insulation: pvc-70, length: 0.3 m}}
  - {{wire: 1, from: F1:2, to: E1:1, insulation: pvc-70, {first}}}
  - {{wire: 2, from: F1:2, to: E1:1, insulation: pvc-70, {second}}}
  - {{wire: 3, from: E1:2, to: G1:V-, size: 10 mm2, insulation: pvc-70, length: 1 m}}
"""


@given(st.floats(1.001, 3.0).filter(lambda ratio: abs(ratio - 1.10526) > 1e-3))
def test_two_lengths_differ_by_ten_percent_at_21_to_19(ratio: float) -> None:
    """By hand: shares L/(1+L) and 1/(1+L) of lengths 1 and L; twice their difference is 10 % at L = 2.1/1.9."""
    found = fired(SLUG, design(pair("size: 1.5 mm2, length: 1 m", f"size: 1.5 mm2, length: {ratio:.6f} m")))
    assert bool(found) == (ratio > 2.1 / 1.9)
    assert all(one.signal is Signal.CAUTION and one.subjects == ("1", "2") for one in found)


def test_a_thinner_one_beside_a_thicker_one_is_told_with_what_each_takes() -> None:
    """IEC 60228 class 5 at 20 °C: 13.3 ohm/km for 1.5 mm2, 39.0 for 0.5 mm2: 74.6 % and 25.4 %."""
    [found] = fired(SLUG, design(pair("size: 0.5 mm2, length: 1 m", "size: 1.5 mm2, length: 1 m")))
    assert found.subjects == ("2", "1")
    assert "75 %" in found.summary
    amps = [number.value for number in found.numbers[:2]]
    assert [one / sum(amps) for one in amps] == pytest.approx([0.7457, 0.2543], rel=1e-3)


def test_where_each_could_carry_all_alone_it_is_a_notice() -> None:
    [found] = fired(SLUG, design(pair("size: 10 mm2, length: 1 m", "size: 6 mm2, length: 1 m", 120, 6)))
    assert found.signal is Signal.NOTICE


@pytest.mark.parametrize(("second", "missing"), [("size: 1.5 mm2", "length of 2"), ("length: 1 m", "size of 2")])
def test_what_sharing_rests_on_is_asked(second: str, missing: str) -> None:
    [question] = open_questions(SLUG, design(pair("size: 1.5 mm2, length: 1 m", second)))
    assert missing in question.missing


def test_a_device_is_held_against_the_sum_of_equal_conductors_and_the_weakest_of_unequal_ones() -> None:
    """IEC 60364-4-43, 433.4.1: the sum of Iz; 433.4.2: for each, Iz divided by its share."""
    equal = design(pair("size: 1.5 mm2, length: 1 m", "size: 1.5 mm2, length: 1 m"))
    alone = equal.conductors["1"].ampacity.value  # type: ignore[union-attr]
    assert allowed_rating(equal.loading, equal.faults, "1").value == pytest.approx(2 * alone)  # type: ignore[union-attr]
    unequal = design(pair("size: 1.5 mm2, length: 1 m", "size: 1.5 mm2, length: 3 m"))
    assert allowed_rating(unequal.loading, unequal.faults, "1").value == pytest.approx(alone / 0.75)  # type: ignore[union-attr]


def test_north_america_counts_on_a_second_conductor_from_1_0_awg_up_only() -> None:
    """NFPA 70, 310.10(G)(1), from memory."""
    small = design(pair("size: 14 AWG, length: 1 m", "size: 14 AWG, length: 1 m"), "na")
    large = design(pair("size: 1/0 AWG, length: 1 m", "size: 1/0 AWG, length: 1 m"), "na")
    assert allowed_rating(small.loading, small.faults, "1").value == small.conductors["1"].ampacity.value <= 15.0  # type: ignore[union-attr]
    assert allowed_rating(large.loading, large.faults, "1").value == pytest.approx(
        2 * large.conductors["1"].ampacity.value
    )  # type: ignore[union-attr]


def test_two_cores_for_one_phase_carry_half_of_its_current_each() -> None:
    """Equal cores of one cable, whether or not its length is given."""
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 36 V DC, rated: 10 A}
  D1: {use: stepper-drive-50v-4a, phase_current: 4.2 A peak}
  M1: {kind: stepper-motor, phase_current: 4.2 A peak, phase_resistance: 0.75 ohm}
cables:
  - {cable: C1, cores: 8, size: 0.5 mm2,
     join: {1: [D1:A+, M1:A+], 2: [D1:A+, M1:A+], 3: [D1:A-, M1:A-], 4: [D1:A-, M1:A-],
            5: [D1:B+, M1:B+], 6: [D1:B+, M1:B+], 7: [D1:B-, M1:B-], 8: [D1:B-, M1:B-]}}
wires:
  - {wire: 1, from: G1:V+, to: D1:V+}
  - {wire: 2, from: G1:V-, to: D1:V-}
"""
    found = design(body)
    assert [found.conductors[f"C1.{n}"].current_a for n in range(1, 9)] == pytest.approx([4.2 / 2**0.5 / 2] * 8)
    assert fired(SLUG, found) == open_questions(SLUG, found) == []


def test_what_it_says() -> None:
    """IEC 60364-4-43 433.4.2: 10 %. IEC 60228 class 5: 39.0 and 13.3 ohm/km divide the current in inverse ratio."""
    [finding] = fired(SLUG, design(pair("size: 0.5 mm2, length: 1 m", "size: 1.5 mm2, length: 1 m")))
    assert_says(
        finding,
        "CAUTION",
        limit=(10.0, "%", "IEC 60364-4-43 433.4.2"),
        number=("difference", 200 * (39.0 - 13.3) / (39.0 + 13.3), "%"),
        mend="one conductor of 1.5 mm2",
    )
