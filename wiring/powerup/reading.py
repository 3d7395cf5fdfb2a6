"""A reading, and how badly what a fault predicts fits it.

A reading counts as Gaussian around what the fault predicts, with the spread of a usual meter and of the model; far off
is far off, so that one gross misfit does not grow without end.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot, inf

from msgspec import Struct

from wiring.powerup.causes import Cause
from wiring.powerup.step import Line, Meter, Sort

#: One standard deviation of a reading: share of it, and the least one (common practice, no source).
SPREAD: Mapping[Meter, tuple[float, float]] = {
    Meter.DC_V: (0.010, 0.03),
    Meter.AC_V: (0.020, 0.5),
    Meter.DC_A: (0.10, 0.01),
    Meter.AC_A: (0.10, 0.02),
    Meter.OHM: (0.04, 0.08),
    Meter.MILLIOHM: (0.08, 0.003),
    Meter.LOOK: (0.0, 0.1),
    Meter.SEEN: (0.0, 0.1),
}
#: Above this an ohmmeter's reading on a machine with electronics in it says no more than "high" [ohm].
HIGH_OHM = 1e4
#: Most that one reading counts against a fault, and what a reading may miss by and still be explained.
MOST_MISFIT, EXPLAINED = 24.0, 6.0


class Reading(Struct, frozen=True):
    """What was read at a line: SI, infinite for open; for a look 0 for in order and 1 for not."""

    line: Line
    value: float

    @property
    def is_judged(self) -> bool:
        """Whether a network or the eyes answer its line, so that it tells something about faults."""
        return self.line.is_numeric or bool(self.line.about)

    @property
    def is_wrong(self) -> bool:
        """Whether it is outside of what the sheet allows."""
        if self.line.expected.sort is Sort.LOOK:
            return self.value > 0.5
        return not self.line.expected.holds(self.value)


def spread(meter: Meter, *values: float) -> float:
    """One standard deviation of a reading near some values, in the unit of the meter."""
    share, least = SPREAD[meter]
    return hypot(share * max((abs(value) for value in values if value < inf), default=0.0), least)


def misfit(line: Line, predicted: float, read: float) -> float:
    """How badly a prediction fits a reading: half the square of the distance in standard deviations, at most
    MOST_MISFIT."""
    sort = line.expected.sort
    if sort is Sort.RISES:
        low = line.expected.low
        return 0.0 if (predicted >= low) == (read >= low) else MOST_MISFIT
    if line.meter.is_resistance:
        high = (predicted > HIGH_OHM, read > HIGH_OHM)
        if any(high):
            return 0.0 if all(high) else MOST_MISFIT
    distance = (predicted - read) / spread(line.meter, predicted, read)
    return min(0.5 * distance * distance, MOST_MISFIT)


def look_prediction(cause: Cause, line: Line) -> float:
    """What eyes see at a line with a cause: 1 where it shows."""
    return 1.0 if set(line.about) & set(cause.looks) else 0.0
