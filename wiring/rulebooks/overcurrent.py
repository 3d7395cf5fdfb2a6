"""Which device fits which load and conductor: continuous load, standard ratings, overload and short-circuit rules."""

from __future__ import annotations

from msgspec import Struct

from wiring.parts.ranges import above_zero, not_negative
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.tables import Row, load

#: What a device lets pass for ever may be this multiple of the ampacity.
LASTING_FACTOR = tabled("common", "lets_pass_for_ever").value
_CONTINUOUS = tabled("na", "continuous_margin")
_DESIGN = Source("IEC 60364-4-43", "2008", "433.1, Ib <= In", Standing.FROM_MEMORY)
_RULE_1 = Source("IEC 60364-4-43", "2008", "433.1, In <= Iz", Standing.FROM_MEMORY)
_RULE_2 = Source("IEC 60364-4-43", "2008", "433.1, I2 <= 1.45 Iz", Standing.ONE_SOURCE)
_NA_RULE = Source("NFPA 79", "2021", "7.2.1, rating within the ampacity", Standing.FROM_MEMORY)
_INTERRUPTING = Source("NFPA 70", "2023", "110.9", Standing.FROM_MEMORY)
_BREAKING = Source("IEC 60364-4-43", "2008", "434.5.1", Standing.FROM_MEMORY)

#: (book, kind) -> table of preferred ratings.
_LADDERS = {
    ("iec", "breaker"): ("iec", "breaker_ratings"),
    ("iec", "fuse"): ("iec", "fuse_ratings"),
    ("iec", "miniature-fuse"): ("iec", "miniature_fuse_ratings"),
    ("na", "breaker"): ("na", "standard_ratings"),
    ("na", "fuse"): ("na", "standard_ratings"),
    ("na", "miniature-fuse"): ("iec", "miniature_fuse_ratings"),
}


def least_device_rating(book: str, continuous_a: float, noncontinuous_a: float = 0.0) -> Limit:
    """Smallest rated current of a device for a load [A]; also the least ampacity of its conductor before factors.

    North America: 125 % of what runs three hours or more, plus the rest. IEC: the load itself.
    Raises ValueError below zero. Source: NFPA 70 210.20(A), 215.3; IEC 60364-4-43 433.1.
    """
    not_negative(continuous_a=continuous_a, noncontinuous_a=noncontinuous_a)
    if book == "na":
        return Limit(_CONTINUOUS.value * continuous_a + noncontinuous_a, "A", _CONTINUOUS.source)
    return Limit(continuous_a + noncontinuous_a, "A", _DESIGN)


def _ladder(book: str, kind: str) -> list[Row]:
    if (book, kind) not in _LADDERS:
        raise ValueError(f"no ratings of {kind!r} in the book {book!r}; breaker, fuse and miniature-fuse are known")
    rows = load(*_LADDERS[book, kind]).rows
    wanted = [row for row in rows if book == "iec" or kind != "breaker" or row.text("kind") == "fuse_and_breaker"]
    return sorted(wanted, key=lambda row: row.number("rating_a"))


def standard_ratings(book: str, kind: str) -> tuple[float, ...]:
    """The standard rated currents [A], rising; `kind` breaker, fuse or miniature-fuse. ValueError for another kind.

    Source: IEC 60898-1, IEC 60269-1, IEC 60127-2; NFPA 70 240.6(A).
    """
    return tuple(row.number("rating_a") for row in _ladder(book, kind))


def next_standard(book: str, kind: str, amps: float) -> Limit | NotTabled:
    """The smallest standard rating not below `amps` [A]; NotTabled above the largest. See `standard_ratings`."""
    above_zero(amps=amps)
    row = next((row for row in _ladder(book, kind) if row.number("rating_a") >= amps * (1.0 - 1e-9)), None)
    return row.limit("rating_a") if row else NotTabled(f"no standard rating of a {kind} reaches {amps:.3g} A")


