"""Short circuits that burn a conductor before its device opens."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

SLUG = "conductor-burns-before-device-opens"


def branch(size: str, fault_a: float, insulation: str = "pvc-70", mains: str = "") -> str:
    fault = mains or f", fault_current: {fault_a} A"
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S{fault}}}
parts:
  X0: {{kind: inlet}}
  F1: {{kind: breaker, rating: 4 A, curve: C, breaking: 10 kA, energy_class: 1, resistance: 1 mohm}}
  E1: {{kind: load, rated: 230 V AC 100 W}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 50 mm2, insulation: pvc-70, length: 1 mm}}
  - {{wire: 2, from: F1:2, to: E1:1, size: {size}, insulation: {insulation}, length: 1 m}}
  - {{wire: 3, from: "X0:N", to: E1:2, size: 50 mm2, insulation: pvc-70, length: 1 m}}
"""


def test_the_finding_points_at_the_conductor() -> None:
    assert_marked("""
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 3 kA,
        upstream: {kind: breaker, rating: 16 A, curve: C}}
parts:
  X0: {kind: inlet}
  F1: {kind: breaker, rating: 6 A, curve: C, breaking: 6 kA}
  E1: {kind: load, rated: 230 V AC 100 W}
wires:
  - {wire: 1, from: X0:L, to: F1:1, size: 4 mm2, insulation: pvc-70, length: 0.3 m}
  - {wire: 2, from: F1:2, to: E1:1, size: 0.75 mm2, length: 1 m}  #! conductor-burns-before-device-opens
  - {wire: 3, from: "X0:N", to: E1:2, size: 4 mm2, insulation: pvc-70, length: 1 m}
""")


# IEC 60364-4-43, 434.5.2 with k = 115 (PVC): 0.75 mm2 bears (115 x 0.75)² = 7439 A2s. Half a cycle, 10 ms, of 862.5 A
# is as much. Where the branch begins the loop is that of the mains, 1 milliohm of breaker and 1 m of 50 mm2 back.
@pytest.mark.parametrize(("fault_a", "fires"), [(850, False), (880, True)])
def test_the_limit_of_a_conductor_in_pvc(fault_a: float, fires: bool) -> None:
    assert bool(fired(SLUG, design(branch("0.75 mm2", fault_a)))) is fires


# Half a cycle of 60 Hz is 8.33 ms: 7439 A2s are reached at 944.9 A there, not at 862.5 A.
@pytest.mark.parametrize(("hertz", "fault_a", "fires"), [(50, 900, True), (60, 900, False), (60, 980, True)])
def test_half_a_cycle_is_that_of_the_mains(hertz: int, fault_a: float, fires: bool) -> None:
    text = branch("0.75 mm2", fault_a).replace("50 Hz", f"{hertz} Hz")
    assert bool(fired(SLUG, design(text))) is fires


# NFPA 70, 240.4(D) takes 14 AWG behind 15 A whatever the fault current; UL 489 promises no energy (from memory). Half a
# cycle of 60 Hz of some 3.5 kA is 100 000 A2s, and (115 x 2.08)2 is 57 200 A2s; a breaker that limits passes less.
@pytest.mark.parametrize(
    ("data", "fires", "asks"),
    [
        ("", False, "and its `curve`"),
        (", curve: C", False, "`energy_class: 3`"),
        (", curve: C, energy_class: 1", True, ""),
    ],
)
def test_a_branch_breaker_that_says_nothing_of_energy_is_asked(data: str, fires: bool, asks: str) -> None:
    text = branch("14 AWG", 4500, "THHN").replace("rating: 4 A, curve: C", f"rating: 15 A{data}")
    text = text.replace(", energy_class: 1, resistance", ", resistance").replace("pvc-70", "THHN")
    text = text.replace("50 Hz", "60 Hz").replace("length: 1 m}", "length: 0.1 m}").replace("50 mm2", "1/0 AWG")
    found = design(text.replace("230 V", "120 V"), "na")
    assert bool(fired(SLUG, found)) is fires
    assert [asks in item.missing for item in open_questions(SLUG, found)] == ([True] if asks else [])


