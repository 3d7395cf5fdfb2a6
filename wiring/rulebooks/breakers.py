"""Circuit-breakers: tripping bands by curve, direct current, breaking capacity, and how many supplies one feeds.

The magnetic release follows the peak of the current. An alternating 1 A has a peak of 1.41 A, so on direct current the
release needs up to 1.5 times the figure of the AC curve; one page states the opposite. Hence the factor 1.5 where a
breaker must trip, and 1.0 where it must hold.
"""

from __future__ import annotations

from functools import cache
from math import floor, inf

from wiring.parts.ranges import above_zero
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.tables import load
from wiring.rulebooks.time_current import Curve, CurvePoint, OpeningTime, by_current, in_rating_band, rated_points

MAGNETIC_S = tabled("common", "breaker_at_once").value
_USUAL_OPENING = tabled("common", "breaker_half_cycle")
#: Opening time of a miniature breaker in its magnetic range: half a cycle of 50 Hz, and what counts on direct current.
USUAL_OPENING_S = _USUAL_OPENING.value
DC_MUST_TRIP_FACTOR = tabled("common", "breaker_dc_trip").value

_DC_NOTE = (
    "on DC the magnetic release is taken at 1.5 times its AC figure to trip and 1.0 times to hold; sources disagree"
)
_NO_CURVE_NOTE = "the curve is not known: no magnetic release is counted on to trip, the most sensitive one to hold"


def default_standard(curve: str) -> str:
    """The standard a curve letter belongs to: B, C, D and unknown to IEC 60898-1, K and Z to IEC 60947-2."""
    return "IEC 60947-2" if curve in ("K", "Z") else "IEC 60898-1"


#: Standard -> (book, kind of thermal release in the table breaker_thermal).
_KINDS = {
    "IEC 60898-1": ("iec", "household"),
    "IEC 60947-2": ("iec", "industrial"),
    "UL 489": ("na", "branch"),
    "UL 1077": ("na", "supplementary"),
}


def _thermal(book: str, kind: str, rating_a: float) -> list[CurvePoint]:
    rows = [row for row in load(book, "breaker_thermal").where(kind=kind) if in_rating_band(row, rating_a)]
    return rated_points(rows, rating_a)


def _magnetic(book: str, curve: str, rating_a: float, dc: bool) -> list[CurvePoint]:
    table = load(book, "breaker_magnetic")
    if curve == "":
        mild = min(table.rows, key=lambda row: row.number("hold_multiple"))
        return [CurvePoint(mild.number("hold_multiple") * rating_a, mild.source, hold_s=MAGNETIC_S)]
    row = table.row(curve)
    if row is None:
        known = ", ".join(str(row.cells["curve"]) for row in table.rows)
        raise ValueError(f"{curve!r} is no tripping curve of a breaker; {known} are known")
    factor = DC_MUST_TRIP_FACTOR if dc else 1.0
    return [
        CurvePoint(row.number("hold_multiple") * rating_a, row.source, hold_s=MAGNETIC_S),
        CurvePoint(row.number("trip_multiple") * factor * rating_a, row.source, open_s=MAGNETIC_S),
    ]


@cache
def breaker_curve(curve: str, rating_a: float, dc: bool, standard: str = "") -> Curve:
    """The points of a breaker; `curve` B, C, D, K, Z or "" when not known, `rating_a` above zero [A].

    `standard` IEC 60898-1, IEC 60947-2, UL 489 or UL 1077, by default that of the curve. UL 1077 promises no thermal
    trip at all: its maker states it. Raises ValueError for a curve, standard or rating that does not exist.
    Source: tables breaker_thermal and breaker_magnetic.
    """
    above_zero(rating_a=rating_a)
    standard = standard or default_standard(curve)
    if standard not in _KINDS:
        raise ValueError(f"{standard!r} is no standard of breakers; {', '.join(_KINDS)} are known")
    book, kind = _KINDS[standard]
    thermal = _thermal(book, kind, rating_a)
    if kind == "household":
        thermal += _thermal(book, f"household {curve}", rating_a)
    carries = CurvePoint(rating_a, thermal[0].source, hold_s=inf)
    note = "; ".join(text for text, holds in ((_NO_CURVE_NOTE, curve == ""), (_DC_NOTE, dc and curve != "")) if holds)
    return Curve(by_current([carries, *thermal, *_magnetic(book, curve, rating_a, dc)]), note=note)


def trip_band(curve: str, rating_a: float, current_a: float, dc: bool, standard: str = "") -> OpeningTime:
    """Earliest and latest opening time of a breaker [s] at a current [A]; see `breaker_curve` for the arguments.

    `max_s` is for "must trip", `min_s` for "must hold". Raises ValueError as `breaker_curve`, and below zero.
    """
    return breaker_curve(curve, rating_a, dc, standard).at(current_a)


