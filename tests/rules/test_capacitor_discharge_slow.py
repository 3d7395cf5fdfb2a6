"""Capacitors that stay charged."""

from __future__ import annotations

from math import log

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
from says import assert_says

from wiring.design.supply.levels import charged_volts
from wiring.findings import Signal

SLUG = "capacitor-discharge-slow"


def rail(volts: float, capacitance: str, bleeder: str) -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 5 A}}
  C1: {{kind: capacitor, capacitance: {capacitance}, rated_voltage: 450 V DC{bleeder}}}
wires:
  - {{wire: 1, from: G1:V+, to: C1:+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: C1:-, size: 2.5 mm2, length: 1 m}}
"""


def test_the_finding_points_at_the_bleeder() -> None:
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 72 V DC, rated: 5 A}
  C1:
    kind: capacitor
    capacitance: 10 mF
    rated_voltage: 100 V DC
    bleeder: 10 kohm              #! capacitor-discharge-slow
wires:
  - {wire: 1, from: G1:V+, to: C1:+, size: 2.5 mm2, length: 1 m}
  - {wire: 2, from: G1:V-, to: C1:-, size: 2.5 mm2, length: 1 m}
""")


# IEC 60204-1, 6.2.4: 60 V within 5 s: R = 5 s / (C ln(V/60)); parts of no more than 60 µC are exempt.
@pytest.mark.parametrize(("volts", "farad"), [(72.0, 10e-3), (325.0, 470e-6)])
def test_the_largest_bleeder(volts: float, farad: float) -> None:
    most = 5.0 / (farad * log(volts / 60.0))
    text = f"{1e6 * farad} µF"
    assert not fired(SLUG, design(rail(volts, text, f", bleeder: {0.99 * most} ohm")))
    assert fired(SLUG, design(rail(volts, text, f", bleeder: {1.01 * most} ohm")))


@pytest.mark.parametrize(
    ("volts", "capacitance", "fires"),
    [(60, "10 mF", False), (61, "10 mF", True), (72, "0.83 µF", False), (72, "0.84 µF", True)],
)
def test_without_a_bleeder(volts: float, capacitance: str, fires: bool) -> None:
    assert bool(fired(SLUG, design(rail(volts, capacitance, "")))) is fires


def drive(data: str) -> str:
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  D1: {{kind: servo-drive, supply: 200..240 V AC{data}}}
wires:
  - {{wire: 1, from: X0:L, to: D1:L, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: "X0:N", to: "D1:N", size: 2.5 mm2, length: 1 m}}
"""


def test_drives_are_named_for_the_label() -> None:
    assert [item.signal for item in fired(SLUG, design(drive(", discharge: 5 min")))] == [Signal.NOTICE]
    assert not fired(SLUG, design(drive(", discharge: 5 s")))


def test_a_drive_without_waiting_time_is_not_judged() -> None:
    assert not fired(SLUG, design(drive("")))
    assert [item.subjects for item in open_questions(SLUG, design(drive("")))] == [("D1",)]


def test_what_it_says() -> None:
    """IEC 60204-1 6.2.4: 60 V within 5 s, so R = 5 s / (10 mF ln(61/60)) = 30.2 kohm, below which the series E12 has
    27 kohm; 61 V turn 0.14 W into heat there."""
    [finding] = fired(SLUG, design(rail(61, "10 mF", "")))
    assert_says(
        finding,
        "WARNING",
        limit=(5.0, "s", "IEC 60204-1 6.2.4"),
        number=("stored", 0.5 * 10e-3 * 61**2, "J"),
        mend="27 kohm or less across C1; it takes 0.14 W",
    )


@pytest.mark.parametrize(("volts", "asked"), [(60, []), (61, [("D1",)])])
def test_a_drive_at_the_harmless_voltage_needs_no_label(volts: int, asked: list[tuple[str, ...]]) -> None:
    """IEC 60204-1, 6.2.4: what stands at 60 V or less may be touched at once."""
    body = f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 5 A}}
  D1: {{kind: stepper-drive, supply: 24..80 V DC, phase_current: 3 A peak}}
wires:
  - {{wire: 1, from: G1:V+, to: D1:V+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: D1:V-, size: 2.5 mm2, length: 1 m}}
"""
    assert [one.subjects for one in open_questions(SLUG, design(body))] == asked


def test_capacitors_that_nothing_feeds_are_not_charged() -> None:
    made = design("parts:\n  C1: {kind: capacitor, capacitance: 10 mF, rated_voltage: 100 V DC}\n")
    assert charged_volts(made, made.parts["C1"], ("+",)) == 0.0
