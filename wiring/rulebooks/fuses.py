"""Fuses: time-current bands, I2t, breaking capacity and cold resistance by class.

Classes are gG and aM (IEC 60269), FF, F, M, T, TT (miniature, IEC 60127) and CC, J, RK1, RK5, T-UL, G, K5, H, L,
midget (UL 248). "T" alone is the time-lag miniature fuse; the UL class of that letter is written T-UL.
"""

from __future__ import annotations

from functools import cache
from math import inf

from wiring.parts.ranges import above_zero
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.tables import Row, Table, load
from wiring.rulebooks.time_current import (
    HALF_CYCLE_60_HZ_S,
    Curve,
    CurvePoint,
    OpeningTime,
    by_current,
    in_rating_band,
    rated_points,
)

MINIATURE = ("FF", "F", "M", "T", "TT")
UL_CLASSES = ("CC", "J", "RK1", "RK5", "T-UL", "G", "K5", "H", "L", "midget")
CLASSES = ("gG", "aM", *MINIATURE, *UL_CLASSES)
_BETWEEN = "the rating is not tabled: the next larger one is used to open, the next smaller one to hold"
_AM_NOTE = "aM opens on short circuits only; overloads need another device"


def _safe_envelope(groups: list[list[CurvePoint]]) -> list[CurvePoint]:
    """What all of several standard sheets promise: points that even the weakest sheet meets."""
    if len(groups) == 1:
        return groups[0]
    currents = sorted({point.current_a for group in groups for point in group})
    curves = [Curve(by_current(group)) for group in groups]
    safe = []
    for current in currents:
        bands = [curve.at(current) for curve in curves]
        hold, latest = min(bands, key=lambda band: band.min_s), max(bands, key=lambda band: band.max_s)
        if hold.min_source is not None and hold.min_s > 0.0:
            safe.append(CurvePoint(current, hold.min_source, hold_s=hold.min_s))
        if latest.max_source is not None:
            safe.append(CurvePoint(current, latest.max_source, open_s=latest.max_s))
    return safe


def _miniature(fuse_class: str, rating_a: float, letter: str) -> Curve:
    rows = [row for row in load("iec", "fuse_multiples").where(fuse_class=fuse_class) if in_rating_band(row, rating_a)]
    letters = sorted({row.text("breaking_letter") for row in rows})
    wanted = [letter] if letter in letters else letters
    groups = [rated_points([row for row in rows if row.text("breaking_letter") == name], rating_a) for name in wanted]
    if not groups:
        return Curve((), note=f"no points are tabled for a fuse {fuse_class} of {rating_a:g} A")
    points = _safe_envelope(groups)
    note = "" if len(wanted) == 1 else f"breaking letter not known: the weaker of {' and '.join(letters)} counts"
    return Curve(by_current([CurvePoint(rating_a, points[0].source, hold_s=inf), *points]), note=note)


def _gg_points(row: Row, opening: bool) -> list[CurvePoint]:
    if opening:
        return [
            CurvePoint(row.number("open_5s_a"), row.source, open_s=5.0),
            CurvePoint(row.number("open_0p1s_a"), row.source, open_s=0.1),
        ]
    return [
        CurvePoint(row.number("hold_10s_a"), row.source, hold_s=10.0),
        CurvePoint(row.number("hold_0p1s_a"), row.source, hold_s=0.1),
    ]


def _gg(rating_a: float) -> Curve:
    conventional = load("iec", "fuse_gg_conventional").band("rating", "a", rating_a)
    assert conventional is not None
    hour_s = conventional.number("time_h") * 3600.0
    points = [
        CurvePoint(rating_a, conventional.source, hold_s=inf),
        CurvePoint(conventional.number("hold_multiple") * rating_a, conventional.source, hold_s=hour_s),
        CurvePoint(conventional.number("open_multiple") * rating_a, conventional.source, open_s=hour_s),
    ]
    table: Table = load("iec", "fuse_gg_gates")
    above, below = table.at_or_above("rating_a", rating_a), table.at_or_below("rating_a", rating_a)
    if above is not None:
        points += _gg_points(above, opening=True)
    if below is not None:
        points += _gg_points(below, opening=False)
    # Below 16 A the standard gives no total I2t; a smaller fuse lets through no more than the first one that has it.
    bounded = next(
        (row for row in table.rows if row.number("rating_a") >= rating_a and row.number_or_none("total_a2s")), None
    )
    return Curve(
        by_current(points),
        melting_a2s=below.number_or_none("prearcing_a2s") if below else None,
        total_a2s=bounded.number("total_a2s") if bounded else None,
        note="" if above is not None and above is below else _BETWEEN,
        i2t_source=(bounded or below or conventional).source,
    )


def _ul(fuse_class: str, rating_a: float, time_delay: bool) -> Curve:
    kind = load("na", "fuse_classes").row(fuse_class)
    assert kind is not None
    largest = kind.number("rating_max_a")
    if rating_a > largest:
        return Curve((), note=f"class {fuse_class} ends at {largest:g} A")
    table = load("na", "fuse_multiples")
    rows = [
        row
        for row in (*table.where(fuse_class="any"), *table.where(fuse_class=fuse_class))
        if in_rating_band(row, rating_a)
    ]
    points = rated_points(rows, rating_a)
    delay_s, percent = kind.number_or_none("time_delay_s"), kind.number_or_none("time_delay_percent")
    if time_delay and delay_s is not None and percent is not None:
        points.append(CurvePoint(percent / 100.0 * rating_a, kind.source, hold_s=delay_s))
    limit = next(
        (row for row in load("na", "fuse_let_through").where(fuse_class=fuse_class) if in_rating_band(row, rating_a)),
        None,
    )
    return Curve(
        by_current(points),
        total_a2s=limit.number("total_a2s") if limit else None,
        note="" if time_delay else "taken as fast acting: no time is promised above its rating",
        i2t_source=limit.source if limit else None,
        i2t_below_s=HALF_CYCLE_60_HZ_S,
    )