def feeder(book: str, neutral: str, control_neutral: str) -> str:
    """Two fused circuits behind the building's breaker: a trunk of the neutral to a row, and from there one each."""
    thick, thin = ("6 mm2", "1 mm2") if book == "iec" else ("8 AWG", "14 AWG")
    insulation = "pvc-70" if book == "iec" else "pvc-90"
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 120 V, frequency: 60 Hz, earthing: TN-C-S, fault_current: 5 kA,
        upstream: {{kind: breaker, rating: 15 A, curve: C, energy_class: 1}}}}
parts:
  X0: {{kind: inlet}}
  X1: {{kind: terminals, points: 3, bridged: [1-3]}}
  F1: {{kind: fuse, rating: 3 A, class: {"gG" if book == "iec" else "CC"}, breaking: 50 kA}}
  F2: {{kind: fuse, rating: 2 A, class: {"gG" if book == "iec" else "CC"}, breaking: 50 kA}}
  E1: {{kind: load, rated: 120 V AC 100 W}}
  E2: {{kind: load, rated: 120 V AC 50 W}}
wire_types: {{w: {{insulation: {insulation}, length: 0.5 m}}}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: {thick}, type: w}}
  - {{wire: 2, from: F1:1, to: F2:1, size: {thick}, type: w}}
  - {{wire: 3, from: F1:2, to: E1:1, size: {thin}, type: w}}
  - {{wire: 4, from: F2:2, to: E2:1, size: {thin}, type: w}}
  - {{wire: 5, from: "X0:N", to: X1:1, size: {neutral}, type: w}}
  - {{wire: 6, from: X1:2, to: E1:2, size: {thin}, type: w}}
  - {{wire: 7, from: X1:3, to: E2:2, size: {control_neutral}, type: w}}
"""


# The law of IEC 60364-4-43, 431.2, and NFPA 70, 240.4: the neutral is guarded as the line beside it is. The half cycle
# of 60 Hz, 8.3 ms, of 4 kA is 133000 A2s, and the 10 ms of 50 Hz that a breaker is taken for 160000 A2s: (115 x 1)² =
# 13000 and 14 AWG's (93 x 2.08)² = 37400 burn, (115 x 6)² = 476000 and 8 AWG's (93 x 8.37)² = 606000 do not. Behind its
# own fuse a thin one is right.
@pytest.mark.parametrize(("book", "thick", "thin"), [("iec", "6 mm2", "1 mm2"), ("na", "8 AWG", "14 AWG")])
def test_a_neutral_ahead_of_the_first_device_is_held_against_the_building(book: str, thick: str, thin: str) -> None:
    assert not fired(SLUG, design(feeder(book, thick, thin), book))
    [found] = fired(SLUG, design(feeder(book, thin, thin), book))
    assert found.subjects == ("5",)
    assert "in front of the machine" in found.summary


# 18 AWG in PVC bears (93 x 0.823)² = 5860 A2s, and the line beside it at the inlet is ahead of both fuses.
def test_a_thin_neutral_of_one_fuse_may_not_begin_at_the_inlet() -> None:
    plan = feeder("na", "8 AWG", "18 AWG").replace("from: X1:3, to: E2:2", 'from: "X0:N", to: E2:2')
    [found] = fired(SLUG, design(plan, "na"))
    assert found.subjects == ("7",)


# A half cycle of 60 Hz at 3.5 kA behind a breaker of 10 A is 102000 A2s; a fuse of 2 A passes some hundred.
@pytest.mark.parametrize(("trunk", "burns"), [("14 AWG", True), ("8 AWG", False)])
def test_the_weakest_short_circuit_does_not_hide_what_the_larger_device_lets_through(trunk: str, burns: bool) -> None:
    plan = feeder("na", trunk, "14 AWG").replace(
        "upstream: {kind: breaker, rating: 15 A, curve: C, energy_class: 1}", ""
    )
    larger = "F1: {kind: breaker, rating: 10 A, curve: C, energy_class: 1, breaking: 10 kA}"
    plan = plan.replace("F1: {kind: fuse, rating: 3 A, class: CC, breaking: 50 kA}", larger)
    [found] = fired(SLUG, design(plan, "na"))
    assert {"3", "6", "F1"} <= set(found.subjects)
    assert ("5" in found.subjects) is burns


def from_a_row(poles: int, to: str, size: str) -> str:
    """A circuit of 6 A behind a fuse of the building of 63 A, its neutral from a row where its line is not."""
    back = "  - {wire: 6, from: F1:4, to: E1:2, size: 1.5 mm2, length: 2 m, insulation: pvc-70}\n" if poles == 2 else ""
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA,
        upstream: {{kind: fuse, rating: 63 A, class: gG}}}}
parts:
  X0: {{kind: inlet, poles: [L, N, PE], rated: 63 A}}
  XL: {{kind: terminals, points: 2, bridged: [1-2]}}
  XN: {{kind: terminals, points: 2, bridged: [1-2]}}
  F1: {{kind: breaker, poles: {poles}, rating: 6 A, curve: B, breaking: 6 kA, energy_class: 3}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: XL:1, size: 16 mm2, length: 0.3 m, insulation: pvc-70}}
  - {{wire: 2, from: X0:N, to: XN:1, size: 16 mm2, length: 0.3 m, insulation: pvc-70}}
  - {{wire: 3, from: XL:2, to: F1:1, size: 16 mm2, length: 0.3 m, insulation: pvc-70}}
  - {{wire: 4, from: XN:2, to: {to}, size: {size}, length: 0.3 m, insulation: pvc-70}}
  - {{wire: 5, from: F1:2, to: E1:1, size: 1.5 mm2, length: 2 m, insulation: pvc-70}}
{back}"""


