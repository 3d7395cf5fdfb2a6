"""Transformers: full-load currents, protective devices on both sides, switch-on current."""

from __future__ import annotations

from math import sqrt

from wiring.parts.ranges import above_zero
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.overcurrent import next_standard, standard_at_or_below
from wiring.rulebooks.tables import Row, load

_SECONDARY_IEC = Source("IEC 60204-1", "2016", "7.2.7 and 7.2.10", Standing.FROM_MEMORY)


def transformer_current(power_va: float, volts: float, phases: int = 1) -> float:
    """Rated current of one side [A]; power and voltage (between lines for three phases) above zero.

    Raises ValueError otherwise, and for phases other than 1 or 3. Source: definition.
    """
    above_zero(power_va=power_va, volts=volts)
    if phases not in (1, 3):
        raise ValueError(f"{phases} phases; 1 or 3 was expected")
    return power_va / (volts * sqrt(phases))


def _percent_row(method: str, side: str, rated_a: float) -> Row:
    for row in load("na", "transformer_device").where(method=method, side=side):
        low, high = row.number_or_none("primary_min_a") or 0.0, row.number_or_none("primary_below_a")
        if rated_a >= low and (high is None or rated_a < high):
            return row
    raise ValueError(f"{rated_a:g} A is outside the table of devices for transformers")


def _device(row: Row, rated_a: float, kind: str) -> Limit:
    limit_a = row.number("largest_percent") / 100.0 * rated_a
    if row.text("next_size_up") == "yes":
        rounded = next_standard("na", kind, limit_a)
        if isinstance(rounded, Limit):
            note = f"{row.number('largest_percent'):g} % is {limit_a:.3g} A; the next standard rating is allowed"
            return Limit(rounded.value, "A", row.source, note)
    return Limit(limit_a, "A", row.source, f"{row.number('largest_percent'):g} %, not to be rounded up")


def primary_device(primary_a: float, secondary_protected: bool, control: bool = False, kind: str = "breaker") -> Limit:
    """Largest primary device of a transformer [A] for its rated primary current, above zero; North America.

    `secondary_protected`: a device within `secondary_device` stands on the secondary. `control`: a control transformer
    of a motor circuit, for which 500 % holds below 2 A. Raises ValueError otherwise.
    Source: NFPA 70 table 450.3(B), 430.72(C).
    """
    above_zero(primary_a=primary_a)
    if control and primary_a < 2.0:
        return _device(_percent_row("motor_control_transformer_430_72_c", "primary", primary_a), primary_a, kind)
    method = "primary_and_secondary" if secondary_protected else "primary_only"
    return _device(_percent_row(method, "primary", primary_a), primary_a, kind)


def secondary_device(book: str, secondary_a: float, kind: str = "breaker") -> Limit:
    """Largest secondary device of a transformer [A] for its rated secondary current, above zero.

    NA: 125 % (next rating up) from 9 A, 167 % below. IEC: the rated current, so that it is never overloaded for long.
    Raises ValueError otherwise. Source: NFPA 70 table 450.3(B); IEC 60204-1 7.2.7.
    """
    above_zero(secondary_a=secondary_a)
    if book != "na":
        note = "rated secondary current; the maker of the transformer may allow another device"
        return Limit(secondary_a, "A", _SECONDARY_IEC, note)
    return _device(_percent_row("primary_and_secondary", "secondary", secondary_a), secondary_a, kind)


def standard_primary_device(limit: Limit, kind: str = "breaker") -> Limit | NotTabled:
    """The largest standard rating within a limit that may not be rounded up [A]. Source: NFPA 70 240.6(A)."""
    return standard_at_or_below("na", kind, limit.value)


def control_transformer_device(power_va: float) -> Limit | NotTabled:
    """Largest secondary device of a 120 V control transformer [A] by its size [VA].

    Between two sizes the smaller one counts; NotTabled outside 50 to 5000 VA. Source: NFPA 79 table 7.2.11.
    """
    table = load("na", "control_transformer")
    row = table.at_or_below("rating_va", power_va)
    if row is None or power_va > max(entry.number("rating_va") for entry in table.rows):
        return NotTabled(f"no secondary device is tabled for a control transformer of {power_va:g} VA")
    return row.limit("secondary_device_a")


def switch_on_current(rated_a: float, toroid: bool, worst: bool) -> Limit:
    """Peak of the first half-wave when a transformer is switched on [A], from its rated current, above zero.

    `worst` at the worst instant and remanence, else usual. ValueError otherwise. Source: table transformer_inrush.
    """
    above_zero(rated_a=rated_a)
    row = load("common", "transformer_inrush").row("toroid" if toroid else "laminated")
    assert row is not None
    times = row.number("longest_times" if worst else "typical_times")
    return Limit(times * rated_a, "A", row.source, f"{times:g} times the rated current")
