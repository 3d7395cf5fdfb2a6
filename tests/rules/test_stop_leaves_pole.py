"""IEC 60204-1, 9.4.3.1: of what a stop removes every line goes through its contacts."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

from wiring.rules.run import judge

SLUG = "stop-leaves-pole"


def plan(*feed: str, load: str = "heater, rated: 400 V AC 1 kW", system: str = "three-phase", volts: int = 400) -> str:
    """A load behind two contactors in series, whose coils hang on the contacts of an emergency stop."""
    wires = ["X0:L1>K1:1", "X0:L2>K1:3", "X0:L3>K1:5", "K1:2>K2:1", "K1:4>K2:3", "K1:6>K2:5", *feed]
    wires += ["X0:L1>S1:11", "X0:L1>S1:21", "S1:12>K1:A1", "S1:22>K2:A1", "K1:A2>X0:N", "K2:A2>X0:N"]
    lines = "".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}\n" for n, (a, b) in enumerate(e.split(">") for e in wires)
    )
    return f"""mains: {{inlet: X0, system: {system}, voltage: {volts} V, earthing: TN-S, fault_current: 1 kA}}
stops: {{emergency: {{devices: [S1], category: 0, removes: [E1]}}}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  S1: {{kind: emergency-stop, contacts: {{11-12: NC direct, 21-22: NC direct}}}}
  K1: {{kind: contactor, poles: 3, coil: 230 V AC 5 W}}
  K2: {{kind: contactor, poles: 3, coil: 230 V AC 5 W}}
  E1: {{kind: {load}, metal: false}}
wires:
{lines}"""


@pytest.mark.parametrize(
    ("feed", "left"),
    [
        (["K2:2>E1:1", "K2:4>E1:2"], ()),
        (["X0:L1>E1:1", "K2:4>E1:2"], ("E1", "6", "S1", "emergency")),
        (["K2:2>E1:1", "X0:L2>E1:2"], ("E1", "7", "S1", "emergency")),
        (["X0:L1>E1:1", "X0:L2>E1:2"], ()),  # removed by nothing: told by stop-leaves-hazard
    ],
)
def test_a_line_past_the_contactors_is_told(feed: list[str], left: tuple[str, ...]) -> None:
    assert [one.subjects for one in fired(SLUG, design(plan(*feed)))] == ([left] if left else [])


def test_a_neutral_may_stay() -> None:
    text = plan("K2:2>E1:1", "X0:N>E1:2", load="heater, rated: 230 V AC 1 kW")
    assert fired(SLUG, design(text)) == []


@pytest.mark.parametrize("phase", ["U", "V", "W"])
def test_each_phase_of_a_motor_and_of_an_inverter(phase: str) -> None:
    lines = dict(zip("UVW", ("L1", "L2", "L3"), strict=True))
    poles = dict(zip("UVW", ("2", "4", "6"), strict=True))
    feed = [f"X0:{lines[one]}>E1:{one}" if one == phase else f"K2:{poles[one]}>E1:{one}" for one in "UVW"]
    motor = "motor, voltage: 400 V AC, phases: 3, rated_power: 370 W"
    [finding] = fired(SLUG, design(plan(*feed, load=motor)))
    assert f"E1:{phase}" in finding.summary
    driven = plan(
        *(wire.replace(f"E1:{one}", f"D1:{lines[one]}") for one, wire in zip("UVW", feed, strict=True)), load=motor
    )
    driven += "  - {wire: 90, from: D1:U, to: E1:U}\n  - {wire: 91, from: D1:V, to: E1:V}\n"
    driven += "  - {wire: 92, from: D1:W, to: E1:W}\n"
    inverter = "  D1: {kind: inverter, supply: 380..480 V AC, phases: 3, rated: 750 W}\n"
    made = design(driven.replace("  E1:", f"{inverter}  E1:"))
    [told] = fired(SLUG, made)
    assert told.subjects[:2] == ("E1", "D1")
    assert "stop-contact-on-earthed-side" not in {one.rule for one in judge(made).roots}  # folded under it


def test_what_it_says() -> None:
    [finding] = fired(SLUG, design(plan("X0:L1>E1:1", "K2:4>E1:2")))
    assert_says(finding, "WARNING", mend="Lead 6 through the contacts that open the other lines.")