def standard_at_or_below(book: str, kind: str, amps: float) -> Limit | NotTabled:
    """The largest standard rating not above `amps` [A]; NotTabled below the smallest. See `standard_ratings`."""
    rows = [row for row in _ladder(book, kind) if row.number("rating_a") <= amps * (1.0 + 1e-9)]
    return rows[-1].limit("rating_a") if rows else NotTabled(f"no standard rating of a {kind} is below {amps:.3g} A")


class Verdict(Struct, frozen=True):
    """Whether a rule holds; `value` was compared with `limit`, which names the rule and its source."""

    holds: bool
    value: float
    limit: Limit


def protects_conductor(
    book: str, rating_a: float, conventional_operating_a: float, allowed: Limit
) -> tuple[Verdict, Verdict]:
    """Whether a device protects a conductor against overload; the conductor is safe if both verdicts hold.

    `rating_a` In, above zero [A]; `conventional_operating_a` I2, the most it lets pass for ever [A], infinite when
    nothing is promised;
    `allowed` the corrected ampacity Iz of the conductor, or the limit for its small size where that is less; zero where
    it is so hot that it may carry nothing, and nothing protects it.
    In <= Iz and I2 <= 1.45 Iz. A machine has no next standard size up: that of NFPA 70 240.4(B) is for building wiring.
    Raises ValueError out of range. Source: IEC 60364-4-43 433.1; NFPA 79 7.2.1 and 7.2.4, the second by practice.
    """
    above_zero(rating_a=rating_a)
    rule = str(_NA_RULE if book == "na" else _RULE_1)
    note = "; ".join(text for text in (rule, allowed.note) if text)
    first = Limit(allowed.value, "A", allowed.source, note)
    second = Limit(LASTING_FACTOR * allowed.value, "A", _RULE_2)
    return (
        Verdict(rating_a <= first.value * (1.0 + 1e-9), rating_a, first),
        Verdict(conventional_operating_a <= second.value * (1.0 + 1e-9), conventional_operating_a, second),
    )


def withstood_energy(k: float, area_mm2: float) -> float:
    """Energy that a conductor withstands with no heat leaving it [A2s], up to 5 s.

    `k` [A·s^0.5/mm2] and area [mm2] above zero; ValueError otherwise. Source: IEC 60364-4-43 434.5.2, k2 S2.
    """
    above_zero(k=k, area_mm2=area_mm2)
    return (k * area_mm2) ** 2


def area_that_withstands(k: float, energy_a2s: float) -> float:
    """The cross-section that withstands an energy [mm2], 0 or more: the inverse of `withstood_energy`."""
    above_zero(k=k)
    not_negative(energy_a2s=energy_a2s)
    return float(energy_a2s**0.5) / k


def breaks_fault(book: str, capacity: Limit, fault_a: float) -> Verdict:
    """Whether a device breaks the fault current at its place [A], not negative.

    Raises ValueError otherwise. Source: IEC 60364-4-43 434.5.1; NFPA 70 110.9.
    """
    not_negative(fault_a=fault_a)
    note = "; ".join(text for text in (str(_INTERRUPTING if book == "na" else _BREAKING), capacity.note) if text)
    return Verdict(capacity.value >= fault_a, fault_a, Limit(capacity.value, capacity.unit, capacity.source, note))


def short_circuit_ratings(components: dict[str, str], marked_a: dict[str, float]) -> dict[str, Limit | NotTabled]:
    """Short-circuit current rating of each part of a power circuit [A]; that of the panel is the least of them.

    `components` part name -> kind of the table short_circuit_rating; `marked_a` part name -> its marking [A], which
    counts instead. NotTabled for a part that has neither. Source: UL 508A supplement SB.
    """
    table = load("na", "short_circuit_rating")
    found: dict[str, Limit | NotTabled] = {}
    for name in sorted(components):
        row = table.row(components[name])
        if name in marked_a:
            found[name] = Limit(marked_a[name], "A", Source("marking of the part", "", "", Standing.CONFIRMED), name)
        elif row is not None and row.number_or_none("rating_ka") is not None:
            found[name] = Limit(row.number("rating_ka") * 1000.0, "A", row.source, f"{name}, which has no marking")
        else:
            found[name] = NotTabled(f"{name} ({components[name]}) has no marked short-circuit rating and no default")
    return found
