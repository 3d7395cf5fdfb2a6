"""Types of residual current devices: B behind three-phase converters, A at least behind rectifiers (IEC 60364-5-53)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired
from says import assert_says

SLUG = "rcd-type-wrong"


def body(rcd: str, phases: int) -> str:
    lines = {1: ["L", "N"], 3: ["L1", "L2", "L3"]}[phases]
    wires = "".join(
        f"  - {{wire: a{n}, from: X0:{line}, to: F1:{2 * n + 1}}}\n"
        f"  - {{wire: b{n}, from: F1:{2 * n + 2}, to: 'T1:{line}'}}\n"
        for n, line in enumerate(lines)
    )
    return f"""
parts:
  X0: {{kind: inlet, poles: [L, L1, L2, L3, N, PE]}}
  F1: {{kind: rcd, poles: 4, rated: 25 A, residual: 30 mA, type: {rcd}}}   #! rcd-type-wrong
  T1: {{kind: inverter, supply: 400 V AC, phases: {phases}, rated: 2 kW, leakage: 2 mA}}
wires:
{wires}  - {{wire: PE1, from: X0:PE, to: T1:PE}}
"""


def test_a_three_phase_inverter_behind_type_a() -> None:
    assert_marked(body("A", 3))


@pytest.mark.parametrize(
    ("rcd", "phases", "fires"),
    [
        ("AC", 3, True),
        ("A", 3, True),
        ("F", 3, True),
        ("B", 3, False),
        ("AC", 1, True),
        ("A", 1, False),
        ("F", 1, False),
        ("B", 1, False),
    ],
)
def test_the_types(rcd: str, phases: int, fires: bool) -> None:
    """Three-phase: type B only (one inverter's manual); single-phase: not AC (IEC 60364-5-53, from memory)."""
    assert bool(fired(SLUG, design(body(rcd, phases)))) is fires


def test_a_heater_may_hang_behind_any_type() -> None:
    text = """
parts:
  X0: {kind: inlet}
  F1: {kind: rcd, poles: 2, rated: 25 A, residual: 30 mA, type: AC}
  E1: {kind: heater, rated: 230 V AC 500 W}
wires:
  - {wire: 1, from: X0:L, to: F1:1}
  - {wire: 2, from: X0:N, to: F1:3}
  - {wire: 3, from: F1:2, to: E1:1}
  - {wire: 4, from: F1:4, to: E1:2}
  - {wire: PE1, from: X0:PE, to: E1:PE}
"""
    assert fired(SLUG, design(text)) == []


def test_what_stands_in_front_does_not_count() -> None:
    text = body("A", 3).replace("from: F1:2, to: 'T1:L1'", "from: X0:L1, to: 'T1:L1'")
    text = text.replace("from: F1:4, to: 'T1:L2'", "from: X0:L2, to: 'T1:L2'").replace(
        "from: F1:6, to: 'T1:L3'", "from: X0:L3, to: 'T1:L3'"
    )
    assert fired(SLUG, design(text)) == []


def test_what_it_says() -> None:
    """IEC 60364-5-53 531.3.3: a three-phase converter needs type B."""
    [finding] = fired(SLUG, design(body("AC", 3)))
    assert_says(finding, "WARNING", mend="type B for F1")
