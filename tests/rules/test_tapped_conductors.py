"""A short thinner conductor to a smaller device: where both books allow it, and the limits of it."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired
from says import assert_says

from wiring.findings import Finding, Signal

SLUG = "protection-above-conductor"


def plan(
    size: str,
    length: str,
    rating: str,
    front: str = "50 A",
    ends: str = "[F1:2, F2:1]",
    more: str = "",
    route: str = "",
) -> str:
    """A thick feeder behind a large fuse, a thinner conductor from it to a smaller fuse and its load."""
    laid = f", route: {route}" if route else ""
    return f"""
site: {{ambient: 30 °C}}
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: fuse, rating: {front}, class: gG}}}}
routes:
  out: {{kind: open, at: machine}}
  pipe: {{kind: conduit, at: machine}}
parts:
  X0: {{kind: inlet, rated: 63 A}}
  X1: {{kind: terminals, points: 3, bridged: [1-3]}}
  F2: {{kind: fuse, rating: {rating}, class: gG}}
  E1: {{kind: load, rated: 230 V AC 230 W, metal: false}}
{more}
wires:
  - {{wire: 1, from: X0:L, to: X1:1, size: 25 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 2, from: X1:2, to: F2:1, size: {size}, insulation: pvc-70, length: {length}{laid}}}
  - {{wire: 3, from: F2:2, to: E1:1, size: 6 mm2, insulation: pvc-70, length: 1 m}}
  - {{wire: 4, from: E1:2, to: X0:N, size: 25 mm2, insulation: pvc-70, length: 1 m}}
