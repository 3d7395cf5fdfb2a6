"""A protective conductor is thinner than what it answers for asks."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "protective-conductor-too-small"


def body(line: str, earth: str, at: str = "cabinet", rating: float = 16) -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: {rating} A, curve: B}}}}
parts:
  X0: {{kind: inlet}}
  E1: {{kind: heater, rated: 230 V AC 1000 W, at: {at}}}
wires:
  - {{wire: 1, from: X0:L, to: E1:1, size: {line}, length: 1 m}}
  - {{wire: 2, from: X0:N, to: E1:2, size: {line}, length: 1 m}}
  - {{wire: PE1, from: X0:PE, to: E1:PE, size: {earth}, length: 1 m}}
"""


def test_the_finding_points_at_the_conductor() -> None:
    text = body("2.5 mm2", "1 mm2")
    assert_marked(text.replace("size: 1 mm2, length: 1 m}", "size: 1 mm2, length: 1 m}   #! " + SLUG))


# IEC 60204-1:2016 table 1 (and IEC 60364-5-54 table 54.2): S up to 16 mm2; 16 mm2 up to 35; half of S above.
@pytest.mark.parametrize(
    ("line", "least", "next_smaller"),
    [
        ("4 mm2", "4 mm2", "2.5 mm2"),
        ("10 mm2", "10 mm2", "6 mm2"),
        ("16 mm2", "16 mm2", "10 mm2"),
        ("25 mm2", "16 mm2", "10 mm2"),
        ("35 mm2", "16 mm2", "10 mm2"),
        ("50 mm2", "25 mm2", "16 mm2"),
        ("70 mm2", "35 mm2", "25 mm2"),
    ],
)
def test_the_limit_is_table_1(line: str, least: str, next_smaller: str) -> None:
    assert fired(SLUG, design(body(line, least))) == []
    [finding] = fired(SLUG, design(body(line, next_smaller)))
    assert finding.subjects == ("PE1",)
    assert finding.mend == (f"Make PE1 of {least}.",)


def test_a_separate_one_outside_the_cabinet_is_thicker() -> None:
    """2.5 mm2 where it is not part of a cable (IEC 60364-5-54:2011, 543.1.3, one source; IEC 60204-1, 8.2.2)."""
    assert fired(SLUG, design(body("1.5 mm2", "1.5 mm2", at="cabinet"))) == []
    assert fired(SLUG, design(body("1.5 mm2", "1.5 mm2", at="machine")))
    assert fired(SLUG, design(body("1.5 mm2", "2.5 mm2", at="machine"))) == []


# NFPA 79:2021 table 8.2.2.3 and NFPA 70 table 250.122, copper: by the rating of the device ahead (from memory).
@pytest.mark.parametrize(
    ("rating", "least", "next_smaller"),
    [(15, "14 AWG", "16 AWG"), (20, "12 AWG", "14 AWG"), (60, "10 AWG", "12 AWG"), (100, "8 AWG", "10 AWG")],
)
def test_the_limit_in_north_america(rating: float, least: str, next_smaller: str) -> None:
    assert fired(SLUG, design(body("2 AWG", least, rating=rating), "na")) == []
    assert fired(SLUG, design(body("2 AWG", next_smaller, rating=rating), "na"))


def test_a_line_without_a_device_is_not_judged_in_north_america() -> None:
    text = body("14 AWG", "14 AWG").replace(", upstream: {kind: breaker, rating: 16 A, curve: B}", "")
    found = design(text, "na")
    assert fired(SLUG, found) == []
    [item] = open_questions(SLUG, found)
    assert item.subjects == ("PE1",)


def test_a_conductor_without_a_size_is_not_judged() -> None:
    text = body("2.5 mm2", "9 mm2").replace("size: 9 mm2, ", "")
    [item] = open_questions(SLUG, design(text))
    assert item.subjects == ("PE1",)
    assert "size" in item.missing


SIZES = [0.75, 1.0, 1.5, 2.5, 4.0, 6.0, 10.0, 16.0, 25.0, 35.0, 50.0, 70.0, 95.0]


@given(st.sampled_from(SIZES), st.sampled_from(SIZES[:-1]))
def test_a_thicker_one_never_makes_it_worse_and_as_thick_as_the_line_always_passes(line: float, earth: float) -> None:
    if not fired(SLUG, design(body(f"{line} mm2", f"{earth} mm2"))):
        thicker = SIZES[SIZES.index(earth) + 1]
        assert not fired(SLUG, design(body(f"{line} mm2", f"{thicker} mm2")))
    assert not fired(SLUG, design(body(f"{line} mm2", f"{line} mm2")))


