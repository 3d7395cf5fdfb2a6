"""Rails behind a rectifier, which has no voltage of its own: their level and what a stop leaves of them."""

from __future__ import annotations

from math import sqrt

import pytest

from tests.helpers import design, most_alive

HEAD = """
mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}
"""
BEHIND_A_TRANSFORMER = (
    HEAD
    + """
states: {run: {M1: run}}
stops: {emergency: {devices: [S0], category: 0, removes: hazards}}
parts:
  X0: {kind: inlet}
  S0: {kind: emergency-stop, contacts: {11-12: NC}}
  K1: {kind: contactor, poles: 1, rated: 9 A, coil: 230 V AC 8 VA}
  T1: {kind: transformer, primary: 230 V, secondary: 32 V, rated: 300 VA, regulation: 8 %}
  V1: {kind: rectifier, rated: 25 A, drop: 2 V}
  C1: {kind: capacitor, capacitance: 10 mF, rated_voltage: 63 V}
  M1: {kind: motor, voltage: 42 V DC, phases: DC, rated_power: 100 W}
wires:
  - {wire: 1, from: X0:L, to: S0:11}
  - {wire: 2, from: S0:12, to: K1:A1}
  - {wire: 3, from: K1:A2, to: "X0:N"}
  - {wire: 4, from: X0:L, to: K1:1}
  - {wire: 5, from: K1:2, to: T1:1.1}
  - {wire: 6, from: T1:1.2, to: "X0:N"}
  - {wire: 7, from: T1:2.1, to: V1:AC1}
  - {wire: 8, from: T1:2.2, to: V1:AC2}
  - {wire: 9, through: ["V1:+", "C1:+", M1:A1]}
  - {wire: 10, through: ["V1:-", "C1:-", M1:A2]}
"""
)
ON_THE_MAINS = (
    HEAD
    + """
parts:
  X0: {kind: inlet}
  V1: {kind: rectifier, rated: 25 A, drop: 2 V}
  C1: {kind: capacitor, capacitance: 1 mF, rated_voltage: 450 V}
wires:
  - {wire: 1, from: X0:L, to: V1:AC1}
  - {wire: 2, from: "X0:N", to: V1:AC2}
  - {wire: 3, from: "V1:+", to: "C1:+", rated: 300 V}
  - {wire: 4, from: "V1:-", to: "C1:-", rated: 300 V}
"""
)


# A capacitor behind a bridge charges to the peak less the drop of two diodes (handbook of power electronics): 32 V
# with 8 % of regulation give sqrt(2) x 34.56 V - 2 V = 46.87 V, the mains sqrt(2) x 230 V - 2 V = 323.3 V.
@pytest.mark.parametrize(
    ("body", "volts"), [(BEHIND_A_TRANSFORMER, sqrt(2) * 32 * 1.08 - 2), (ON_THE_MAINS, sqrt(2) * 230 - 2)]
)
def test_the_rail_stands_at_the_peak_less_two_diodes(body: str, volts: float) -> None:
    made = design(body)
    assert made.nets.volts_of("V1") == pytest.approx(volts)
    highest = max(level.volts for rail, level in made.levels.items() if rail.source == "V1")
    assert highest == pytest.approx(volts)


def test_a_rectifier_that_nothing_feeds_has_no_voltage() -> None:
    made = design("parts:\n  X0: {kind: inlet}\n  V1: {kind: rectifier, rated: 25 A}\n")
    assert made.nets.volts_of("V1") == 0.0
    assert made.unregulated == ()


def test_a_contactor_in_front_of_the_transformer_that_stays_in_defeats_the_stop_in_screen_and_numbers() -> None:
    """By hand: S0 opens the coil of K1; when K1 stays attracted, T1, V1 and M1 stay fed, whatever S0 does."""
    made = design(BEHIND_A_TRANSFORMER)
    (use,) = made.stopping.uses
    assert [target.name for target in use.targets] == ["M1"]
    assert most_alive(made, use.targets).between(("V1", "+"), ("V1", "-"), "DC") > 40.0
    result = made.stop_proof.results["emergency"]
    assert {case.fault.id for case in result.dangerous} >= {"held:K1:coil"}


@pytest.mark.parametrize(
    ("fuse_in", "limited_by"),
    [("{wire: 7, from: T1:2.1", "F9"), ("{wire: 8, from: T1:2.2", "F9"), ("", "T1")],
)
def test_a_fuse_in_either_conductor_to_the_rectifier_limits_the_rail_behind_it(fuse_in: str, limited_by: str) -> None:
    """The mean of a rectified current is never above the effective value of the alternating one (1/1.11 or less)."""
    body = BEHIND_A_TRANSFORMER
    if fuse_in:
        start = body.index(fuse_in)
        line = body[start : body.index("\n", start)]
        source, sink = line.split("from: ")[1].rstrip("}").split(", to: ")
        body = body.replace(line, f"{{wire: 40, from: {source}, to: F9:1}}\n  - {{wire: 41, from: F9:2, to: {sink}}}")
        body = body.replace("  V1: {kind", "  F9: {kind: fuse, rating: 8 A, class: gG}\n  V1: {kind")
    assert design(body).protections["9.1"].part == limited_by
