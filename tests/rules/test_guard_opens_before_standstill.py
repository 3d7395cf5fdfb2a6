"""ISO 14119 and ISO 13855, 9: a guard without locking opens on what still moves."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design, loaded
from hypothesis import given, settings
from hypothesis import strategies as st
from marked_plans import fired, open_questions
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "guard-opens-before-standstill"


def guarded(run_on: str = "1 s", more: str = "") -> str:
    """The circuit of `two_channels` with a guard switch for its emergency stop and a load that turns for its heater."""
    text = two_channels(cable=False).replace("kind: emergency-stop", f"kind: guard-switch{more}")
    lasts = f"E1: {{kind: load, hazardous: true, run_on: {run_on}, " if run_on else "E1: {kind: load, hazardous: true, "
    return text.replace("E1: {kind: heater, ", lasts)


# ISO 13855:2010, 9: 1.6 m/s; 0.8 m takes 0.5 s, the reach of an arm of 0.85 m (ISO 13857) 0.53 s.
@pytest.mark.parametrize(
    ("run_on", "more", "fires"),
    [
        ("0.49 s", ", distance: 0.8 m", False),
        ("0.51 s", ", distance: 0.8 m", True),
        ("0.51 s", ", distance: 0.8 m, locking: true", False),
        ("0.52 s", "", False),
        ("0.54 s", "", True),
        ("20 s", ", distance: 3 m", True),
    ],
)
def test_the_limit(run_on: str, more: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(guarded(run_on, more)))) is fires


def test_what_it_says() -> None:
    """20 s stand in the plan."""
    [finding] = fired(SLUG, design(guarded("20 s", ", distance: 0.8 m")))
    assert finding.subjects == ("S1", "E1", "emergency")
    assert_says(
        finding,
        "WARNING",
        limit=(0.8 / 1.6, "s", "ISO 13855 9"),
        number=("run-down", 20.0, "s"),
        mend="Lock S1 until E1 stands still (`locking: true`).",
    )


def test_an_emergency_stop_is_no_guard() -> None:
    assert fired(SLUG, design(guarded("20 s").replace("guard-switch", "emergency-stop"))) == []


@pytest.mark.parametrize(
    ("run_on", "more", "missing"),
    [
        ("", "", ["E1"]),
        ("", ", locking: true", []),
        ("0.3 s", "", ["S1"]),
        ("0.3 s", ", distance: 0.8 m", []),
        ("0 s", "", []),
    ],
)
def test_what_is_not_given_is_asked(run_on: str, more: str, missing: list[str]) -> None:
    assert [name for one in open_questions(SLUG, design(guarded(run_on, more))) for name in one.subjects] == missing


@settings(max_examples=20)
@given(st.floats(0.1, 30.0), st.floats(0.1, 10.0))
def test_a_shorter_run_down_or_a_longer_way_never_makes_it_worse(seconds: float, metres: float) -> None:
    def fires(lasts: float, way: float) -> bool:
        return bool(fired(SLUG, design(guarded(f"{lasts:.4f} s", f", distance: {way:.4f} m"))))

    assert fires(seconds, metres) is (float(f"{seconds:.4f}") > float(f"{metres:.4f}") / 1.6)


def two_guards(first: str, second: str, more: str = "") -> str:
    """S1 and B2 in both channels, each a guard of a stop that takes the power from E1, which turns on for 6 s."""
    text = guarded("6 s", f", distance: 0.8 m{first}")
    for pin in ("1", "2"):
        text = text.replace(f"from: 'S1:{pin}2', to: 'K0:S{pin}2'", f"through: [S1:{pin}2, B2:{pin}1]")
        text += f"  - {{wire: 9{pin}, from: B2:{pin}2, to: K0:S{pin}2, size: 1 mm2, length: 1 m}}\n"
    guard = f"B2: {{kind: guard-switch, distance: 0.8 m{second}, contacts: {{11-12: NC, 21-22: NC}}}}"
    text = text.replace("parts:\n", f"parts:\n  {guard}\n{more}", 1)
    return text.replace("stops: {", "stops: {hood: {devices: [B2], category: 0, reset: S2}, ", 1)


LOCKS = ", locking: true"


# Written before the first run: a guard in front of E1 must lock, one in front of other things need not.
@pytest.mark.parametrize(
    ("first", "second", "told", "asked"),
    [
        ("", "", {"S1", "B2"}, False),  # nobody says what is behind them, and nobody thought of a lock
        (LOCKS, "", set(), True),  # the lock may be in front of E1, and B2 of something else
        (LOCKS, ", guards: [E1]", {"B2"}, False),
        (", guards: [E1]", ", guards: [E2]", {"S1"}, False),
        (f"{LOCKS}, guards: [E1]", ", guards: [E2]", set(), False),
        (f"{LOCKS}, guards: [E2]", "", {"B2"}, False),  # the lock is in front of something else
    ],
)
def test_a_guard_is_judged_by_what_is_reached_through_it(first: str, second: str, told: set[str], asked: bool) -> None:
    machine = design(
        two_guards(first, second, "  E2: {kind: heater, rated: 230 V AC 10 W, at: machine, metal: false}\n")
    )
    assert {one.subjects[0] for one in fired(SLUG, machine)} == told
    assert [one.subjects for one in open_questions(SLUG, machine)] == ([("B2", "E1")] if asked else [])


@pytest.mark.parametrize(("named", "problem"), [("E9", "there is no part 'E9'"), ("S2", "S2 takes no power")])
def test_a_guard_stands_before_parts_that_take_power(named: str, problem: str) -> None:
    [fault] = loaded(guarded("6 s", f", guards: [{named}]")).faults
    assert fault.summary.startswith(problem)


def test_what_is_said_to_be_reached_is_taken_by_a_stop_of_that_guard() -> None:
    text = two_guards("", ", guards: [E1]").replace("stops: {hood: {", "stops: {hood: {removes: [E2], ")
    text = text.replace(
        "parts:\n", "parts:\n  E2: {kind: heater, rated: 230 V AC 10 W, at: machine, metal: false}\n", 1
    )
    for removed, told in (("E2", [("B2", "E1")]), ("E1", [])):
        found = fired("stop-names-too-little", design(text.replace("removes: [E2]", f"removes: [{removed}]")))
        assert [one.subjects for one in found if "B2" in one.subjects] == told
