"""When a protective device opens: the earliest and the latest time that its standard allows at a current.

Standards give points: at this current it must hold at least so long, at that one it must open within so long. A device
that passes is never faster than the next hold point above the current, and never slower than the last open point below
it. Both steps are safe without any guess about the curve between. Who asks whether a device *must* trip reads `max_s`;
who asks whether it *holds* (inrush, selectivity) reads `min_s`.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import inf, isfinite, sqrt

from msgspec import Struct

from wiring.rulebooks.citation import Source
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.tables import Row, is_above

#: Below this time a fuse heats without loss, so that its I2t no longer depends on the current.
I2T_RULES_BELOW_S = tabled("common", "fuse_energy_below").value
#: Half a cycle of 60 Hz: within it a current-limiting fuse of UL 248 opens, where the limits of its class hold.
HALF_CYCLE_60_HZ_S = 1.0 / 120.0


class CurvePoint(Struct, frozen=True):
    """At `current_a` [A] the device holds at least `hold_s` and opens within `open_s` [s], where given."""

    current_a: float
    source: Source
    hold_s: float | None = None
    open_s: float | None = None


def rated_points(rows: Iterable[Row], rating_a: float) -> list[CurvePoint]:
    """The points of table rows that give multiples of the rated current."""
    return [
        CurvePoint(
            row.number("current_multiple") * rating_a,
            row.source,
            row.number_or_none("hold_s"),
            row.number_or_none("open_s"),
        )
        for row in rows
    ]


def in_rating_band(row: Row, rating_a: float) -> bool:
    """Whether a row holds for a rated current; an empty end of its band is open."""
    low, high = row.number_or_none("rating_above_a"), row.number_or_none("rating_max_a")
    return (low is None or is_above(rating_a, low)) and (high is None or not is_above(rating_a, high))


class OpeningTime(Struct, frozen=True):
    """Earliest and latest opening time [s] at a current; 0 and infinity where nothing is promised, with the sources.

    `note` says what the reader must know about the two bounds.
    """

    min_s: float
    max_s: float
    min_source: Source | None = None
    max_source: Source | None = None
    note: str = ""


class Curve(Struct, frozen=True):
    """All points of one device and, for a fuse, its least melting and greatest total I2t [A2s].

    The two energies hold while it opens within `i2t_below_s`.
    """

    points: tuple[CurvePoint, ...]
    melting_a2s: float | None = None
    total_a2s: float | None = None
    note: str = ""
    i2t_source: Source | None = None
    i2t_below_s: float = I2T_RULES_BELOW_S

    def at(self, current_a: float) -> OpeningTime:
        """The band at a current [A], not negative. Raises ValueError otherwise."""
        if not current_a >= 0.0:
            raise ValueError(f"current_a is {current_a:g}; a current not below zero was expected")
        low: tuple[float, Source | None] = (0.0, None)
        high: tuple[float, Source | None] = (inf, None)
        for point in self.points:
            if point.hold_s is not None and point.current_a >= current_a and point.hold_s > low[0]:
                low = (point.hold_s, point.source)
            if point.open_s is not None and point.current_a <= current_a and point.open_s < high[0]:
                high = (point.open_s, point.source)
        low = self._melting(current_a, low)
        high = self._total(current_a, high)
        return OpeningTime(low[0], high[0], low[1], high[1], self.note)

    def _melting(self, current_a: float, low: tuple[float, Source | None]) -> tuple[float, Source | None]:
        if self.melting_a2s is None or current_a == 0.0:
            return low
        seconds = min(self.i2t_below_s, self.melting_a2s / current_a**2)
        return (seconds, self.i2t_source) if seconds > low[0] else low

    def _total(self, current_a: float, high: tuple[float, Source | None]) -> tuple[float, Source | None]:
        if self.total_a2s is None or current_a**2 * self.i2t_below_s < self.total_a2s:
            return high
        seconds = self.total_a2s / current_a**2
        return (seconds, self.i2t_source) if seconds < high[0] else high

    def opening_current(self, within_s: float) -> float:
        """Smallest current [A] at which it surely opens within a time [s]; infinite when none is promised."""
        points = [point.current_a for point in self.points if point.open_s is not None and point.open_s <= within_s]
        if self.total_a2s is not None and within_s > 0.0:
            points.append(sqrt(self.total_a2s / min(within_s, self.i2t_below_s)))
        return min(points, default=inf)

    def conventional_current(self) -> float:
        """Smallest current [A] at which it surely opens at all, I2 of IEC 60364-4-43; infinite when none is given."""
        return min((g.current_a for g in self.points if g.open_s is not None and isfinite(g.open_s)), default=inf)

    def corners(self) -> tuple[float, ...]:
        """The currents at which the band steps [A], rising."""
        return tuple(sorted({point.current_a for point in self.points}))


def by_current(points: Iterable[CurvePoint]) -> tuple[CurvePoint, ...]:
    """Points in rising order of current."""
    return tuple(sorted(points, key=lambda point: point.current_a))