@pytest.mark.parametrize(("size", "fires"), [("1.5 mm2", True), ("2.5 mm2", False)])
def test_a_conductor_between_two_bars_answers_for_what_hangs_behind_it(size: str, fires: bool) -> None:
    """IEC 60204-1:2016, table 1: as thick as the line conductor, 2.5 mm2, of the heater on the second bar."""
    text = body("2.5 mm2", "2.5 mm2").replace(
        "  E1:", "  XPE: {kind: earth-bar, points: 3}\n  XP2: {kind: earth-bar, points: 3}\n  E1:"
    )
    text = text.replace("from: X0:PE, to: E1:PE", "from: XP2:2, to: E1:PE")
    text += "  - {wire: PE2, from: X0:PE, to: XPE:1, size: 4 mm2, length: 1 m}\n"
    text += f"  - {{wire: PE3, from: XPE:2, to: XP2:1, size: {size}, length: 1 m}}\n"
    assert [finding.subjects for finding in fired(SLUG, design(text))] == ([("PE3",)] if fires else [])


INCOMING = """
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: 40 A, curve: B}}}}
parts:
  X0: {{kind: inlet}}
  XPE: {{kind: earth-bar, points: 4}}
  F1: {{kind: breaker, poles: 2, rating: 10 A, curve: B, breaking: 6 kA}}
  E1: {{kind: heater, rated: 230 V AC 1000 W, at: cabinet}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 6 mm2, length: 1 m}}
  - {{wire: 2, from: "X0:N", to: F1:3, size: {neutral}, length: 1 m}}
  - {{wire: 3, from: F1:2, to: E1:1, size: 1.5 mm2, length: 1 m}}
  - {{wire: 4, from: F1:4, to: E1:2, size: 1.5 mm2, length: 1 m}}
  - {{wire: PE1, from: X0:PE, to: XPE:1, size: {main}, length: 1 m}}
  - {{wire: PE2, from: {start}, to: E1:PE, size: {branch}, length: 1 m}}
"""


@pytest.mark.parametrize(
    ("main", "branch", "start", "fires"),
    [
        ("6 mm2", "1.5 mm2", "XPE:2", []),
        ("4 mm2", "1.5 mm2", "XPE:2", ["PE1"]),
        ("6 mm2", "1 mm2", "XPE:2", ["PE2"]),
        # one that leads from the inlet to one part answers for the line of that part, not for the incoming one
        ("6 mm2", "1.5 mm2", "X0:PE", []),
        ("6 mm2", "1 mm2", "X0:PE", ["PE2"]),
    ],
)
@pytest.mark.parametrize("neutral", ["6 mm2", "16 mm2"])
def test_the_line_that_feeds_what_lies_behind_it_counts(main, branch, start, fires, neutral) -> None:
    """IEC 60204-1:2016 table 1: by the line conductors that supply the equipment; the neutral is none of them."""
    text = INCOMING.format(main=main, branch=branch, start=start, neutral=neutral)
    assert [subject for finding in fired(SLUG, design(text)) for subject in finding.subjects] == fires


@pytest.mark.parametrize(("earth", "fires"), [("16 AWG", True), ("12 AWG", True), ("10 AWG", False)])
def test_the_device_that_clears_a_short_counts_and_no_overload_setting(earth: str, fires: bool) -> None:
    """NFPA 70 250.122(A), (D) and table 250.122: 10 AWG behind a 40 A breaker, whatever a relay of 5 A is set to."""
    text = f"""
mains: {{inlet: X0, system: three-phase, voltage: 208 V, upstream: {{kind: breaker, rating: 40 A, curve: C}}}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, PE]}}
  Q1: {{kind: motor-protector, setting: 5 A, magnetic: false}}
  M1: {{kind: motor, voltage: 208 V AC, phases: 3, rated_power: 1 hp, rated_current: 4.6 A, at: cabinet}}
wires:
  - {{wire: 1, from: X0:L1, to: "Q1:1", size: 8 AWG, length: 1 m}}
  - {{wire: 2, from: X0:L2, to: "Q1:3", size: 8 AWG, length: 1 m}}
  - {{wire: 3, from: X0:L3, to: "Q1:5", size: 8 AWG, length: 1 m}}
  - {{wire: 4, from: "Q1:2", to: M1:U, size: 8 AWG, length: 1 m}}
  - {{wire: 5, from: "Q1:4", to: M1:V, size: 8 AWG, length: 1 m}}
  - {{wire: 6, from: "Q1:6", to: M1:W, size: 8 AWG, length: 1 m}}
  - {{wire: PE1, from: X0:PE, to: M1:PE, size: {earth}, length: 1 m}}
"""
    assert bool(fired(SLUG, design(text, "na"))) is fires


