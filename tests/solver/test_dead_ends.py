"""A contact that feeds no load leaves no trace in the currents, but what hangs behind it must still go dead."""

from __future__ import annotations

from msgspec.structs import replace

from tests.helpers import design
from wiring.solver.settling import operate

PLAN = """\
mains: {inlet: X0, system: single-phase, voltage: 230 V}
parts:
  X0: {kind: inlet}
  S1: {kind: selector, contacts: {11-12: NC}}
  X1: {kind: terminals, points: 1}
wires:
  - {wire: 1, from: X0:L, to: S1:11, size: 1.5 mm2, length: 1 m}
  - {wire: 2, from: S1:12, to: X1:1, size: 1.5 mm2, length: 1 m}
"""


def test_a_dead_end_behind_a_contact_that_opens_loses_its_voltage() -> None:
    made = design(PLAN)
    before = next(iter(made.states.values()))
    assert abs(before.volts(("X1", "1"), "AC") or 0.0) > 229.0
    opened = replace(before.position, moved=before.position.moved | {("S1", "operator")})
    after = operate(before.lowered, opened, before)
    assert after.volts(("X1", "1"), "AC") is None
    assert abs(after.volts(("S1", "11"), "AC") or 0.0) > 229.0


def test_and_gets_it_back_when_the_contact_closes() -> None:
    made = design(PLAN)
    closed = next(iter(made.states.values()))
    opened = operate(
        closed.lowered, replace(closed.position, moved=closed.position.moved | {("S1", "operator")}), closed
    )
    again = operate(closed.lowered, closed.position, opened)
    assert abs(again.volts(("X1", "1"), "AC") or 0.0) > 229.0
