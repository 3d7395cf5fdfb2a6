"""ISO 14119 and ISO 13855, 9: a guard without locking opens on what still moves."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
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
