"""Constant-power loads on one linear network: from no load down to the operating point.

Where all loads depress one another, the voltages of the fixed-point iteration fall round by round and never pass below
the highest solution, and so do Newton's: the current of such a load is convex in its voltage (monotone Newton theorem,
J. M. Ortega and W. C. Rheinboldt, "Iterative Solution of Nonlinear Equations in Several Variables" (1970), 13.3; from
memory). A voltage at zero or a pivot that is not positive then proves that there is no solution at all. Where loads
help one another, as across stacked rails, the proof fails and `ports` follows the rise of the load instead.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from math import sqrt

from msgspec import Struct

from wiring.solver import ports
from wiring.solver.grid import Grid, Linear
from wiring.solver.ldl import Factor, NotPositive
from wiring.solver.network import Scalar

FIXED_ROUNDS = 15
PHASOR_ROUNDS = 40
NEWTON_ROUNDS = 80
SLOW = 0.5  # a fixed point that shrinks its gap by less than this is left to Newton
TIGHT_A = 1e-10


class Load:
    """A running load between two unknowns: i = conj(power / v) + amps v / |v|."""

    __slots__ = ("a", "amps", "b", "index", "power")

    def __init__(self, index: int, ends: tuple[int, int], power: Scalar, amps: Scalar = 0.0) -> None:
        self.index = index
        self.a, self.b = ends
        self.power = power
        self.amps = amps

    def volts(self, values: Sequence[Scalar]) -> Scalar:
        return values[self.a] - values[self.b]

    def current(self, volts: Scalar) -> Scalar:
        if self.amps:
            return self.amps * volts / abs(volts)
        return (self.power / volts).conjugate()


def turned(watts: float, power_factor: float, phasors: bool) -> Scalar:
    """Complex power of a lagging load, plain watts at 0 Hz."""
    return complex(watts, watts * _tangent(power_factor)) if phasors else watts


def lagging(amps: float, power_factor: float) -> complex:
    """The phasor of a lagging current against its own voltage."""
    return complex(amps * power_factor, -amps * sqrt(1.0 - power_factor * power_factor))


def _tangent(power_factor: float) -> float:
    return sqrt(1.0 - power_factor * power_factor) / power_factor


class Settling(Enum):
    FOUND = "found"
    NONE = "no operating point"
    UNKNOWN = "not decided"


class Settled(Struct):
    """`volts` are the operating point, or where the descent ended; `solver` fits its refinement."""

    how: Settling
    volts: list[Scalar]
    solver: Factor
    reason: str = ""


def settle(linear: Linear, loads: Sequence[Load], start: list[Scalar]) -> Settled:
    """The operating point of `loads` on `linear`, coming down from the no-load voltages `start`."""
    if not loads:
        return Settled(Settling.FOUND, linear.volts(linear.right), linear.factor)
    settled = _descend(linear, loads, start)
    settled.volts = linear.levelled(settled.volts)
    return settled


def _descend(linear: Linear, loads: Sequence[Load], start: list[Scalar]) -> Settled:
    phasors = linear.grid.phasors
    found, volts, fallen = _fixed_point(linear, loads, start, PHASOR_ROUNDS if phasors else FIXED_ROUNDS)
    if found:
        return Settled(Settling.FOUND, volts, linear.factor)
    if not phasors and not fallen:
        newton = _newton(linear.grid, linear, loads, volts)
        if newton.how is Settling.FOUND:
            return newton
        volts = newton.volts
    return _last_resort(linear, loads, start, volts)


def _fixed_point(
    linear: Linear, loads: Sequence[Load], start: list[Scalar], rounds: int
) -> tuple[bool, list[Scalar], bool]:
    """Whether it settled, the voltages it ended at, and whether a load fell to zero on the way."""
    volts, last_gap = start, float("inf")
    opened = [load.volts(start) for load in loads]
    drawn = [load.current(value) for load, value in zip(loads, opened, strict=True)]
    for count in range(rounds):
        right = linear.right.copy()
        for load, amps in zip(loads, drawn, strict=True):
            right[load.a] -= amps
            right[load.b] += amps
        volts = linear.volts(right)
        across = [load.volts(volts) for load in loads]
        if any(not (now * was.conjugate()).real > 0.0 for now, was in zip(across, opened, strict=True)):
            return False, volts, True
        wanted = [load.current(value) for load, value in zip(loads, across, strict=True)]
        gap = max([abs(now - was) for now, was in zip(wanted, drawn, strict=True)])
        drawn = wanted
        if gap <= TIGHT_A + 1e-11 * max([abs(amps) for amps in drawn]):
            return True, volts, False
        if count > 3 and gap > SLOW * last_gap and gap > 1e-9:
            break
        last_gap = gap
    return False, volts, False


def _newton(grid: Grid, linear: Linear, loads: Sequence[Load], volts: list[Scalar]) -> Settled:
    last = float("inf")
    solver = linear.factor
    for _ in range(NEWTON_ROUNDS):
        across = [load.volts(volts).real for load in loads]
        if min(across) <= 0.0:
            return Settled(Settling.UNKNOWN, volts, solver)
        slopes = [
            (load.a, load.b, -load.power.real / (value * value)) for load, value in zip(loads, across, strict=True)
        ]
        try:
            solver = grid.jacobian(linear, slopes)
        except NotPositive:
            return Settled(Settling.UNKNOWN, volts, solver)
        gap = excess(linear, loads, volts)
        size = max([abs(value) for value in gap[:-1]])
        if size <= 1e-10 or (size >= last and size < 1e-7):
            return Settled(Settling.FOUND, volts, solver)
        last = size
        step = solver.solve(gap)
        volts = [value - change for value, change in zip(volts, step, strict=True)]
    return Settled(Settling.UNKNOWN, volts, solver)


def excess(
    linear: Linear, loads: Sequence[Load], volts: Sequence[Scalar], fine: Sequence[Scalar] | None = None
) -> list[Scalar]:
    """Current leaving each unknown, which Kirchhoff wants at zero; `fine` are corrections below rounding of `volts`."""
    low = fine or [0.0] * len(volts)
    out: list[Scalar] = [0.0] * len(volts)
    for lines in (linear.grid.branches, linear.sources, linear.diodes, linear.draws):
        for a, b, g, e, j in lines:
            amps = j + g * ((volts[a] - volts[b] - e) + (low[a] - low[b]))
            out[a] += amps
            out[b] -= amps
    for load in loads:
        amps = load.current((volts[load.a] - volts[load.b]) + (low[load.a] - low[load.b]))
        out[load.a] += amps
        out[load.b] -= amps
    return out


def _last_resort(linear: Linear, loads: Sequence[Load], start: list[Scalar], volts: list[Scalar]) -> Settled:
    """Nothing found by descent: a proof that there is nothing, or the slow way."""
    if linear.monotone and not linear.grid.phasors:
        return Settled(Settling.NONE, volts, linear.factor)
    seen = ports.see(linear, loads, start)
    linear.monotone = seen.is_monotone()
    if linear.monotone and not linear.grid.phasors:
        return Settled(Settling.NONE, volts, linear.factor)
    if len(loads) > ports.MOST:
        reason = f"{len(loads)} constant-power loads near collapse are more than the {ports.MOST} that can be followed"
        return Settled(Settling.UNKNOWN, volts, linear.factor, reason)
    share, across = ports.ramp(seen, loads)
    if across is None:
        if linear.monotone:
            return Settled(Settling.NONE, volts, linear.factor)
        reason = f"loads that raise one another's voltage can be followed only up to {100 * share:.0f} % of their power"
        return Settled(Settling.UNKNOWN, volts, linear.factor, reason)
    right = linear.right.copy()
    for load, value in zip(loads, across, strict=True):
        amps = load.current(value)
        right[load.a] -= amps
        right[load.b] += amps
    volts = linear.volts(right)
    if linear.grid.phasors:
        return Settled(Settling.FOUND, volts, linear.factor)
    polished = _newton(linear.grid, linear, loads, volts)
    if polished.how is Settling.FOUND:
        return polished
    return Settled(Settling.UNKNOWN, volts, linear.factor, "the operating point found is not stable")
