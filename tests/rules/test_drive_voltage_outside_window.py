"""Drives and the voltage of their supply."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says

SLUG = "drive-voltage-outside-window"


def rail(volts: float, window: str = "20..50 V DC") -> str:
    return f"""
parts:
  G1: {{kind: supply, input: 230 V AC, output: {volts} V DC, rated: 10 A}}
  D1: {{kind: stepper-drive, phase_current: 2 A peak, supply: {window}}}
wires:
  - {{wire: 1, from: G1:V+, to: D1:V+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: G1:V-, to: D1:V-, size: 2.5 mm2, length: 1 m}}
"""


def test_the_finding_points_at_the_window() -> None:
    assert_marked("""
parts:
  G1: {kind: supply, input: 230 V AC, output: 60 V DC, rated: 10 A}
  D1:
    kind: stepper-drive
    phase_current: 2 A peak
    supply: 20..50 V DC             #! drive-voltage-outside-window
wires:
  - {wire: 1, from: G1:V+, to: D1:V+, size: 2.5 mm2, length: 1 m}
  - {wire: 2, from: G1:V-, to: D1:V-, size: 2.5 mm2, length: 1 m}
""")


# Ten per cent below the upper end, 45 V (a drive maker's manual, common practice); the window itself below.
@pytest.mark.parametrize(
    ("volts", "words"), [(45.0, None), (45.1, "close to"), (50.1, "is fed with"), (20.0, None), (19.9, "is fed with")]
)
def test_the_limits_on_a_dc_bus(volts: float, words: str | None) -> None:
    found = fired(SLUG, design(rail(volts)))
    assert [words in item.summary for item in found if words] == ([True] if words else [])
    assert bool(found) is (words is not None)


# The same ten per cent below what the drive survives where that is known: 0.9 x 58 V is 52.2 V, above its window; of
# 52 V it is 46.8 V.
@pytest.mark.parametrize(("survives", "fires"), [(58, False), (52, True)])
def test_a_drive_at_its_upper_end_that_survives_more(survives: int, fires: bool) -> None:
    text = rail(48, f"24..48 V DC, bus_limit: {survives} V")
    assert bool(fired(SLUG, design(text))) is fires


@pytest.mark.parametrize(
    ("mains", "window", "fires"),
    [
        (230, "200..240 V AC", False),
        (230, "380..480 V AC", True),
        (120, "200..240 V AC", True),
        (230, "230 V AC", False),
        (230, "208 V AC", True),
    ],
)
def test_drives_on_the_mains(mains: int, window: str, fires: bool) -> None:
    body = f"""
mains: {{inlet: X0, system: single-phase, voltage: {mains} V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  D1: {{kind: servo-drive, phases: 1, supply: {window}}}
wires:
  - {{wire: 1, from: X0:L, to: D1:L, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: "X0:N", to: "D1:N", size: 2.5 mm2, length: 1 m}}
"""
    assert bool(fired(SLUG, design(body))) is fires


# 325 V peak burst capacitors for 50 V (first physics); 60 V DC are an extra-low voltage, and end a drive quietly.
@pytest.mark.parametrize(("fed", "word"), [("X0:L", "WARNING"), ("G1:V+", "CAUTION")])
def test_mains_on_a_drive_for_direct_current_is_no_mere_caution(fed: str, word: str) -> None:
    back = {"X0:L": "X0:N", "G1:V+": "G1:V-"}[fed]
    body = f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA}}
parts:
  X0: {{kind: inlet}}
  G1: {{kind: supply, input: 230 V AC, output: 60 V DC, rated: 5 A, class: II}}
  D1: {{kind: stepper-drive, phase_current: 2 A peak, supply: 20..50 V DC}}
wires:
  - {{wire: 1, from: X0:L, to: G1:L, size: 2.5 mm2, length: 1 m}}
  - {{wire: 2, from: "X0:N", to: G1:N, size: 2.5 mm2, length: 1 m}}
  - {{wire: 3, from: "{fed}", to: D1:V+, size: 2.5 mm2, length: 1 m}}
  - {{wire: 4, from: "{back}", to: D1:V-, size: 2.5 mm2, length: 1 m}}
"""
    assert [one.signal for one in fired(SLUG, design(body))] == [word]


def test_a_drive_without_supply_is_not_told() -> None:
    assert not fired(SLUG, design(rail(60).replace("to: D1:V+", "to: G1:V-")))


def test_what_it_says() -> None:
    """Common practice: a tenth below 50 V and above 20 V; 20 / 0.9 = 22.2 V. The rail has 45.1 V."""
    [finding] = fired(SLUG, design(rail(45.1)))
    assert_says(
        finding,
        "CAUTION",
        limit=(0.9 * 50, "V", "trade practice 10 % inside the window"),
        number=("supply", 45.1, "V"),
        mend="22.2 to 45 V",
    )
