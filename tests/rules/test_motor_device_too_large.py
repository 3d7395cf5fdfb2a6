"""Short-circuit devices of motors by the North American book."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "motor-device-too-large"


def direct(device: str, motor: str = "rated_power: 5 hp, rated_current: 14.4 A", volts: int = 230) -> str:
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: {volts} V, frequency: 60 Hz, earthing: TN-S, fault_current: 1 kA,
        upstream: {{kind: breaker, rating: 50 A, curve: C}}}}
site: {{ambient: 30 °C}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, PE], rated: 50 A}}
  F1: {device}
  Q1: {{kind: motor-protector, setting: 15 A, breaking: 50 kA, rated_voltage: 480 V AC}}
  M1: {{kind: motor, voltage: {volts} V AC, phases: 3, {motor}, metal: false}}
wires:
  - {{wire: 1, from: X0:L1, to: F1:1, size: 6 AWG, length: 1 ft, insulation: thhn}}
  - {{wire: 2, from: X0:L2, to: F1:3, size: 6 AWG, length: 1 ft, insulation: thhn}}
  - {{wire: 3, from: X0:L3, to: F1:5, size: 6 AWG, length: 1 ft, insulation: thhn}}
  - {{wire: 4, from: F1:2, to: "Q1:1", size: 6 AWG, length: 1 ft, insulation: thhn}}
  - {{wire: 5, from: F1:4, to: "Q1:3", size: 6 AWG, length: 1 ft, insulation: thhn}}
  - {{wire: 6, from: F1:6, to: "Q1:5", size: 6 AWG, length: 1 ft, insulation: thhn}}
  - {{wire: 7, from: "Q1:2", to: M1:U, size: 10 AWG, length: 9 ft, insulation: thhn}}
  - {{wire: 8, from: "Q1:4", to: M1:V, size: 10 AWG, length: 9 ft, insulation: thhn}}
  - {{wire: 9, from: "Q1:6", to: M1:W, size: 10 AWG, length: 9 ft, insulation: thhn}}
"""


def breaker(rating: float) -> str:
    return f"{{kind: breaker, poles: 3, rating: {rating} A, curve: C, breaking: 10 kA}}"


def fuse(rating: float) -> str:
    return f"{{kind: fuse, poles: 3, rating: {rating} A, class: J}}"


def test_the_finding_points_at_the_rating() -> None:
    body = direct("@").replace(
        "  F1: @",
        f"  F1:\n    kind: breaker\n    poles: 3\n    curve: C\n    breaking: 10 kA\n    rating: 45 A      #! {SLUG}",
    )
    assert_marked(body, "na")


# NFPA 70, table 430.250: 5 hp at 230 V draw 15.2 A. Table 430.52(C)(1): a breaker 250 % = 38 A, next standard 40 A; a
# fuse without time delay 300 % = 45.6 A, next 50 A.
@pytest.mark.parametrize(
    ("device", "fires"), [(breaker(40), False), (breaker(41), True), (fuse(50), False), (fuse(51), True)]
)
def test_the_limits_of_a_breaker_and_a_fuse(device: str, fires: bool) -> None:
    assert [item.subjects for item in fired(SLUG, design(direct(device), "na"))] == ([("F1", "M1")] if fires else [])


def delayed(rating: float, fuse_class: str = "J") -> str:
    return f"{{kind: fuse, poles: 3, rating: {rating} A, class: {fuse_class}, time_delay: true}}"


@pytest.mark.parametrize(
    ("device", "fires"),
    [
        (delayed(30), False),
        (delayed(31), True),
        (delayed(50, "RK5"), True),
        (delayed(30, "CC"), False),
    ],
)
def test_a_fuse_with_time_delay_may_have_175_percent(device: str, fires: bool) -> None:
    """Table 430.52(C)(1): 175 % of 15.2 A are 26.6 A, next standard 30 A; class CC counts as without time delay."""
    assert bool(fired(SLUG, design(direct(device), "na"))) is fires


def test_the_iec_book_has_no_such_limit() -> None:
    assert not fired(SLUG, design(direct(breaker(63)), "iec"))


# 4 hp is no row of the table, so the current of the plate counts: 250 % of 10 A is 25 A, a standard rating.
@pytest.mark.parametrize(("rating", "fires"), [(25, False), (26, True)])
def test_the_plate_counts_where_nothing_is_tabled(rating: float, fires: bool) -> None:
    found = design(direct(breaker(rating), "rated_power: 4 hp, rated_current: 10 A"), "na")
    assert bool(fired(SLUG, found)) is fires


def test_without_any_current_nothing_is_judged() -> None:
    found = design(direct(breaker(60), "rated_power: 4 hp"), "na")
    assert not fired(SLUG, found)
    assert "rated_current" in open_questions(SLUG, found)[0].missing


def two_motors(rating: float, size: str) -> str:
    more = "".join(
        f'  - {{wire: 2{n}, from: "Q1:{n}", to: M2:{end}, size: {size}, length: 9 ft, insulation: thhn}}\n'
        for n, end in ((2, "U"), (4, "V"), (6, "W"))
    )
    motor = "  M2: {kind: motor, voltage: 230 V AC, rated_power: 1 hp, rated_current: 3.6 A, metal: false}\n"
    return direct(breaker(rating)).replace("wires:\n", f"{motor}wires:\n") + more


# NFPA 79, table 7.2.10.4: 14 AWG behind a common breaker of up to 60 A, 10 AWG up to 100 A (from memory).
@pytest.mark.parametrize(
    ("rating", "size", "fires"),
    [(60, "14 AWG", False), (61, "14 AWG", True), (100, "10 AWG", False), (101, "10 AWG", True)],
)
def test_one_device_in_front_of_two_motors(rating: float, size: str, fires: bool) -> None:
    found = fired(SLUG, design(two_motors(rating, size), "na"))
    assert [item.subjects for item in found] == ([("F1", "M1", "M2")] if fires else [])


def test_sizes_in_square_millimetres_have_no_row() -> None:
    found = design(two_motors(60, "2.5 mm2"), "na")
    assert not fired(SLUG, found)
    assert "AWG" in open_questions(SLUG, found)[0].missing


def test_what_it_says() -> None:
    """NFPA 70 430.52: 250 % of the 15.2 A of table 430.250 are 38 A; the next standard rating is 40 A. The breaker has
    41 A."""
    [finding] = fired(SLUG, design(direct(breaker(41)), "na"))
    assert_says(
        finding,
        "WARNING",
        limit=(40.0, "A", "NFPA 70 table 430.52(C)(1)"),
        number=("device", 41.0, "A"),
        mend="40 A or less",
    )


def test_the_limit_tells_the_percent_and_what_it_is_of() -> None:
    """NFPA 70 table 430.52(C)(1): 250 % for a breaker; table 430.250: 15.2 A for 5 hp at 230 V. One motor has no other
    device to be given."""
    [finding] = fired(SLUG, design(direct(breaker(41)), "na"))
    assert finding.limit is not None
    assert finding.limit.note.startswith("250 % of 15.2 A")
    assert len(finding.mend) == 1


def test_of_two_motors_each_may_have_a_device() -> None:
    [finding] = fired(SLUG, design(two_motors(61, "14 AWG"), "na"))
    assert "Or give M1, M2 a device each." in finding.mend