@cache
def fuse_curve(fuse_class: str, rating_a: float, letter: str = "", time_delay: bool = False) -> Curve:
    """The points of a fuse; `fuse_class` one of CLASSES, `rating_a` above zero [A].

    `letter` L, E or H of a miniature fuse; "" takes the weaker. `time_delay` holds for a UL fuse so marked. Where
    nothing is tabled the curve is empty: it promises neither to hold nor to open, and its note says so.
    Raises ValueError for an unknown class or a rating out of range. Source: tables fuse_*.
    """
    above_zero(rating_a=rating_a)
    if fuse_class == "gG":
        return _gg(rating_a)
    if fuse_class == "aM":
        points = rated_points(list(load("iec", "fuse_multiples").where(fuse_class="aM")), rating_a)
        return Curve(by_current([CurvePoint(rating_a, points[0].source, hold_s=inf), *points]), note=_AM_NOTE)
    if fuse_class in MINIATURE:
        return _miniature(fuse_class, rating_a, letter)
    if fuse_class in UL_CLASSES:
        return _ul(fuse_class, rating_a, time_delay)
    raise ValueError(f"{fuse_class!r} is no class of fuse; {', '.join(CLASSES)} are known")


def fuse_band(
    fuse_class: str, rating_a: float, current_a: float, letter: str = "", time_delay: bool = False
) -> OpeningTime:
    """Earliest and latest opening time of a fuse [s] at a current [A]; see `fuse_curve`. AC and DC alike.

    Raises ValueError as `fuse_curve`, and below zero.
    """
    return fuse_curve(fuse_class, rating_a, letter, time_delay).at(current_a)


def fuse_let_through(
    fuse_class: str, rating_a: float, fault_a: float, letter: str = "", time_delay: bool = False
) -> Limit | NotTabled:
    """Energy that a fuse lets through at a fault current [A2s], an upper bound: current squared times the latest time.

    For gG from 16 A up and currents that melt it within 10 ms this is the total I2t of IEC 60269-1 table 7, for the
    current-limiting classes of UL 248 the limit of their part.
    NotTabled where no opening is promised. Raises ValueError as `fuse_curve`.
    """
    band = fuse_band(fuse_class, rating_a, fault_a, letter, time_delay)
    if band.max_s == inf or band.max_source is None:
        return NotTabled(f"no opening time is promised for a fuse {fuse_class} of {rating_a:g} A at {fault_a:.3g} A")
    return Limit(fault_a**2 * band.max_s, "A2s", band.max_source, band.note)


def fuse_breaking_capacity(
    fuse_class: str, rating_a: float, marked_a: float | None = None, letter: str = ""
) -> Limit | NotTabled:
    """Short-circuit current that a fuse breaks [A]: its marking, else the least of its class.

    A miniature fuse of unknown letter counts as L, 35 A or ten times its rating, whichever is greater.
    Raises ValueError for an unknown class. Source: tables miniature_fuse_breaking, fuse_classes, breaking_capacity.
    """
    if marked_a is not None:
        return Limit(marked_a, "A", Source("marking of the device", "", "", Standing.CONFIRMED))
    if fuse_class not in CLASSES:
        raise ValueError(f"{fuse_class!r} is no class of fuse; {', '.join(CLASSES)} are known")
    if fuse_class in MINIATURE:
        return _miniature_breaking(rating_a, letter)
    if fuse_class == "midget":
        row = load("na", "supplementary_fuse_breaking").band("rating", "a", rating_a)
        return _in_amperes(row, f"a midget fuse of {rating_a:g} A")
    if fuse_class in UL_CLASSES:
        return _in_amperes(load("na", "fuse_classes").row(fuse_class), f"class {fuse_class}")
    row = load("common", "breaking_capacity").row(fuse_class)
    return row.limit("breaking_a", row.text("note")) if row else NotTabled(f"no breaking capacity of {fuse_class}")


def _miniature_breaking(rating_a: float, letter: str) -> Limit | NotTabled:
    row = load("iec", "miniature_fuse_breaking").row(letter or "L")
    if row is None:
        return NotTabled(f"{letter!r} is no breaking letter of a miniature fuse; L, E and H are known")
    least = row.number("breaking_a")
    value = max(least, (row.number_or_none("breaking_multiple") or 0.0) * rating_a)
    return Limit(value, "A", row.source, "" if letter else "breaking letter not given; L, the lowest, is taken")


def _in_amperes(row: Row | None, what: str) -> Limit | NotTabled:
    if row is None:
        return NotTabled(f"no breaking capacity is tabled for {what}")
    return Limit(row.number("breaking_ka") * 1000.0, "A", row.source, "at the AC voltage of the class")


def is_branch_class(fuse_class: str) -> bool:
    """Whether a fuse of that class may guard a branch circuit in North America; those of IEC are not listed for it.

    Raises ValueError for an unknown class. Source: table fuse_classes.
    """
    if fuse_class not in CLASSES:
        raise ValueError(f"{fuse_class!r} is no class of fuse; {', '.join(CLASSES)} are known")
    row = load("na", "fuse_classes").row(fuse_class)
    return row is not None and row.text("branch_circuit_use") != "no"
