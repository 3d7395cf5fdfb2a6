"""What goes out through a residual current device comes back through it (IEC 60364-5-53, 531.3.2; Kirchhoff)."""

from __future__ import annotations

import pytest
from helpers import design
from hypothesis import given
from hypothesis import strategies as st
from marked_plans import fired
from says import assert_says

SLUG = "residual-device-passed"


def body(back: str = "F1:4", more: str = "", load: str = "{kind: heater, rated: 230 V AC 500 W}") -> str:
    """A load behind a residual current device, its neutral led back to `back`."""
    return f"""
mains: {{inlet: X0, system: three-phase, voltage: 400 V}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, "N", PE]}}
  X5: {{kind: terminals, points: 4, bridged: [1-4]}}
  F1: {{kind: rcd, poles: 2, rated: 25 A, residual: 30 mA, type: A}}
  F2: {{kind: rcd, poles: 2, rated: 25 A, residual: 30 mA, type: A}}
  K1: {{kind: contactor, poles: 2, rated: 9 A, coil: 24 V DC 2 W}}
  E1: {load}
wires:
  - {{wire: 1, from: X0:L1, to: F1:1}}
  - {{wire: 2, from: "X0:N", to: X5:1}}
  - {{wire: 3, from: X5:2, to: F1:3}}
  - {{wire: 4, from: F1:2, to: K1:1}}
  - {{wire: 5, from: K1:2, to: E1:1}}
  - {{wire: 6, from: E1:2, to: {back}}}
  - {{wire: 7, from: X0:L2, to: F2:1}}
  - {{wire: 8, from: X5:3, to: F2:3}}
  - {{wire: PE1, from: X0:PE, to: E1:PE}}
{more}"""


def test_the_finding_points_at_the_conductor() -> None:
    text = body("X5:4")
    [finding] = fired(SLUG, design(text))
    told = next(n for n, line in enumerate(text.splitlines()) if "wire: 6" in line)
    first = next(n for n, line in enumerate(text.splitlines()) if "wire: 1," in line)
    assert finding.place is not None
    assert finding.place.line - design(text).circuit.conductor["1"].place.line == told - first


# The same load back through its device, from before it, through another device, and by a line in front of it.
@pytest.mark.parametrize(
    ("back", "told"),
    [("F1:4", set()), ("X5:4", {"F1", "E1", "6"}), ("F2:4", {"F1", "F2", "E1", "6"}), ("X0:L3", {"F1"})],
)
def test_every_way_back(back: str, told: set[str]) -> None:
    found = fired(SLUG, design(body(back)))
    assert told <= {subject for finding in found for subject in finding.subjects}
    assert bool(found) is bool(told)


@pytest.mark.parametrize("wire", ["from: F1:4, to: F1:3", "from: F1:4, to: X5:4", "from: K1:1, to: X0:L1"])
def test_a_conductor_that_joins_both_sides(wire: str) -> None:
    [finding] = fired(SLUG, design(body(more=f"  - {{wire: 9, {wire}}}\n")))
    assert "9" in finding.subjects
    assert "F1" in finding.subjects


def test_the_neutral_pole_left_out_of_a_three_phase_device() -> None:
    """A motor between three lines adds up without a neutral; a lamp from one of them to the neutral does not."""
    lines = "".join(
        f"  - {{wire: {n}, from: X0:L{n}, to: F1:{2 * n - 1}}}\n  - {{wire: 1{n}, from: F1:{2 * n}, to: M1:{end}}}\n"
        for n, end in zip((1, 2, 3), "UVW", strict=True)
    )
    text = f"""
mains: {{inlet: X0, system: three-phase, voltage: 400 V}}
parts:
  X0: {{kind: inlet, poles: [L1, L2, L3, "N", PE]}}
  F1: {{kind: rcd, poles: 4, rated: 25 A, residual: 30 mA, type: A}}
  M1: {{kind: motor, voltage: 400 V AC, phases: 3, rated_power: 1 kW}}
  H1: {{kind: lamp, rated: 230 V AC 2 W}}
wires:
{lines}  - {{wire: PE1, from: X0:PE, to: M1:PE}}
"""
    assert fired(SLUG, design(text)) == []
    lamp = "  - {wire: 21, from: F1:2, to: H1:X1}\n  - {wire: 22, from: H1:X2, to: 'X0:N'}\n"
    [finding] = fired(SLUG, design(text + lamp))
    assert finding.subjects == ("F1", "H1", "22")


def test_the_protective_conductor_is_no_way_back() -> None:
    """What leaks to earth is what the device looks for, no mistake of the circuit."""
    assert fired(SLUG, design(body(more="  - {wire: PE2, from: X0:PE, to: K1:1}\n"))) == []


@given(st.sampled_from(["F1", "F2"]), st.sampled_from(["F1", "F2"]))
def test_a_load_between_two_devices_is_told_of_both_and_of_one_of_none(one: str, other: str) -> None:
    text = body(f"{other}:4").replace("from: F1:2, to: K1:1", f"from: {one}:2, to: K1:1")
    found = {finding.subjects[0] for finding in fired(SLUG, design(text))}
    assert found == (set() if one == other else {one, other})


def test_what_it_says() -> None:
    """IEC 60364-5-53, 531.3.2 (from memory)."""
    [finding] = fired(SLUG, design(body("X5:4")))
    assert_says(finding, "WARNING", mend="Lead 6 through a pole of F1")