def test_a_split_phase_feed_knows_the_device_ahead() -> None:
    """NFPA 70 table 250.122: 12 AWG behind 20 A. The neutral, which two lines share, has no device of its own."""
    text = """
mains: {inlet: X0, system: split-phase, voltage: 240 V, upstream: {kind: breaker, rating: 20 A, curve: C}}
parts:
  X0: {kind: inlet, poles: [L1, L2, N, PE]}
  E1: {kind: heater, rated: 120 V AC 500 W, at: cabinet}
  E2: {kind: heater, rated: 120 V AC 500 W, at: cabinet}
wires:
  - {wire: 1, from: X0:L1, to: E1:1, size: 12 AWG, length: 1 m}
  - {wire: 2, from: X0:L2, to: E2:1, size: 12 AWG, length: 1 m}
  - {wire: 3, through: ["X0:N", E1:2, E2:2], size: 10 AWG, length: 1 m}
  - {wire: PE1, from: X0:PE, to: E1:PE, size: 12 AWG, length: 1 m}
  - {wire: PE2, from: X0:PE, to: E2:PE, size: 14 AWG, length: 1 m}
"""
    found = design(text, "na")
    assert open_questions(SLUG, found) == []
    assert [finding.subjects for finding in fired(SLUG, found)] == [("PE2",)]


def test_a_neutral_that_feeds_nothing_hides_no_device_ahead() -> None:
    """NFPA 70 table 250.122: 12 AWG behind the 20 A of the lines."""
    text = """
mains: {inlet: X0, system: split-phase, voltage: 240 V, upstream: {kind: breaker, rating: 20 A, curve: C}}
parts:
  X0: {kind: inlet, poles: [L1, L2, N, PE]}
  XN: {kind: terminals, points: 2, bridged: [1-2]}
  E1: {kind: heater, rated: 240 V AC 500 W, at: cabinet}
wires:
  - {wire: 1, from: X0:L1, to: E1:1, size: 12 AWG, length: 1 m}
  - {wire: 2, from: X0:L2, to: E1:2, size: 12 AWG, length: 1 m}
  - {wire: N1, from: "X0:N", to: XN:1, size: 12 AWG, length: 1 m}
  - {wire: PE1, from: X0:PE, to: E1:PE, size: 12 AWG, length: 1 m}
"""
    found = design(text, "na")
    assert open_questions(SLUG, found) == []
    assert fired(SLUG, found) == []


def test_what_it_says() -> None:
    """IEC 60204-1 table 1: as the line, 4 mm2."""
    [finding] = fired(SLUG, design(body("4 mm2", "2.5 mm2")))
    assert_says(
        finding,
        "WARNING",
        limit=(4.0, "mm2", "IEC 60204-1 table 1"),
        number=("fitted", 2.5 * 1e-6, "m2"),
        mend="Make PE1 of 4 mm2",
    )


@pytest.mark.parametrize(("at", "fires"), [("machine", False), ("cabinet", True)])
def test_bare_metal_answers_for_the_lines_that_go_where_it_stands(at: str, fires: bool) -> None:
    """IEC 60204-1 table 1: 1.5 mm2 go to the machine and 6 mm2 stay in the cabinet; 2.5 mm2 are enough for the one."""
    text = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, upstream: {{kind: breaker, rating: 16 A, curve: B}}}}
parts:
  X0: {{kind: inlet}}
  E1: {{kind: heater, rated: 230 V AC 1000 W, at: cabinet, metal: false}}
  E2: {{kind: heater, rated: 230 V AC 100 W, at: machine, metal: false}}
  MP: {{kind: metalwork, at: {at}}}
wires:
  - {{wire: 1, from: X0:L, to: E1:1, size: 6 mm2, length: 1 m}}
  - {{wire: 2, from: X0:N, to: E1:2, size: 6 mm2, length: 1 m}}
  - {{wire: 3, from: X0:L, to: E2:1, size: 1.5 mm2, length: 1 m}}
  - {{wire: 4, from: X0:N, to: E2:2, size: 1.5 mm2, length: 1 m}}
  - {{wire: PE1, from: X0:PE, to: MP:1, size: 2.5 mm2, length: 1 m}}
"""
    assert bool(fired(SLUG, design(text))) is fires


# NFPA 79:2021, table 8.2.2.3: 14 AWG to 15 A, 12 AWG to 20 A (from memory).
@pytest.mark.parametrize(("rating", "fires"), [(5, []), (20, ["PE2"])])
def test_the_return_of_a_grounded_secondary_has_the_device_of_its_line(rating: int, fires: list[str]) -> None:
    text = f"""
