"""IEC 60204-1, 4.1 (from memory): a brake is open only with the torque of its motor. Truth tables by hand: the motor
has its power while K1 is in, K1 is in while S1 is held, and each brake is fed over the contacts named."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "brake-open-without-torque"
_PARTS = """
  X0: {kind: inlet}
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  S1: {kind: push-button, contacts: {13-14: NO}}
  K1: {kind: contactor, poles: 1, coil: 24 V DC 3 W, contacts: {13-14: NO, 21-22: NC, 33-34: NO}}
  M1: {kind: motor, voltage: 230 V AC, phases: 1, rated_power: 300 W, metal: false, vertical: true}
  T1: {kind: inverter, supply: 200..240 V AC, rated: 750 W, relay: 13-14, metal: false}
  M2: {kind: motor, voltage: 230 V AC, rated_power: 500 W, metal: false, vertical: true}
  Y1: {kind: brake, rated: 24 V DC 12 W, holds: HOLDS}
"""
_FEED = ["X0:L>G1:L", "X0:N>G1:N", "G1:V+>S1:13", "S1:14>K1:A1", "K1:A2>G1:V-", "Y1:A2>G1:V-"]
_ACROSS = [*_FEED, "X0:L>K1:1", "K1:2>M1:U1", "X0:N>M1:U2"]
_DRIVEN = [*_FEED, "X0:L>T1:L", "X0:N>T1:N", "T1:U>M2:U", "T1:V>M2:V", "T1:W>M2:W"]


def body(*ends: str, holds: str = "M1") -> str:
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(e.split(">") for e in ends)
    )
    return f"""mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
states: {{up: {{M1: run, M2: run, S1: worked}}}}
parts:{_PARTS.replace("HOLDS", holds)}
wires:
{lines}
"""


@pytest.mark.parametrize(
    ("ends", "holds", "wrong"),
    [
        (["G1:V+>Y1:A1"], "M1", ()),
        (["G1:V+>K1:21", "K1:22>Y1:A1"], "M1", ()),
        # right, and a second way past it: that one is named
        (["G1:V+>K1:13", "K1:14>Y1:A1", "G1:V+>Y1:A1"], "M1", ("11",)),
        (["G1:V+>K1:13", "K1:14>Y1:A1"], "M1", None),
        (["K1:A1>Y1:A1"], "M1", None),
    ],
)
def test_a_motor_across_the_line(ends: list[str], holds: str, wrong: tuple[str, ...] | None) -> None:
    found = fired(SLUG, design(body(*_ACROSS, *ends, holds=holds)))
    assert [one.subjects for one in found] == ([] if wrong is None else [("Y1", "M1", *wrong)])


@pytest.mark.parametrize(("feed", "told"), [("G1:V+>Y1:A1", True), ("T1:14>Y1:A1", False)])
def test_an_inverter_that_waits_for_a_command(feed: str, told: bool) -> None:
    found = fired(SLUG, design(body(*_DRIVEN, "G1:V+>T1:13", feed, holds="M2")))
    assert [one.subjects for one in found] == ([("Y1", "M2")] if told else [])


@pytest.mark.parametrize(
    ("motor", "button", "told"),
    [
        # lifted over the held button while the state says that the motor is off: nothing holds the load
        ('"off"', ", S1: worked", True),
        # the drive holds it, the brake is closed, the motor drives it
        ("hold", ", S1: worked", False),
        ('"off"', "", False),
        ("run", ", S1: worked", False),
    ],
)
def test_a_state_that_says_that_the_motor_is_off(motor: str, button: str, told: bool) -> None:
    """By hand: 24 V are at Y1 while K1 is in, and K1 is in while S1 is held."""
    plan = body(*_ACROSS, "K1:A1>Y1:A1").replace("M1: run, M2: run, S1: worked", f"M1: {motor}{button}")
    found = fired(SLUG, design(plan))
    assert [one.subjects for one in found] == ([("Y1", "M1", "up")] if told else [])
    assert all("is open in state up, in which M1 is off: its load falls" in one.summary for one in found)


def test_what_it_says() -> None:
    """24 V at a coil that falls in below 10 % of them (IEC 60947-4-1, from memory): 2.4 V."""
    [finding] = fired(SLUG, design(body(*_ACROSS, "G1:V+>K1:13", "K1:14>Y1:A1", "G1:V+>Y1:A1")))
    assert "open while M1 is off, by 11: its load falls" in finding.summary
    assert_says(
        finding,
        "WARNING",
        limit=(0.1 * 24.0, "V", "data of the part drop-out of a coil, typical"),
        number=("at the coil", 24.0, "V"),
        mend="Take 11 off",
        rel=0.02,
    )
