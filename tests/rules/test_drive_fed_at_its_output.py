"""Makers of drives forbid a source on U, V, W (common practice, no source): the diodes of the bridge feed its bus."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "drive-fed-at-its-output"


def fed(end: str, through: str = "") -> str:
    ways = [f"X0:L1>{end}"] if not through else [f"X0:L1>{through}:1", f"{through}:2>{end}"]
    wires = [
        "X0:L1>T1:L1",
        "X0:L2>T1:L2",
        "X0:L3>T1:L3",
        "X0:PE>T1:PE",
        "T1:U>M1:U",
        "T1:V>M1:V",
        "T1:W>M1:W",
        "X0:PE>M1:PE",
    ]
    wires += [*ways, "X0:L1>F1:1", "X0:N>K2:A2"]
    lines = "\n".join(
        f"  - {{wire: {n}, from: '{a}', to: '{b}'}}" for n, (a, b) in enumerate(w.split(">") for w in wires)
    )
    return f"""mains: {{inlet: X0, system: three-phase, voltage: 400 V, earthing: TN-S, fault_current: 1 kA}}
states: {{work: {{M1: run}}}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, N, PE]}}
  T1: {{kind: inverter, supply: 380..480 V AC, phases: 3, rated: 1.5 kW}}
  M1: {{kind: motor, voltage: 400 V AC, phases: 3, rated_power: 750 W}}
  F1: {{kind: fuse, rating: 6 A, class: gG}}
  K2: {{kind: contactor, poles: 1, coil: 230 V AC 5 W}}
wires:
{lines}
"""


@pytest.mark.parametrize(
    ("end", "through", "told"),
    [("T1:U", "", True), ("M1:W", "", True), ("T1:V", "F1", True), ("T1:L1", "", False), ("T1:U", "K2", False)],
)
def test_every_way_that_a_state_closes_counts(end: str, through: str, told: bool) -> None:
    """The contactor K2 has no feed at its coil, so no state closes it: a bypass may stand so."""
    assert bool(fired(SLUG, design(fed(end, through)))) is told


def test_what_it_says() -> None:
    """400 V are those of the mains."""
    plan = design(fed("T1:V", "F1"))
    [finding] = fired(SLUG, plan)
    assert finding.subjects[0] == "T1"
    assert_says(finding, "WARNING", number=("source", 400.0, "V"), mend="the feed to the input of T1")
    assert fired("motor-switched-while-driven", plan) == []  # what lies towards the mains is no contact of the motor


@pytest.mark.parametrize(
    ("load", "terminal", "count"),
    [
        ("kind: capacitor, capacitance: 10 µF", "+", 1),
        ("kind: surge-arrester, lines: [L, N]", "L", 1),
        ("kind: supply, input: 400 V AC, output: 24 V DC, rated: 1 A", "L", 1),
        ("kind: contactor, poles: 1, coil: 400 V AC 8 VA", "A1", 1),
        ("kind: contactor, poles: 1, coil: 400 V AC 8 VA", "1", 0),
        ("kind: motor, voltage: 400 V AC, phases: 3, rated_power: 250 W", "U", 0),
        ("kind: brake, rated: 400 V AC 20 W", "A1", 0),
        ("kind: filter, poles: 3, rated: 16 A", "L2", 1),
        ("kind: braking-resistor, resistance: 100 ohm, power: 200 W", "R1", 1),
        ("kind: heater, rated: 400 V AC 1 kW", "1", 1),
    ],
)
def test_what_is_no_motor_does_not_hang_on_an_output(load: str, terminal: str, count: int) -> None:
    """NFPA 79, 7.9 forbids capacitors there; makers forbid all that is no motor (common practice, no source)."""
    text = (
        fed("T1:L1").replace("  F1:", f"  P9: {{{load}}}\n  F1:")
        + f"  - {{wire: 99, from: T1:V, to: 'P9:{terminal}'}}\n"
    )
    assert [one.subjects for one in fired(SLUG, design(text))] == [("P9", "T1")] * count