mains: {{inlet: X0, system: split-phase, voltage: 240 V, upstream: {{kind: breaker, rating: 15 A}}}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, PE]}}
  T1: {{kind: transformer, primary: 240 V AC, secondary: 120 V AC, rated: 500 VA}}
  F1: {{kind: fuse, rating: {rating} A, class: CC}}
  E1: {{kind: heater, rated: 120 V AC 100 W}}
  XPE: {{kind: earth-bar, points: 4}}
wires:
  - {{wire: 1, from: X0:L1, to: T1:1.1, size: 14 AWG, length: 0.5 m}}
  - {{wire: 2, from: X0:L2, to: T1:1.2, size: 14 AWG, length: 0.5 m}}
  - {{wire: 3, from: T1:2.1, to: F1:1, size: 12 AWG, length: 0.5 m}}
  - {{wire: 4, from: F1:2, to: E1:1, size: 12 AWG, length: 0.5 m}}
  - {{wire: 5, from: T1:2.2, to: E1:2, size: 12 AWG, length: 0.5 m}}
  - {{wire: PE1, from: X0:PE, to: XPE:1, size: 12 AWG, length: 0.5 m}}
  - {{wire: PE2, from: XPE:2, to: E1:PE, size: 14 AWG, length: 0.5 m}}
  - {{wire: PE3, from: XPE:3, to: T1:2.2, size: 12 AWG, length: 0.5 m}}
"""
    found = design(text, "na")
    assert open_questions(SLUG, found) == []
    assert [subject for finding in fired(SLUG, found) for subject in finding.subjects] == fires


@pytest.mark.parametrize(("size", "fires"), [("16 AWG", False), ("18 AWG", True)])
def test_a_supply_that_limits_stands_for_the_device_it_needs_not(size: str, fires: bool) -> None:
    """NFPA 79:2021 table 8.2.2.3 (from memory): 16 AWG up to 10 A, to which the supply limits."""
    text = f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 120 V AC, output: 24 V DC, rated: 10 A, overload: {{mode: hiccup, limit: 100 %}}}}
  E1: {{kind: heater, rated: 24 V DC 100 W, at: cabinet}}
wires:
  - {{wire: 1, from: G1:V+, to: E1:1, size: 12 AWG, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: E1:2, size: 12 AWG, length: 1 m}}
  - {{wire: PE1, from: X0:PE, to: E1:PE, size: {size}, length: 1 m}}
"""
    assert bool(fired(SLUG, design(text, "na"))) is fires
    assert open_questions(SLUG, design(text, "na")) == []


@pytest.mark.parametrize(("size", "fires"), [("16 AWG", []), ("18 AWG", ["PE1"])])
def test_both_conductors_of_a_motor_that_two_contactors_turn_have_one_device_ahead(size: str, fires: list[str]) -> None:
    """NFPA 79:2021 table 8.2.2.3 (from memory): 16 AWG up to 10 A, of the fuse ahead of both contactors."""
    text = f"""
parts:
  XPE: {{kind: earth-bar, points: 4}}
  G1: {{kind: supply, input: 120 V AC, output: 24 V DC, rated: 20 A}}
  F1: {{kind: fuse, rating: 10 A, class: CC}}
  K4: {{kind: contactor, poles: 2, coil: 24 V DC}}
  K5: {{kind: contactor, poles: 2, coil: 24 V DC}}
  Q1: {{kind: motor-protector, poles: 2, setting: 3 A}}
  M1: {{kind: motor, voltage: 24 V DC, phases: DC, rated_power: 50 W, at: cabinet}}
wires:
  - {{wire: 1, from: G1:V+, to: F1:1, size: 12 AWG, length: 1 m}}
  - {{wire: 2, through: [F1:2, K4:1, K5:1], size: 12 AWG, length: 1 m}}
  - {{wire: 3, through: [G1:V-, K4:3, K5:3], size: 12 AWG, length: 1 m}}
  - {{wire: 4, through: [Q1:1, K4:2, K5:4], size: 12 AWG, length: 1 m}}
  - {{wire: 5, through: [Q1:3, K4:4, K5:2], size: 12 AWG, length: 1 m}}
  - {{wire: 6, from: Q1:2, to: M1:A1, size: 12 AWG, length: 1 m}}
  - {{wire: 7, from: Q1:4, to: M1:A2, size: 12 AWG, length: 1 m}}
  - {{wire: PE1, from: XPE:1, to: M1:PE, size: {size}, length: 1 m}}
  - {{wire: PE2, from: XPE:2, to: G1:V-, size: 12 AWG, length: 1 m}}
"""
    found = design(text, "na")
    assert open_questions(SLUG, found) == []
    assert [subject for finding in fired(SLUG, found) for subject in finding.subjects] == fires
