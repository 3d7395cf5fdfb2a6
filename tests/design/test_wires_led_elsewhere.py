"""An end of a conductor led to another terminal, as an edit of the plan."""

from __future__ import annotations

from helpers import design

from wiring.design.edits import led_to
from wiring.plan.edits import SetValue

CABLE = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}
  X1: {kind: terminals, points: 2}
  E1: {kind: load, rated: 24 V DC 24 W}
wires:
  - {wire: 2, from: G1:V-, to: E1:2}
cables:
  - {cable: C1, cores: 1, size: 1 mm2, length: 1 m, join: {1: [G1:V+, E1:1]}}
"""


def test_each_end_of_a_core_is_the_one_that_the_plan_writes_there() -> None:
    """`join` writes the near end first and the far end second."""
    machine = design(CABLE)
    core = machine.circuit.conductor["C1.1"]
    for end, place in ((("G1", "V+"), 0), (("E1", "1"), 1)):
        [edit] = led_to(machine, core, end, ("X1", "2"))
        assert isinstance(edit, SetValue)
        assert edit.path == ("cables", "C1", "join", "1", place)
        assert edit.value == '"X1:2"'
