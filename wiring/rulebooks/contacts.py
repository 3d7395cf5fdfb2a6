"""Contacts and coils: utilisation categories, control contact ratings, suppressors."""

from __future__ import annotations

from msgspec import Struct

from wiring.parts.ranges import above_zero, not_negative
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.tables import Row, is_above, load

#: Below this an AC contact breaks no more than at it [V]; DC contacts go by volt-amperes up to this [V] (NEMA ICS 5).
_AC_CODE_V, _DC_BY_VOLT_AMPERES_V = 120.0, 300.0


class Category(Struct, frozen=True):
    """What a utilisation category asks of a contact, as multiples of its rated operational current."""

    name: str
    circuit: str
    load: str
    make: Limit
    break_: Limit


def category(name: str) -> Category | NotTabled:
    """The category of that name, "AC-3", "DC-13" ...; NotTabled for another. Source: IEC 60947-4-1, 60947-5-1."""
    row = load("common", "utilisation_categories").row(name)
    if row is None:
        return NotTabled(f"{name!r} is no utilisation category of the table")
    note = row.text("power_factor_or_time_constant")
    make, break_ = row.limit("make_multiple", note), row.limit("break_multiple", note)
    return Category(name, row.text("circuit"), row.text("load"), make, break_)


def category_for(load_kind: str, dc: bool, va_or_w: float = 0.0) -> str:
    """The category that a load needs: `load_kind` resistive, coil or motor.

    The power of a coil decides between AC-14 and AC-15. Raises ValueError for another kind.
    Source: IEC 60947-4-1, IEC 60947-5-1.
    """
    if load_kind == "resistive":
        return "DC-1" if dc else "AC-1"
    if load_kind == "coil":
        return "DC-13" if dc else ("AC-15" if va_or_w > 72.0 else "AC-14")
    if load_kind == "motor":
        return "DC-3" if dc else "AC-3"
    raise ValueError(f"{load_kind!r} is no kind of load; resistive, coil and motor are known")


def making_capacity(rated_a: float, name: str) -> Limit | NotTabled:
    """Current that a contact of a category must make [A]; rated current above zero, ValueError otherwise."""
    above_zero(rated_a=rated_a)
    found = category(name)
    if isinstance(found, NotTabled):
        return found
    return Limit(found.make.value * rated_a, "A", found.make.source, found.make.note)


def control_contact_current(code: str, volts: float, dc: bool) -> Limit | NotTabled:
    """Inductive current that a control contact breaks [A], by its rating code (A300, Q600 ...); `volts` above zero.

    AC: breaking volt-amperes over the voltage, from 120 V down the current of 120 V. DC: make or break volt-amperes
    over the voltage up to 300 V, never above the thermal current; from 301 V the printed column. A double code, such
    as A600/Q600, gives the half that fits. Raises ValueError for a voltage not above zero. Source: NEMA ICS 5.
    """
    above_zero(volts=volts)
    halves = [load("na", "contact_rating_codes").row(half.strip()) for half in code.split("/")]
    rows = [row for row in halves if row is not None and (row.number_or_none("dc_va") is not None) == dc]
    if not any(halves):
        return NotTabled(f"{code!r} is no contact rating code of the table")
    if not rows or is_above(volts, rows[0].number("highest_v")):
        return NotTabled(f"code {code} gives no {'DC' if dc else 'AC'} breaking current at {volts:g} V")
    return _dc_contact(rows[0], volts) if dc else Limit(_ac_contact_a(rows[0], volts), "A", rows[0].source)


def _ac_contact_a(row: Row, volts: float) -> float:
    return row.number("break_va") / max(volts, _AC_CODE_V)


def _dc_contact(row: Row, volts: float) -> Limit:
    if volts > _DC_BY_VOLT_AMPERES_V:
        return row.limit("dc_600v_a")
    return Limit(min(row.number("dc_va") / volts, row.number("thermal_a")), "A", row.source)


def release_time(plain_s: float, suppressor: str, safe: bool = True) -> Limit | NotTabled:
    """Time in which a relay or contactor with a suppressor opens [s], from its time without one, not negative.

    `suppressor` none, diode, diode-zener, varistor, rc or resistor. `safe` takes the longest of the published factors,
    else the usual one. Raises ValueError below zero. Source: table coil_suppression.
    """
    not_negative(plain_s=plain_s)
    row = load("common", "coil_suppression").row(suppressor)
    if row is None:
        return NotTabled(f"{suppressor!r} is no suppressor of the table")
    times = row.number("release_longest_times" if safe else "release_typical_times")
    return Limit(plain_s * times + row.number("release_added_ms") * 1e-3, "s", row.source)
