"""IEC 61800-5-2: a drive with two safe-torque-off inputs is stopped by either; ISO 13849-1, 6.2.6: only both of them
bear one fault. Every pair of outputs on which the two can hang, by hand."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

sys.path.append(str(Path(__file__).parents[1] / "control"))

from circuits import two_channels

SLUG = "stop-torque-off-left"


def drive(first: str, second: str, feed: str = "X0:L") -> str:
    ends = [f"{feed}>D1:L", "X0:N>D1:N", "X0:PE>D1:PE", "D1:U>M1:U", "D1:V>M1:V", "D1:W>M1:W", "X0:PE>M1:PE"]
    ends += [f"{first}>D1:STO1+", f"{second}>D1:STO2+", "D1:STO1->G1:V-", "D1:STO2->G1:V-"]
    lines = "".join(
        f"  - {{wire: 8{n:02}, from: '{a}', to: '{b}'}}\n" for n, (a, b) in enumerate(end.split(">") for end in ends)
    )
    parts = (
        "  D1: {kind: servo-drive, supply: 230 V AC, rated_current: 3 A rms, sto: [STO1+-STO1-, STO2+-STO2-]}\n"
        "  M1: {kind: servo-motor, rated_power: 400 W}\n"
    )
    return two_channels().replace("  E1:", f"{parts}  E1:").replace("wires:\n", f"wires:\n{lines}")


@pytest.mark.parametrize(
    ("first", "second", "left"),
    [
        ("K0:14", "K0:24", ()),
        ("K0:14", "G1:V+", ("D1:STO2+",)),
        ("G1:V+", "K0:24", ("D1:STO1+",)),
        ("G1:V+", "G1:V+", ()),
    ],
)
def test_an_input_that_stays_fed_is_named(first: str, second: str, left: tuple[str, ...]) -> None:
    """With both on 24 V the stop leaves the motor alive, which `stop-leaves-hazard` tells."""
    plan = design(drive(first, second))
    assert [end for one in fired(SLUG, plan) for end in left if end in one.summary] == list(left)
    assert bool(fired("stop-leaves-hazard", plan)) == (first == second)


def test_a_drive_whose_power_goes_needs_none() -> None:
    """Fed behind K1 and K2 it is dead whatever its inputs get."""
    assert fired(SLUG, design(drive("G1:V+", "G1:V+", "K2:2"))) == []


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(drive("K0:14", "G1:V+")))
    assert finding.subjects == ("D1", "808", "M1", "S1", "emergency")
    assert_says(finding, "WARNING", mend="Feed D1:STO2+ through an output contact")
