"""An overcurrent device in every ungrounded conductor (NFPA 70, 240.15(A); IEC 60364-4-43, 431.1.1, from memory)."""

from __future__ import annotations

from helpers import design
from marked_plans import fired
from says import assert_says

SLUG = "device-passed-by-pole"
HEAD = """
mains: {inlet: X0, system: three-phase, voltage: 400 V}
parts:
  X0: {kind: inlet, poles: [L1, L2, L3, N, PE]}
  F1: {kind: breaker, poles: 2, rating: 6 A}
  F2: {kind: breaker, poles: 2, rating: 6 A}
  E1: {kind: heater, rated: 400 V AC 1 kW}
wires:
"""
LINES = "  - {wire: 1, from: X0:L1, to: F1:1}\n  - {wire: 2, from: F1:2, to: E1:1}\n"


def test_a_line_past_the_device() -> None:
    [finding] = fired(SLUG, design(HEAD + LINES + "  - {wire: 3, from: X0:L2, to: E1:2}\n"))
    assert finding.subjects == ("E1", "F1")
    assert_says(finding, "WARNING", mend="E1:2 through a pole of F1")


def test_both_lines_through_it() -> None:
    wires = "  - {wire: 3, from: X0:L2, to: F1:3}\n  - {wire: 4, from: F1:4, to: E1:2}\n"
    assert fired(SLUG, design(HEAD + LINES + wires)) == []


def test_a_neutral_needs_no_device_but_not_that_of_another_circuit() -> None:
    assert fired(SLUG, design(HEAD + LINES + "  - {wire: 3, from: X0:N, to: E1:2}\n")) == []
    wires = "  - {wire: 3, from: X0:N, to: F2:3}\n  - {wire: 4, from: F2:4, to: E1:2}\n"
    [finding] = fired(SLUG, design(HEAD + LINES + wires))
    assert (finding.signal, finding.subjects) == ("CAUTION", ("E1", "F1", "F2"))


def test_a_line_through_the_device_of_another_circuit() -> None:
    """Two devices of several poles, each in one line: opening one leaves the load with the other line. Single poles
    that each stand in one line, as three fuses of a delta, are right."""
    wires = "  - {wire: 3, from: X0:L2, to: F2:3}\n  - {wire: 4, from: F2:4, to: E1:2}\n"
    [finding] = fired(SLUG, design(HEAD + LINES + wires))
    assert (finding.signal, set(finding.subjects)) == ("WARNING", {"E1", "F1", "F2"})
    single = (HEAD + LINES + wires.replace("F2:3", "F2:1").replace("F2:4", "F2:2")).replace("poles: 2, ", "")
    assert fired(SLUG, design(single)) == []
