"""Contacts and coils: utilisation categories, control contact ratings, DC breaking by poles in series, suppressors."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.parts.ranges import above_zero, not_negative
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.tables import Row, is_above, load

#: Longest time constant that the test of category DC-13 asks for [s], and its growth with the power of the coil [s/W].
_DC13_LONGEST_S, _DC13_S_PER_W = 0.3, 0.006
_DC13 = Source("IEC 60947-5-1", "2016", "table 4, DC-13", Standing.FROM_MEMORY)
#: Below this an AC contact breaks no more than at it [V]; DC contacts go by volt-amperes up to this [V] (NEMA ICS 5).
_AC_CODE_V, _DC_BY_VOLT_AMPERES_V = 120.0, 300.0
_EXAMPLE_NOTE = "typical values of one maker, as an example; the data sheet of the part counts"


@dataclass(frozen=True, slots=True)
class Category:
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


def dc_breaking_example(
    load_kind: str, volts: float, poles: int, frame_a: float, time_constant_ms: float
) -> Limit | NotTabled:
    """DC current that a contactor of a frame breaks with its poles in series [A], from one maker's typical values.

    `load_kind` resistive, dc_motor or coil; `frame_a` its AC-3 current. The next higher voltage and time constant, the
    next lower frame and no more poles than given are read, never between. NotTabled beyond the table.
    """
    fitting = [
        row
        for row in load("common", "contactor_dc_example").where(load=load_kind)
        if row.number("voltage_v") >= volts
        and row.number("time_constant_ms") >= time_constant_ms
        and row.number("frame_a") <= frame_a
        and row.number("poles_count") <= poles
    ]
    if not fitting:
        return NotTabled(f"no DC rating is at hand for {load_kind}, {volts:g} V, {poles} poles in series")
    return max(fitting, key=lambda row: row.number("rated_a")).limit("rated_a", _EXAMPLE_NOTE)


def dc13_time_constant(power_w: float) -> Limit:
    """Time to 95 % of the current of the load that DC-13 is tested with [s]; power not negative, ValueError otherwise.

    Source: IEC 60947-5-1, 6 ms per watt, at most 300 ms.
    """
    not_negative(power_w=power_w)
    return Limit(min(_DC13_LONGEST_S, _DC13_S_PER_W * power_w), "s", _DC13)


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


def coil_inrush_current(closing_va: float, volts: float) -> float:
    """Current of an AC coil while it closes [A]; voltage above zero, ValueError otherwise. Source: definition."""
    above_zero(volts=volts)
    return closing_va / volts


def snubber(current_a: float, volts: float) -> tuple[float, float]:
    """Capacitance [F] and resistance [ohm] across a contact that breaks `current_a` at `volts`, both above zero.

    Raises ValueError otherwise. Source: two manuals print I2/10 in microfarads and V / (10 I (1 + 50 / V)).
    """
    above_zero(current_a=current_a, volts=volts)
    return current_a**2 / 10.0 * 1e-6, volts / (10.0 * current_a * (1.0 + 50.0 / volts))
