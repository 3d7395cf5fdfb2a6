"""The supply disconnecting device: IEC 60204-1:2016 5.3 and NFPA 79 5.3, from memory."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.findings import Signal
from wiring.plan.edits import SetValue

SLUG = "main-switch-missing"
MAINS = "mains: {inlet: X0, system: single-phase, voltage: 230 V, upstream: {kind: breaker, rating: 16 A, curve: B}}\n"


def without(rated: str = "rated: 16 A", more: str = "", line: str = "X0:L") -> str:
    return f"""{MAINS}
parts:
  X0: {{kind: inlet, {rated}}}
  E1: {{kind: heater, rated: 230 V AC 100 W, metal: false}}
{more}
wires:
  - {{wire: 1, from: "{line}", to: E1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: X0:N, to: E1:2, size: 2.5 mm2, length: 1 m}}
"""


@pytest.mark.parametrize(("amps", "count"), [(10, 0), (16, 0), (16.1, 1), (32, 1)])
def test_a_plug_serves_up_to_16_amperes(amps: float, count: int) -> None:
    assert len(fired(SLUG, design(without(f"rated: {amps} A")))) == count


def test_an_inlet_without_rating_is_asked_for_it() -> None:
    plan = design(without("poles: [L, N, PE]"))
    assert fired(SLUG, plan) == []
    [item] = open_questions(SLUG, plan)
    assert item.subjects == ("X0",)


def test_no_mains_no_switch() -> None:
    assert fired(SLUG, design(without("rated: 32 A").replace(MAINS, ""))) == []


BREAKER = "  F1: {kind: breaker, poles: 2, rating: 16 A, curve: B}\n"


def behind_breaker(second: str) -> str:
    return f"""{MAINS}
parts:
  X0: {{kind: inlet, rated: 32 A}}
{BREAKER}
  E1: {{kind: heater, rated: 230 V AC 100 W, metal: false}}
  E2: {{kind: heater, rated: 230 V AC 100 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: F1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: X0:N, to: F1:3, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, through: [F1:4, E1:2, E2:2], size: 2.5 mm2, length: 1 m}}
  - {{wire: 4, from: F1:2, to: E1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 5, from: {second}, to: E2:1, size: 2.5 mm2, length: 1 m}}
"""


def test_a_breaker_serves_when_everything_hangs_behind_it() -> None:
    """5.3.2 c: a circuit-breaker suitable for isolation."""
    assert fired(SLUG, design(behind_breaker("F1:2"))) == []
    assert len(fired(SLUG, design(behind_breaker("F1:1")))) == 1


def test_one_line_past_the_switch_is_told_where_it_leaves() -> None:
    assert_marked("""
mains: {inlet: X0, system: three-phase, voltage: 400 V, upstream: {kind: breaker, rating: 16 A, curve: B}}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE], rated: 16 A}
  Q1: {kind: disconnector, poles: 3, rated: 20 A, lockable: true}
  E1: {kind: heater, rated: 400 V AC 1000 W, metal: false}
  E2: {kind: heater, rated: 400 V AC 1000 W, metal: false}
wires:
  - {wire: 1, from: X0:L1, to: Q1:1, size: 2.5 mm2, length: 1 m, colour: BK}
  - {wire: 2, from: X0:L2, to: Q1:3, size: 2.5 mm2, length: 1 m, colour: BK}
  - {wire: 3, from: X0:L3, to: E2:2, size: 2.5 mm2, length: 1 m, colour: BK}   #! main-switch-missing
  - {wire: 4, through: [Q1:2, E1:1], size: 2.5 mm2, length: 1 m, colour: BK}
  - {wire: 5, through: [Q1:4, E1:2], size: 2.5 mm2, length: 1 m, colour: BK}
  - {wire: 6, from: E1:1, to: E2:1, size: 2.5 mm2, length: 1 m, colour: BK}
""")


def tapped(colour: str) -> str:
    return f"""{MAINS}
parts:
  X0: {{kind: inlet, rated: 16 A}}
  Q1: {{kind: disconnector, poles: 1, rated: 20 A, lockable: true}}
  E1: {{kind: heater, rated: 230 V AC 100 W, metal: false}}
  H1: {{kind: lamp, rated: 230 V AC 5 W}}
wires:
  - {{wire: 1, from: X0:L, to: Q1:1, size: 2.5 mm2, length: 1 m, colour: BK}}
  - {{wire: 2, through: [X0:N, E1:2, H1:X2], size: 2.5 mm2, length: 1 m, colour: LBU}}
  - {{wire: 3, from: Q1:2, to: E1:1, size: 2.5 mm2, length: 1 m, colour: BK}}
  - {{wire: 4, from: Q1:1, to: H1:X1, size: 2.5 mm2, length: 1 m, colour: {colour}}}
