"""What the solver hands back."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from wiring.solver.network import Scalar


class Outcome(StrEnum):
    SOLVED = "solved"
    LOCKED_OUT = "locked-out"  # solved, with loads off because their voltage is below lock-out
    OVERLOADED = "overloaded"  # solved with sources off, or loads locked out, because a source is above its limit
    UNDECIDED = "undecided"  # the method could not tell; see `reason`
    COLLAPSED = "collapsed"  # no operating point: the supply cannot carry this


class SourceMode(StrEnum):
    CONSTANT_VOLTAGE = "constant-voltage"
    CONSTANT_CURRENT = "constant-current"
    BLOCKED = "blocked"  # its net stands higher than its setting
    OFF = "off"  # shut down by overload


class PowerState(StrEnum):
    RUNNING = "running"
    LOCKED_OUT = "locked-out"
    UNPOWERED = "unpowered"  # no voltage reaches it


class Overloaded(Struct, frozen=True):
    """A source above its limit, and the current it was asked for.

    It has shut down (mode OFF), or its voltage fell in constant current until loads went below lock-out and let it go.
    A source that simply rests in constant current is not listed; its mode says so.
    """

    source: int
    demand_a: float


class LockedOut(Struct, frozen=True):
    """A constant-power load below its lock-out. `volts` is what it sees while drawing, None when nothing holds its net
    and the voltage slides without a steady value."""

    load: int
    volts: float | None


class Solution(Struct, frozen=True):
    """Answers in the order of the network's elements; None where the island has no operating point.

    volts        to the island's reference; None also where the island has none
    branch_a     from `a` to `b`; diode_a, power_a, current_a likewise
    source_a     out of `plus`
    floating     nodes of every island of two nodes or more that has no reference
    adrift       nodes that only an idle load or a blocked element ties to the rest: their volts are what leakage would
                 make of them, loads before blocked elements
    residual_a   the largest failure of Kirchhoff's current law at any node of the solved islands
    """

    outcome: Outcome
    reason: str
    volts: tuple[Scalar | None, ...]
    branch_a: tuple[Scalar | None, ...]
    source_a: tuple[Scalar | None, ...]
    source_mode: tuple[SourceMode, ...]
    power_a: tuple[Scalar | None, ...]
    power_state: tuple[PowerState, ...]
    current_a: tuple[Scalar | None, ...]
    diode_a: tuple[Scalar | None, ...]
    floating: tuple[tuple[int, ...], ...]
    adrift: tuple[int, ...]
    overloaded: tuple[Overloaded, ...]
    locked_out: tuple[LockedOut, ...]
    collapsed: tuple[int, ...]  # constant-power loads of the islands that have no operating point
    residual_a: float
    potentials: tuple[Scalar | None, ...]  # to the internal reference of each island
    islands: tuple[int, ...]  # island of each node

    def between(self, a: int, b: int) -> Scalar | None:
        """Volts of `a` over `b`, also inside a floating island; None across islands or without operating point."""
        first, second = self.potentials[a], self.potentials[b]
        if first is None or second is None or self.islands[a] != self.islands[b]:
            return None
        return first - second