def breaker_let_through(
    curve: str,
    rating_a: float,
    fault_a: float,
    dc: bool,
    standard: str = "",
    energy_class: str = "",
    breaking_a: float | None = None,
    half_cycle_s: float = USUAL_OPENING_S,
) -> Limit | NotTabled:
    """Energy that a breaker lets through in a short circuit [A2s], an estimate: current squared times opening time.

    In the magnetic range the time is half a cycle of its supply, which makers beat and the standard does not promise
    (0.1 s), or what its energy limiting class allows where that is less; else it is the upper time of the band.
    NotTabled when the breaker need not trip. Raises ValueError as `breaker_curve`.
    """
    band = trip_band(curve, rating_a, fault_a, dc, standard)
    if band.max_s == inf or band.max_source is None:
        return NotTabled(f"no opening time is promised for a breaker of {rating_a:g} A at {fault_a:.3g} A")
    if band.max_s > MAGNETIC_S:
        return Limit(fault_a**2 * band.max_s, "A2s", band.max_source, band.note)
    note = "current squared times half a cycle; no energy class is known, and the standard promises only 0.1 s"
    half_cycle = Limit(fault_a**2 * (USUAL_OPENING_S if dc else half_cycle_s), "A2s", _USUAL_OPENING.source, note)
    limited = None if dc or energy_class != "3" else _limited_energy(curve, rating_a, fault_a, breaking_a)
    return half_cycle if limited is None or limited.value > half_cycle.value else limited


def _limited_energy(curve: str, rating_a: float, fault_a: float, breaking_a: float | None) -> Limit | None:
    """What a breaker of energy limiting class 3 lets through [A2s]; None where the table does not say.

    The table holds at the breaking capacity; below it the energy falls at least as the current does (the curves of
    makers, common practice). Without a marking the capacity that allows most counts.
    """
    rows = [
        row
        for row in load("iec", "breaker_energy_class_3").where(curve=curve)
        if row.number("over_a") < rating_a <= row.number("to_a")
        and row.number("breaking_a") >= max(fault_a, breaking_a or fault_a)
    ]
    if not rows:
        return None
    row = rows[-1 if breaking_a is None else 0]
    note = f"energy limiting class 3: {row.number('energy_a2s'):.0f} A2s at {row.number('breaking_a'):.0f} A"
    return Limit(row.number("energy_a2s") * fault_a / row.number("breaking_a"), "A2s", row.source, note)


def breaker_breaking_capacity(marked_a: float | None, standard: str = "IEC 60898-1") -> Limit:
    """Short-circuit current that a breaker breaks [A]: its marking, else the lowest value of its standard.

    Raises ValueError for an unknown standard. Source: table breaking_capacity.
    """
    names = {
        "IEC 60898-1": "IEC breaker",
        "IEC 60947-2": "IEC breaker",
        "UL 489": "UL 489 breaker",
        "UL 1077": "UL 1077 breaker",
    }
    if standard not in names:
        raise ValueError(f"{standard!r} is no standard of breakers; {', '.join(names)} are known")
    if marked_a is not None:
        return Limit(marked_a, "A", Source("marking of the device", "", "", Standing.CONFIRMED))
    row = load("common", "breaking_capacity").row(names[standard])
    assert row is not None
    return row.limit("breaking_a", "the plan gives no breaking capacity; the lowest of the standard is used")


def standard_breaking_capacity(fault_a: float) -> Limit | NotTabled:
    """The smallest standard breaking capacity of a breaker that is not below a current [A]; NotTabled above them all.

    Source: IEC 60898-1 5.3.4.
    """
    rows = load("iec", "breaker_breaking_ratings").rows
    row = next((row for row in rows if row.number("breaking_a") >= fault_a), None)
    return row.limit("breaking_a") if row else NotTabled(f"no breaker to IEC 60898-1 breaks {fault_a / 1000:.3g} kA")


def supplies_behind_breaker(
    curve: str, rating_a: float, inrush_peak_a: float | None, running_a: float, proof_factor: float = 1.0
) -> int:
    """How many equal supplies can be switched on together behind one breaker, shape ().

    `inrush_peak_a` peak of one supply, None when limited to its running current; `running_a` above zero [A];
    `proof_factor` from the breaker's own curve for pulses shorter than 10 ms, 1 is safe.
    Raises ValueError out of range. Source: lower magnetic multiple of the curve; common practice.
    """
    above_zero(running_a=running_a, proof_factor=proof_factor, rating_a=rating_a)
    by_running = floor(rating_a / running_a)
    if inrush_peak_a is None:
        return by_running
    above_zero(inrush_peak_a=inrush_peak_a)
    row = load("iec", "breaker_magnetic").row(curve)
    if row is None:
        raise ValueError(f"{curve!r} is no tripping curve of a breaker")
    return min(by_running, floor(proof_factor * row.number("hold_multiple") * rating_a / inrush_peak_a))
