"""The time for which a category 1 stop keeps power: IEC 60204-1, 9.2.2, power to achieve the stop, then its removal."""

from __future__ import annotations

from math import pi

import pytest
from helpers import design
from marked_plans import fired, results
from says import assert_says

SLUG = "stop-delay-differs"
BENCH = """
mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S, fault_current: 1 kA}}
stops: {{emergency: {{devices: [S1], category: {category}, {stated}}}}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  S1: {{kind: emergency-stop, contacts: {{11-12: NC}}}}
  S2: {{kind: emergency-stop, contacts: {{11-12: NC}}}}
  K3: {{kind: relay, coil: 24 V DC 1 W, off_delay: {first}, contacts: {{13-14: NO}}}}
  K4: {{kind: relay, coil: 24 V DC 1 W, off_delay: {second}, contacts: {{13-14: NO}}}}
  K5: {{kind: relay, coil: 24 V DC 1 W, off_delay: 9 s, contacts: {{13-14: NO}}}}
  K1: {{kind: contactor, poles: 1, coil: 24 V DC 3 W}}
  K2: {{kind: contactor, poles: 1, coil: 24 V DC 3 W}}
  E1: {{kind: heater, rated: 230 V AC 500 W, metal: false}}
  H1: {{kind: lamp, rated: 24 V DC 1 W}}
wires:
"""
ENDS = (
    "X0:L>G1:L X0:N>G1:N X0:L>K1:1 K1:2>K2:1 K2:2>E1:1 E1:2>X0:N G1:V+>S1:11 S1:12>K3:A1 S1:12>K4:A1 S1:12>K5:A1 "
    "K3:A2>G1:V- K4:A2>G1:V- K5:A2>G1:V- G1:V+>K3:13 K3:14>K1:A1 G1:V+>K4:13 K4:14>K2:A1 G1:V+>K5:13 K5:14>H1:X1 "
    "K1:A2>G1:V- K2:A2>G1:V- H1:X2>G1:V-"
)


def bench(first: str, second: str, stated: str = "delay: 2 s", category: int = 1) -> str:
    """Two contactors, each behind a relay with a delay of its own; K5 delays a lamp alone."""
    wires = (pair.split(">") for pair in ENDS.split())
    return BENCH.format(first=first, second=second, stated=stated, category=category) + "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}', size: 1.5 mm2, length: 1 m}}" for n, (a, b) in enumerate(wires, 1)
    )


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [
        ("2 s", "2 s", []),
        ("1.9 s", "2 s", [("K3", "WARNING")]),
        ("2 s", "50 ms", [("K4", "WARNING")]),
        ("2.1 s", "2 s", [("K3", "CAUTION")]),
        ("10 s", "0.1 s", [("K3", "CAUTION"), ("K4", "WARNING")]),
    ],
)
def test_each_delay_is_held_against_the_stop(first: str, second: str, told: list[tuple[str, str]]) -> None:
    """The first channel that opens takes the power, so too short a one is enough; the lamp of K5 is no hazard."""
    found = fired(SLUG, design(bench(first, second)))
    assert [(one.subjects[1], str(one.signal)) for one in found] == told


def test_what_is_not_said_is_asked_and_category_0_has_no_ramp() -> None:
    [asked] = results(SLUG, design(bench("1 s", "1 s", stated="reset: S2")))
    assert asked.subjects == ("emergency",)
    assert fired(SLUG, design(bench("1 s", "1 s", category=0))) == []


def test_what_it_says() -> None:
    """IEC 60204-1, 9.2.2: the bench says 2 s, and K3 opens after 50 ms, 0.05 s."""
    [finding] = fired(SLUG, design(bench("50 ms", "2 s")))
    assert_says(
        finding, "WARNING", limit=(2.0, "s", "IEC 60204-1 9.2.2"), number=("delay", 0.05, "s"), mend="delay of K3 to 2"
    )


@pytest.mark.parametrize(("delay", "told"), [("0.6 s", True), ("0.7 s", False)])
def test_no_torque_stops_it_sooner(delay: str, told: bool) -> None:
    """T = J w / M: 0.05 kg·m2 at 1500 rpm by twice the 1 kW / 157 rad/s of its plate (IEC 60034-12): 0.617 s."""
    least = 0.05 * (2 * pi * 1500 / 60) ** 2 / (2 * 1000.0)
    motor = (
        "{kind: motor, voltage: 230 V AC, phases: 1, rated_power: 1 kW, max_speed: 1500 rpm, rotor_inertia: 50 kg·cm2, "
        "load_inertia: 450 kg·cm2, metal: false, work: {speed: 1500 rpm, torque: 1 N·m}}"
    )
    text = bench(delay, delay, f"delay: {delay}").replace("{kind: heater, rated: 230 V AC 500 W, metal: false}", motor)
    text = text.replace("E1:1", "E1:U1").replace("E1:2", "E1:U2")
    found = fired(SLUG, design(text))
    assert {one.subjects for one in found} == (
        {("emergency", "K3", "E1"), ("emergency", "K4", "E1")} if told else set()
    )
    assert all(one.limit is not None and one.limit.value == pytest.approx(least) for one in found)