# k²S² of 1.5 mm² in PVC is 29,756 A²s (k = 115, IEC 60364-4-43, table 43A). A fuse of 63 A lets through more than that
# (IEC 60269-1, table 7: 9,000 to 27,000 A²s before the arc alone, from memory), a breaker of 6 A and class 3 less.
@pytest.mark.parametrize(
    ("poles", "to", "size", "burns"),
    [(2, "F1:3", "1.5 mm2", True), (2, "F1:3", "16 mm2", False), (1, "E1:2", "1.5 mm2", False)],
)
def test_a_neutral_from_a_row_bears_what_comes_back_through_it(poles: int, to: str, size: str, burns: bool) -> None:
    """To the input of a breaker of two poles comes what the building lets through; straight from the load what the
    breaker in its line does: a short circuit of that line with its neutral passes that breaker first."""
    found = fired(SLUG, design(from_a_row(poles, to, size)))
    assert [one.subjects for one in found] == ([("4",)] if burns else [])


def test_unknown_things_are_not_judged() -> None:
    assert (
        "fault_current"
        in open_questions(
            SLUG, design(branch("0.75 mm2", 0, mains=", fault_current: 1 kA").replace(", fault_current: 1 kA", ""))
        )[0].missing
    )
    found = open_questions(SLUG, design(branch("0.75 mm2", 3000, "ptfe-200")))
    assert [item.subjects for item in found] == [("2",)]


@given(
    st.sampled_from(("0.5", "0.75", "1.0", "1.5", "2.5", "4")),
    st.sampled_from(("0.5", "0.75", "1.0", "1.5", "2.5", "4")),
)
def test_a_thicker_conductor_bears_whatever_a_thinner_one_bears(first: str, second: str) -> None:
    thin, thick = sorted((first, second), key=float)
    if not fired(SLUG, design(branch(f"{thin} mm2", 1500))):
        assert not fired(SLUG, design(branch(f"{thick} mm2", 1500)))