"""


def of_tap(text: str, book: str = "iec") -> Finding:
    [finding] = (one for one in fired(SLUG, design(text, book)) if one.subjects[0] == "2")
    return finding


# IEC 60204-1:2016, 7.2.8: at most 3 m, in the enclosure or a duct; IEC 60364-4-43, 433.2.2: the device at the end
# guards the conductor, so its rating is not above the ampacity: 2.5 mm2 in the open 26 A (IEC 60204-1, table 6, E: 24 A
# at 40 °C).
@pytest.mark.parametrize(
    ("length", "rating", "route", "signal"),
    [
        ("0.6 m", "16 A", "", Signal.NOTICE),
        ("3 m", "16 A", "", Signal.NOTICE),
        ("3.1 m", "16 A", "", Signal.WARNING),
        ("0.6 m", "32 A", "", Signal.WARNING),
        ("0.6 m", "16 A", "out", Signal.WARNING),
        ("0.6 m", "16 A", "pipe", Signal.NOTICE),
    ],
)
def test_a_tap_under_iec(length: str, rating: str, route: str, signal: Signal) -> None:
    assert of_tap(plan("2.5 mm2", length, rating, route=route)).signal is signal


# NFPA 70:2023, 240.21(B)(1): 10 ft, out of the cabinet a tenth of the device in front; (2) and 430.28(2): 25 ft, a
# third of it, one device at the end. 14 AWG may have 15 A, 10 AWG 30 A (240.4(D)).
@pytest.mark.parametrize(
    ("size", "length", "rating", "front", "route", "signal"),
    [
        ("10 AWG", "10 ft", "25 A", "100 A", "", Signal.NOTICE),
        ("10 AWG", "10 ft", "35 A", "100 A", "", Signal.WARNING),
        ("10 AWG", "11 ft", "25 A", "100 A", "", Signal.WARNING),
        ("10 AWG", "24 ft", "25 A", "63 A", "", Signal.NOTICE),
        ("10 AWG", "26 ft", "25 A", "63 A", "", Signal.WARNING),
        ("14 AWG", "9 ft", "10 A", "200 A", "", Signal.NOTICE),
        ("14 AWG", "9 ft", "10 A", "200 A", "pipe", Signal.WARNING),
        ("14 AWG", "9 ft", "10 A", "100 A", "pipe", Signal.NOTICE),
    ],
)
def test_a_tap_in_north_america(size: str, length: str, rating: str, front: str, route: str, signal: Signal) -> None:
    text = plan(size, length, rating, front, route=route).replace("230 V", "120 V").replace("25 mm2", "240 mm2")
    assert of_tap(text, "na").signal is signal


def test_the_notice_says_how_it_must_lie() -> None:
    assert_says(
        of_tap(plan("2.5 mm2", "0.6 m", "16 A")),
        "NOTICE",
        limit=(3.0, "m", "IEC 60204-1 7.2.8"),
        number=("length", 0.6, "m"),
        mend="Lay 2 apart from sharp edges, moving parts and what burns, or make them thicker.",
    )


def test_the_length_counts_from_where_the_conductors_become_thin() -> None:
    """2 m and 2 m of one size in a row are 4 m."""
    more = "  X2: {kind: terminals, points: 2, bridged: [1-2]}"
    text = plan("2.5 mm2", "2 m", "16 A", more=more).replace("from: X1:2, to: F2:1", "from: X1:2, to: X2:1")
    text += "  - {wire: 5, from: X2:2, to: F2:1, size: 2.5 mm2, insulation: pvc-70, length: 2 m}\n"
    assert {one.signal for one in fired(SLUG, design(text))} == {Signal.WARNING}
    assert {one.signal for one in fired(SLUG, design(text.replace("length: 2 m", "length: 1 m")))} == {Signal.NOTICE}


def test_a_length_that_is_not_given_counts_as_too_long() -> None:
    assert of_tap(plan("2.5 mm2", "1 m", "16 A").replace("length: 1 m}\n  - {wire: 3", "}\n  - {wire: 3")).signal is (
        Signal.WARNING
    )


def test_a_load_ahead_of_the_device_is_no_tap() -> None:
    more = "  E2: {kind: load, rated: 230 V AC 50 W, metal: false}"
    text = plan("2.5 mm2", "0.6 m", "16 A", more=more)
    text += "  - {wire: 6, from: F2:1, to: E2:1, size: 25 mm2, insulation: pvc-70, length: 1 m}\n"
    text += "  - {wire: 7, from: E2:2, to: X0:N, size: 25 mm2, insulation: pvc-70, length: 1 m}\n"
    assert of_tap(text).signal is Signal.WARNING


@pytest.mark.parametrize(("second", "signal"), [("4 A", Signal.NOTICE), ("16 A", Signal.WARNING)])
def test_devices_side_by_side_count_together(second: str, signal: Signal) -> None:
    """16 A and 4 A are 20 A, 16 A twice are 32 A, and 2.5 mm2 bears 24 A in the open."""
    more = (
        f"  F3: {{kind: fuse, rating: {second}, class: gG}}\n  E2: {{kind: load, rated: 230 V AC 50 W, metal: false}}"
    )
    text = plan("2.5 mm2", "0.6 m", "16 A", more=more)
    text += "  - {wire: 6, from: F2:1, to: F3:1, size: 25 mm2, insulation: pvc-70, length: 1 m}\n"
    text += "  - {wire: 8, from: F3:2, to: E2:1, size: 25 mm2, insulation: pvc-70, length: 1 m}\n"
    text += "  - {wire: 7, from: E2:2, to: X0:N, size: 25 mm2, insulation: pvc-70, length: 1 m}\n"
    assert of_tap(text).signal is signal


@given(st.sampled_from([0.5, 1.0, 2.0, 2.9, 3.1, 5.0]), st.sampled_from([2, 6, 10, 16, 20, 25, 32]))
def test_a_shorter_tap_or_a_smaller_device_never_makes_it_worse(metres: float, rating: int) -> None:
    rank = of_tap(plan("2.5 mm2", f"{metres} m", f"{rating} A")).signal.rank
    assert of_tap(plan("2.5 mm2", f"{metres / 2} m", f"{rating} A")).signal.rank >= rank
    assert of_tap(plan("2.5 mm2", f"{metres} m", f"{rating / 2} A")).signal.rank >= rank
