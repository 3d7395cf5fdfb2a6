"""Nothing limits the current of a conductor behind a source that does not limit by itself."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "conductor-unprotected"


def behind_a_transformer(tap_m: float) -> str:
    return f"""
parts:
  T1: {{kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 100 VA}}
  F1: {{kind: fuse, rating: 4 A, class: T}}
  E1: {{kind: load, rated: 24 V AC 50 W}}
wires:
  - {{wire: 1, from: "T1:2.1", to: F1:1, size: 1.5 mm2, length: {tap_m} m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 1.5 mm2, length: 1 m}}
  - {{wire: 3, from: "T1:2.2", to: E1:2, size: 1.5 mm2, length: 1 m}}
"""


def test_the_finding_points_at_the_first_conductor_behind_the_source() -> None:
    assert_marked("""
parts:
  T1: {kind: transformer, primary: 230 V AC, secondary: 24 V AC, rated: 100 VA}
  E1: {kind: load, rated: 24 V AC 50 W}
wires:
  - {wire: 1, from: "T1:2.1", to: E1:1, size: 1.5 mm2, length: 1 m}   #! conductor-unprotected
  - {wire: 2, from: "T1:2.2", to: E1:2, size: 1.5 mm2, length: 1 m}
""")


@pytest.mark.parametrize(("metres", "fires"), [(2.9, False), (3.0, False), (3.1, True)])
def test_a_short_tap_to_its_fuse_may_be_bare_of_protection(metres: float, fires: bool) -> None:
    """Up to 3 m from the source to the first device (IEC 60204-1:2016, 7.2.8, from memory)."""
    assert bool(fired(SLUG, design(behind_a_transformer(metres)))) is fires


def test_a_tap_of_unknown_length_is_no_short_tap() -> None:
    text = behind_a_transformer(1.0).replace("length: 1.0 m", "title: tap", 1)
    assert fired(SLUG, design(text))


def test_a_supply_that_limits_its_current_protects_by_itself() -> None:
    assert not fired(
        SLUG,
        design("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  E1: {kind: load, rated: 24 V DC 50 W}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 1.5 mm2, length: 5 m}
  - {wire: 2, from: G1:V-, to: E1:2, size: 1.5 mm2, length: 5 m}
"""),
    )


MAINS = """
mains: {{inlet: X0, system: single-phase, voltage: 230 V{upstream}}}
parts:
  X0: {{kind: inlet}}
  E1: {{kind: heater, rated: 230 V AC 1000 W}}
wires:
  - {{wire: 1, from: X0:L, to: E1:1, size: 2.5 mm2, length: 5 m}}
  - {{wire: 2, from: X0:N, to: E1:2, size: 2.5 mm2, length: 5 m}}
  - {{wire: 3, from: X0:PE, to: E1:PE, size: 2.5 mm2, length: 5 m}}
"""


def test_an_inlet_with_no_known_device_in_front_is_not_judged() -> None:
    found = design(MAINS.format(upstream=""))
    assert fired(SLUG, found) == []
    [item] = open_questions(SLUG, found)
    assert set(item.subjects) == {"1", "2"}
    assert "upstream" in item.missing


def test_an_inlet_with_a_breaker_in_front_is_protected() -> None:
    found = design(MAINS.format(upstream=", upstream: {kind: breaker, rating: 10 A, curve: B}"))
    assert fired(SLUG, found) == []
    assert open_questions(SLUG, found) == []


def test_every_conductor_behind_one_source_is_one_finding() -> None:
    text = behind_a_transformer(1.0).replace(
        "F1: {kind: fuse, rating: 4 A, class: T}", "F1: {kind: terminals, points: 2, bridged: [1-2]}"
    )
    [finding] = fired(SLUG, design(text))
    assert finding.subjects == ("1", "2", "3", "T1")


def test_what_it_says() -> None:
    """IEC 60204-1 7.2.8: up to 3 m may go without a device; wire 1, 1 conductor, is longer."""
    [finding] = fired(SLUG, design(behind_a_transformer(3.1)))
    assert_says(finding, "WARNING", number=("conductors", 1.0, ""), mend="no larger than the thinnest one")