def test_what_it_says() -> None:
    """IEC 60364-4-43 434.5.2, k = 115: half a cycle, 10 ms, of what 230 V drive through the mains and 1 mohm of
    breaker."""
    [finding] = fired(SLUG, design(branch("0.75 mm2", 880)))
    assert_says(
        finding,
        "WARNING",
        limit=((115 * 0.75) ** 2, "A2s", "IEC 60364-5-54 table A.54.4"),
        number=("let through", (230 / (230 / 880 + 0.001)) ** 2 * 0.010, "A2s"),
        mend="Make 2 of 1.0 mm2",
    )


# EN 60898-1, class 3, curve C up to 16 A: 84 000 A2s at 10 kA (from memory), in proportion 25 200 A2s at 3 kA; 1.5 mm2
# in PVC bears (115 x 1.5)² = 29 756 A2s, and half a cycle of 3 kA is 90 000 A2s.
@pytest.mark.parametrize(
    ("data", "fires", "asks"),
    [("", False, True), (", energy_class: 3", False, False), (", energy_class: 1", True, False)],
)
def test_the_energy_class_of_a_breaker_is_asked_for_and_counts(data: str, fires: bool, asks: bool) -> None:
    found = design(branch("1.5 mm2", 3000).replace(", energy_class: 1", data))
    assert bool(fired(SLUG, found)) is fires
    assert [item.subjects for item in open_questions(SLUG, found)] == ([("F1",)] if asks else [])


def test_a_breaker_of_class_3_still_burns_what_is_too_thin() -> None:
    """0.75 mm2 bears 7 439 A2s, less than the 25 200 A2s of class 3."""
    thin = branch("0.75 mm2", 3000).replace("energy_class: 1", "energy_class: 3")
    assert fired(SLUG, design(thin))


@pytest.mark.parametrize(("data", "asks"), [("", True), (", energy_class: 3", False)])
def test_the_energy_class_of_the_breaker_of_the_building_is_asked_for(data: str, asks: bool) -> None:
    text = branch("1.5 mm2", 3000).replace(
        "fault_current:", f"upstream: {{kind: breaker, rating: 10 A, curve: C{data}}}, fault_current:"
    )
    text = text.replace(
        "size: 50 mm2, insulation: pvc-70, length: 1 mm", "size: 1.5 mm2, insulation: pvc-70, length: 0.3 m"
    )
    found = [one.subjects for one in open_questions(SLUG, design(text.replace("energy_class: 1", "energy_class: 3")))]
    assert found == ([("1",)] if asks else [])


def test_between_two_points_a_fuse_is_no_slower_than_the_line_between_them() -> None:
    """Class CC of 10 A opens within 120 s at 20 A, in half a cycle at 300 A (UL 248-4, from memory). On the line of
    them, both scales logarithmic, that is 120 s x 14.5 ^ -3.54 = 9 ms at 290 A: 800 A2s, where 24 AWG bears
    (105 x 0.205)² = 460 A2s and 20 AWG (105 x 0.519)² = 3000 A2s, but 20 A for 120 s would be 48,000 A2s."""
    text = """
mains: {inlet: X0, system: single-phase, voltage: 120 V, frequency: 60 Hz, earthing: TN-S, fault_current: 290 A}
parts:
  X0: {kind: inlet}
  F1: {kind: fuse, rating: 10 A, class: CC, time_delay: true, resistance: 0 ohm}
  E1: {kind: heater, rated: 120 V AC 100 W}
wires:
  - {wire: 1, from: X0:L, to: F1:1, size: 4 AWG, insulation: MTW, length: 1 mm}
  - {wire: 2, from: F1:2, to: E1:1, size: SIZE AWG, insulation: MTW, length: 1 mm}
  - {wire: 3, from: X0:N, to: E1:2, size: 4 AWG, insulation: MTW, length: 1 mm}
"""
    told = {size: bool(fired(SLUG, design(text.replace("SIZE", size), "na"))) for size in ("20", "24")}
    assert told == {"20": False, "24": True}
