"""Two contactors that a mechanical lock keeps apart are never in together, whatever feeds their coils.

By hand: each coil lies behind the break contact of the other one, and both ways are fed. The electrical lock alone lets
both coils in and out for ever; the mechanical one lets one in, and its break contact then keeps the other out.
"""

from __future__ import annotations

import pytest
from helpers import design

from wiring.solver.assembly import Position
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate

WAYS = """
parts:
  G1: {{kind: supply, input: 230 V AC, output: 24 V DC, rated: 5 A}}
  {a}: {{kind: contactor, poles: 3, rated: 9 A, coil: 24 V DC 3 W, contacts: {{21-22: NC}}{lock}}}
  {b}: {{kind: contactor, poles: 3, rated: 9 A, coil: 24 V DC 3 W, contacts: {{21-22: NC}}}}
wires:
  - {{wire: 3, from: 'G1:V+', to: '{b}:21'}}
  - {{wire: 4, from: '{b}:22', to: '{a}:A1'}}
  - {{wire: 5, from: 'G1:V+', to: '{a}:21'}}
  - {{wire: 6, from: '{a}:22', to: '{b}:A1'}}
  - {{wire: 7, from: '{a}:A2', to: 'G1:V-'}}
  - {{wire: 8, from: '{b}:A2', to: 'G1:V-'}}
"""


def stands(text: str) -> OperatingPoint:
    return operate(design(text).machine.lowered, Position())


@pytest.mark.parametrize(("a", "b"), [("K1", "K2"), ("K2", "K1")])
def test_one_of_two_locked_contactors_is_in(a: str, b: str) -> None:
    """The lock holds both ways, whichever of the two names it."""
    point = stands(WAYS.format(a=a, b=b, lock=f", interlock: {b}"))
    assert point.settled
    assert point.attracted & {("K1", "coil"), ("K2", "coil")} == {("K1", "coil")}


def test_without_the_mechanical_lock_they_never_rest() -> None:
    assert not stands(WAYS.format(a="K1", b="K2", lock="")).settled
