"""Types of residual current devices: B behind three-phase converters, A at least behind rectifiers (IEC 60364-5-53)."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import assert_marked, fired, open_questions
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


def building(phases: int, rcd: str, lines: str = "") -> str:
    """An inverter straight on the mains of a building with a device or none, or between two lines of it."""
    ends = lines.split() or {1: ["L", "N"], 3: ["L1", "L2", "L3"]}[phases]
    terminals = {1: ["L", "N"], 3: ["L1", "L2", "L3"]}[phases]
    wires = "".join(
        f"  - {{wire: {n}, from: 'X0:{end}', to: 'T1:{at}'}}\n"
        for n, (end, at) in enumerate(zip(ends, terminals, strict=True))
    )
    system = "three-phase, voltage: 400 V" if phases == 3 or lines else "single-phase, voltage: 230 V"
    return f"""
mains: {{inlet: X0, system: {system}{rcd}}}
parts:
  X0: {{kind: inlet, poles: [L, L1, L2, L3, N, PE]}}
  T1: {{kind: inverter, supply: 400 V AC, phases: {phases}, rated: 2 kW, leakage: 2 mA}}
wires:
{wires}  - {{wire: PE1, from: X0:PE, to: T1:PE}}
"""


# IEC 60364-5-53, 531.3.3: three phases, and a bridge between two lines, want type B; line to neutral A (from memory).
@pytest.mark.parametrize(
    ("phases", "lines", "rcd", "fires", "asks"),
    [
        (3, "", "{residual: 30 mA, type: A}", True, False),
        (3, "", "{residual: 30 mA, type: F}", True, False),
        (3, "", "{residual: 300 mA, type: B}", False, False),
        (3, "", "{residual: 300 mA}", False, True),
        (3, "", "none", False, False),
        (3, "", "", False, True),
        (1, "", "", False, True),
        (1, "", "{type: AC}", True, False),
        (1, "", "{type: A}", False, False),
        (1, "L1 L2", "{type: A}", True, False),
        (1, "L1 L2", "{type: B}", False, False),
    ],
)
def test_the_device_of_the_building(phases: int, lines: str, rcd: str, fires: bool, asks: bool) -> None:
    found = design(building(phases, f", rcd: {rcd}" if rcd else "", lines))
    assert [finding.subjects for finding in fired(SLUG, found)] == ([("X0", "T1")] if fires else [])
    assert [one.subjects for one in open_questions(SLUG, found)] == ([("T1",)] if asks else [])


def test_a_type_b_behind_a_type_a_of_the_building_does_not_help() -> None:
    """The smooth current flows through both (IEC 60364-5-53, 531.3.3, from memory)."""
    text = "mains: {inlet: X0, system: three-phase, voltage: 400 V, rcd: {type: A}}" + body("B", 3)
    assert [finding.subjects for finding in fired(SLUG, design(text))] == [("X0", "T1")]


def test_a_rectifier_on_the_mains_sends_direct_current_as_well() -> None:
    text = building(1, ", rcd: {type: AC}").replace(
        "{kind: inverter, supply: 400 V AC, phases: 1, rated: 2 kW, leakage: 2 mA}", "{kind: rectifier, rated: 10 A}"
    )
    text = text.replace("T1:L'", "T1:AC1'").replace("T1:N'", "T1:AC2'")
    text = "\n".join(line for line in text.splitlines() if "PE1" not in line)
    assert [finding.subjects for finding in fired(SLUG, design(text))] == [("X0", "T1")]
