"""What one play of the sequence in numbers assumes."""

from __future__ import annotations

from msgspec import Struct

from wiring.control.inject import TOGETHER, Order
from wiring.control.script import StopUse, springing_back
from wiring.solver.assembly import Actuator


class Condition(Struct, frozen=True):
    """What a run of the sequence assumes: which coil is faster than the others, how a program leaves its outputs at the
    stop, whether supplies in a network without operating point carry on or let go, which operators are `changed` while
    the stop is in, whether those that spring back are `held`, and whether the faults
    come only `while_stopped`."""

    order: Order = TOGETHER
    outputs_on: bool = True
    carried: bool = True
    changed: frozenset[Actuator] = frozenset()
    held: bool = False
    while_stopped: bool = False

    def left_alone(self, use: StopUse, worked: frozenset[Actuator]) -> frozenset[Actuator]:
        """Of the operators that stood `worked`, those that stand so when the hands are gone, or where they are held."""
        now = worked ^ self.changed
        return now if self.held else now - springing_back(use.operators)