"""


def test_orange_marks_what_must_stay_live() -> None:
    """IEC 60204-1 5.3.5 (one source) and NFPA 79 13.2.4 (public): excepted circuits are orange."""
    assert fired(SLUG, design(tapped("OG"))) == []
    [finding] = fired(SLUG, design(tapped("BK")))
    assert finding.subjects == ("4", "H1")


@pytest.mark.parametrize(("lockable", "signals", "questions"), [(", lockable: true", [], 0), ("", [], 1)])
def test_locking(lockable: str, signals: list[Signal], questions: int) -> None:
    plan = design(tapped("OG").replace(", lockable: true", lockable))
    assert [finding.signal for finding in fired(SLUG, plan)] == signals
    assert len([one for one in open_questions(SLUG, plan) if "locked" in one.missing]) == questions


@pytest.mark.parametrize(("earthing", "told"), [("TT", True), ("IT", True), ("TN-S", False), ("TN-C-S", False)])
def test_the_neutral_is_cut_where_it_may_be_live(earthing: str, told: bool) -> None:
    """IEC 60204-1, 5.3.3 (from memory): every live conductor, and the neutral may stay in a TN system alone."""
    found = fired(SLUG, design(tapped("OG").replace("voltage: 230 V", f"voltage: 230 V, earthing: {earthing}", 1)))
    assert [(one.signal, one.subjects) for one in found] == ([(Signal.CAUTION, ("Q1", "E1", "H1"))] if told else [])


def test_an_earthing_system_that_is_not_said_is_asked() -> None:
    [item] = open_questions(SLUG, design(tapped("OG")))
    assert "earthing" in item.missing


def test_a_switch_that_cannot_be_locked() -> None:
    [finding] = fired(SLUG, design(tapped("OG").replace("lockable: true", "lockable: false")))
    assert finding.signal is Signal.CAUTION
    assert finding.subjects == ("Q1",)


@given(st.sampled_from(["OG", "BK", "RD"]), st.booleans())
def test_opening_more_never_leaves_more_live(colour: str, second: bool) -> None:
    """A switch in the tap as well takes the finding away whatever its colour."""
    body = tapped(colour)
    before = len(fired(SLUG, design(body)))
    if second:
        switch = "  Q2: {kind: disconnector, poles: 1, rated: 20 A, lockable: true}\n"
        body = body.replace("  H1: {kind", f"{switch}  H1: {{kind")
        body = body.replace("from: Q1:1, to: H1:X1", "from: Q2:2, to: H1:X1")
        body += "  - {wire: 5, from: Q1:1, to: Q2:1, size: 2.5 mm2, length: 1 m, colour: BK}\n"
        assert fired(SLUG, design(body)) == []
    assert before == (colour != "OG")


def test_what_it_says() -> None:
    """IEC 60204-1 5.3.2: a plug serves up to 16 A; the inlet has 16.1 A."""
    [finding] = fired(SLUG, design(without("rated: 16.1 A")))
    assert_says(
        finding,
        "WARNING",
        limit=(16.0, "A", "IEC 60204-1 5.3.2"),
        number=("inlet", 16.1, "A"),
        mend="lockable disconnector",
    )


def test_what_leaves_in_front_of_the_switch_is_led_to_the_other_side_of_the_same_pole() -> None:
    """IEC 60947-1 marks the poles of a switch 1-2, 3-4, 5-6."""
    body = f"""{MAINS}
parts:
  X0: {{kind: inlet, rated: 16 A}}
  Q1: {{kind: disconnector, poles: 2, rated: 20 A, lockable: true}}
  E1: {{kind: heater, rated: 230 V AC 100 W, metal: false}}
  E2: {{kind: heater, rated: 230 V AC 100 W, metal: false}}
wires:
  - {{wire: 1, from: X0:L, to: Q1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: X0:N, to: Q1:3, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: Q1:2, to: E1:1, size: 2.5 mm2, length: 1 m}}
  - {{wire: 4, through: ["Q1:4", "E1:2", "E2:2"], size: 2.5 mm2, length: 1 m}}
  - {{wire: 5, from: Q1:1, to: E2:1, size: 2.5 mm2, length: 1 m}}
"""
    [finding] = fired(SLUG, design(body))
    assert finding.subjects[0] == "5"
    assert finding.mends[0].edits == (SetValue(("wires", "5", "from"), '"Q1:2"'),)
