"""The largest device that the maker of a drive allows: a figure of the plan, compared with the rating ahead."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says
from small_plans import plan

SLUG = "drive-device-too-large"


def fed(device: str, most: str = ", max_fuse: 10 A", mark: str = "") -> str:
    return plan(
        f"F5: {{{device}}}{mark}\nD5: {{kind: stepper-drive, supply: 18..48 V DC, phase_current: 2 A peak{most}}}",
        """
        - {wire: 51, from: X1:2, to: "F5:1", size: 6 mm2, length: 0.5 m}
        - {wire: 52, from: "F5:2", to: "D5:V+", size: 6 mm2, length: 0.5 m}
        - {wire: 53, from: X2:2, to: "D5:V-", size: 6 mm2, length: 0.5 m}
        - {wire: P5, from: XPE:5, to: D5:PE, size: 6 mm2, colour: GNYE, length: 0.5 m}
        """,
    )


def test_the_finding_points_at_the_device() -> None:
    fuse = "kind: electronic-fuse, rating: 3 A"
    assert_marked(fed(fuse, ", max_fuse: 2 A", mark="   #! drive-device-too-large"))


@pytest.mark.parametrize(
    ("rating", "most", "fires"),
    [("10 A", "10 A", False), ("10.1 A", "10 A", True), ("6 A", "10 A", False), ("16 A", "10 A", False)],
)
def test_the_limit_is_the_figure_of_the_maker(rating: str, most: str, fires: bool) -> None:
    """A fuse of 16 A behind a supply of 10 A is never the one that limits: the supply does."""
    body = fed(f"kind: fuse, class: gG, rating: {rating}, rated_voltage: 60 V DC", f", max_fuse: {most}")
    wider = body.replace("rated: 10 A", "rated: 12 A")
    assert bool(fired(SLUG, design(wider))) is fires


def test_a_drive_without_the_figure_is_passed_over() -> None:
    assert fired(SLUG, design(fed("kind: fuse, class: gG, rating: 10 A, rated_voltage: 60 V DC", ""))) == []


@pytest.mark.parametrize(("rating", "asks"), [("4 A", False), ("4.1 A", True)])
def test_a_drive_on_a_dc_bus_is_asked_for_it_behind_twice_its_current(rating: str, asks: bool) -> None:
    """2 A is the current of the drive (common practice: devices up to twice that stand ahead of such drives)."""
    body = fed(f"kind: fuse, class: gG, rating: {rating}, rated_voltage: 60 V DC", "")
    assert [one.subjects for one in open_questions(SLUG, design(body))] == ([("D5",)] if asks else [])


@given(st.floats(1.0, 9.0), st.floats(1.0, 9.0))
def test_it_speaks_exactly_above_the_figure(rating: float, most: float) -> None:
    rating, most = round(rating, 1), round(most, 1)
    body = fed(f"kind: fuse, class: gG, rating: {rating} A, rated_voltage: 60 V DC", f", max_fuse: {most} A")
    assert bool(fired(SLUG, design(body))) is (rating > most)


def test_the_machine_s_own_device_is_named_where_the_building_s_limits() -> None:
    """20 A of the building, 25 A of the machine: both are above the 16 A of the drive, and F1 its builder chose."""
    text = """
mains: {inlet: X0, system: single-phase, voltage: 230 V, upstream: {kind: breaker, rating: 20 A, curve: C}}
parts:
  X0: {kind: inlet}
  F1: {kind: fuse, rating: 25 A, class: gG}
  T1: {kind: inverter, supply: 200..240 V AC, rated: 0.75 kW, max_fuse: 16 A}
wires:
  - {wire: 1, from: X0:L, to: F1:1}
  - {wire: 2, from: F1:2, to: T1:L}
  - {wire: 3, from: X0:N, to: T1:N}
"""
    assert [one.subjects for one in fired(SLUG, design(text))] == [("T1", "F1")]


def test_what_it_says() -> None:
    """Data of the drive: 10 A at most; the fuse has 10.1 A."""
    [finding] = fired(
        SLUG,
        design(
            fed("kind: fuse, class: gG, rating: 10.1 A, rated_voltage: 60 V DC").replace("rated: 10 A", "rated: 12 A")
        ),
    )
    assert_says(
        finding, "WARNING", limit=(10.0, "A", "IEC 60204-1 7.2.10"), number=("device", 10.1, "A"), mend="10 A or less"
    )


def test_the_device_of_the_building_is_called_so() -> None:
    text = """
mains: {inlet: X0, system: single-phase, voltage: 230 V, upstream: {kind: breaker, rating: 32 A, curve: C}}
parts:
  X0: {kind: inlet}
  T1: {kind: inverter, supply: 230 V AC, phases: 1, rated: 0.4 kW, max_fuse: 16 A}
wires:
  - {wire: 1, from: X0:L, to: T1:L, size: 6 mm2, length: 1 m}
  - {wire: 2, from: "X0:N", to: "T1:N", size: 6 mm2, length: 1 m}
"""
    [finding] = fired(SLUG, design(text))
    assert finding.summary.startswith("The breaker of the building in front of T1")


def test_a_drive_on_the_mains_without_the_figure_is_asked_and_one_on_direct_current_is_not() -> None:
    """Makers print the largest device of drives on the mains (common practice)."""
    text = """
mains: {inlet: X0, system: single-phase, voltage: 230 V, upstream: {kind: breaker, rating: 32 A, curve: C}}
parts:
  X0: {kind: inlet}
  T1: {kind: inverter, supply: 230 V AC, phases: 1, rated: 0.4 kW}
wires:
  - {wire: 1, from: X0:L, to: T1:L, size: 6 mm2, length: 1 m}
  - {wire: 2, from: "X0:N", to: "T1:N", size: 6 mm2, length: 1 m}
"""
    assert [one.subjects for one in open_questions(SLUG, design(text))] == [("T1",)]
    assert open_questions(SLUG, design(fed("kind: fuse, class: gG, rating: 4 A", ""))) == []
