"""Sound machines that a rule once took for faulty, each beside its faulty twin: the first quiet, the second told.

What is right is trade practice and the maker's data sheet; where a standard says it, it stands beside the case.
"""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired

DRIVEN = """
mains: {{inlet: X0, system: single-phase, voltage: 230 V, earthing: TN-S}}
parts:
  X0: {{kind: inlet}}
  XPE: {{kind: earth-bar, points: 4}}
  T1: {{kind: inverter, supply: 230 V AC, rated: 750 W}}
  M1: {{kind: motor, voltage: 230 V AC, phases: 3, rated_power: 500 W}}
wires:
  - {{wire: 1, from: X0:L, to: T1:L}}
  - {{wire: 2, from: "X0:N", to: T1:N}}
  - {{wire: 3, from: T1:U, to: M1:U}}
  - {{wire: 4, from: T1:V, to: M1:V}}
  - {{wire: 5, from: T1:W, to: M1:W}}
  - {{wire: PE1, from: X0:PE, to: XPE:1, colour: GNYE}}
  - {{wire: PE3, from: T1:PE, to: M1:PE, colour: GNYE}}
{earth}"""


# IEC 61800-5-1, 4.3.5.3 (from memory): a drive has a terminal for the protective conductor of its motor.
@pytest.mark.parametrize(
    ("earth", "bare"),
    [("  - {wire: PE2, from: XPE:2, to: T1:PE, colour: GNYE}\n", set()), ("", {"M1", "T1"})],
)
def test_a_motor_is_earthed_by_the_terminal_of_its_drive(earth: str, bare: set[str]) -> None:
    body = DRIVEN.format(earth=earth)
    told = {name for one in fired("earth-missing", design(body)) for name in one.subjects}
    assert told & {"M1", "T1"} == bare
