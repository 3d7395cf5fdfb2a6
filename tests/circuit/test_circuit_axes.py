"""Which drive moves which motor, read off small circuits by eye."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired

PARTS = """
parts:
  D1: {kind: stepper-drive, supply: 24..48 V DC, phase_current: 2 A peak}
  D2: {kind: stepper-drive, supply: 24..48 V DC, phase_current: 2 A peak}
  M1: {kind: stepper-motor, phase_current: 2 A peak, phase_resistance: 1 ohm}
  M2: {kind: stepper-motor, phase_current: 2 A peak, phase_resistance: 1 ohm}
  X1: {kind: terminals, points: 8}
  XPE: {kind: earth-bar, points: 4}
wires:
"""


def wires(*pairs: str) -> str:
    lines = [f"  - {{wire: W{n}, from: {pair.split()[0]}, to: {pair.split()[1]}}}" for n, pair in enumerate(pairs)]
    return PARTS + "\n".join(lines) + "\n"


def motors(body: str) -> dict[str, list[str]]:
    return {drive: [motor.name for motor in axis.motors] for drive, axis in design(body).axes.items()}


def test_a_motor_belongs_to_the_drive_that_its_phases_lead_to() -> None:
    assert motors(wires("D1:A+ M2:A+", "D2:A+ M1:A+")) == {"D1": ["M2"], "D2": ["M1"]}


def test_terminals_between_drive_and_motor_are_passed() -> None:
    """Two points of a terminal are the same point: in at 1, out at 1."""
    assert motors(wires("D1:A+ X1:1", "X1:1 M1:A+")) == {"D1": ["M1"], "D2": []}


def test_two_motors_on_one_drive_are_one_axis() -> None:
    assert motors(wires("D1:A+ M1:A+", "D1:A+ M2:A+")) == {"D1": ["M1", "M2"], "D2": []}


def test_a_common_earth_bar_joins_no_axes() -> None:
    body = wires("D1:A+ M1:A+", "D2:A+ M2:A+", "XPE:1 M1:PE", "XPE:2 M2:PE", "XPE:3 D1:PE", "XPE:4 D2:PE")
    assert motors(body) == {"D1": ["M1"], "D2": ["M2"]}


def test_a_brake_belongs_to_the_axis_of_the_motor_that_it_holds() -> None:
    brake = "  Y1: {kind: brake, rated: 24 V DC 12 W, holds: M2}\nwires:"
    found = design(wires("D1:A+ M1:A+", "D2:A+ M2:A+").replace("wires:", brake))
    assert {drive: [b.name for b in axis.brakes] for drive, axis in found.axes.items()} == {"D1": [], "D2": ["Y1"]}


BYPASS = """
mains: {inlet: X0, system: three-phase, voltage: 400 V, earthing: TN-S, fault_current: 3 kA}
stops: {emergency: {devices: [S1], category: 0}}
states: {driven: {M1: run}, past: {M1: run, S2: worked}}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}
  T1: {kind: inverter, supply: 400 V AC, phases: 3, rated: 1.5 kW}
  M1: {kind: motor, voltage: 400 V AC, phases: 3, rated_power: 1.1 kW, rated_current: 2.7 A}
  K1: {kind: contactor, coil: 230 V AC 3 W}
  K2: {kind: contactor, coil: 230 V AC 3 W}
  K3: {kind: contactor, coil: 230 V AC 3 W}
  S1: {kind: emergency-stop, contacts: {11-12: NC}}
  S2: {kind: selector, contacts: {13-14: NO, 21-22: NC}}
wires:
"""


def bypass(*, output: bool = True, stopped: bool = True) -> str:
    """A contactor around an inverter, with another at its output or without; both behind the stop, or the first not."""
    three = [("X0:L1", "1", "U"), ("X0:L2", "3", "V"), ("X0:L3", "5", "W")]
    pairs = [
        pair for n, (line, _, _) in enumerate(three, 1) for pair in (f"{line} K3:{2 * n - 1}", f"K3:{2 * n} T1:L{n}")
    ]
    for line, pole, phase in three:
        other = str(int(pole) + 1)
        pairs += [f"T1:{phase} K1:{pole}", f"K1:{other} M1:{phase}"] if output else [f"T1:{phase} M1:{phase}"]
        pairs += [f"{line} K2:{pole}", f"K2:{other} M1:{phase}"]
    feed = "S1:12" if stopped else "X0:L1"
    pairs += [
        "X0:L1 S1:11",
        f"{feed} S2:13",
        "S2:14 K2:A1",
        "S1:12 S2:21",
        "S2:22 K1:A1",
        "K1:A2 X0:N",
        "K2:A2 X0:N",
        "S1:12 K3:A1",
        "K3:A2 X0:N",
    ]
    ends = (pair.split() for pair in pairs)
    return BYPASS + "".join(f"  - {{wire: {n}, from: '{a}', to: '{b}'}}\n" for n, (a, b) in enumerate(ends, 1))


@pytest.mark.parametrize("output", [True, False])
def test_a_contactor_around_a_drive_leaves_it_its_motor(output: bool) -> None:
    """By eye: K2 leads M1 to the mains past T1."""
    axis = design(bypass(output=output)).axes["T1"]
    assert ([motor.name for motor in axis.motors], [motor.name for motor in axis.bypassed]) == (["M1"], ["M1"])


def test_a_source_at_the_output_itself_leaves_the_drive_what_no_contact_parts_from_it() -> None:
    """The line hangs on the terminals of T1; what is past K1 belongs to nobody's drive."""
    text = bypass().replace("from: 'X0:L1', to: 'K2:1'", "from: 'X0:L1', to: 'T1:U'")
    assert design(text).axes["T1"].motors == ()


def test_a_bypassed_motor_is_judged_on_the_mains_as_well() -> None:
    """It needs an overload protection of its own (IEC 60204-1, 7.3.1), and a stop has to take the bypass away too."""
    sound, alive = (design(bypass(stopped=stopped)) for stopped in (True, False))
    assert [one.subjects[0] for one in fired("motor-overload-missing", sound)] == ["M1"]
    assert fired("stop-leaves-hazard", sound) == []
    assert ["M1" in one.subjects for one in fired("stop-leaves-hazard", alive)] == [True]
