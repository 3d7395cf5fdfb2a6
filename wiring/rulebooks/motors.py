"""Motors: full-load currents, conductors, short-circuit and overload protection."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from wiring.parts.ranges import above_zero, not_negative
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.overcurrent import next_standard, standard_at_or_below
from wiring.rulebooks.tables import load

#: Voltage column of the tables -> system voltages it serves [V] (NFPA 70, notes to 430.248 and 430.250).
_COLUMNS = {
    115: (110.0, 120.0),
    200: (200.0, 200.0),
    208: (208.0, 208.0),
    230: (220.0, 240.0),
    460: (440.0, 480.0),
    575: (550.0, 600.0),
}
_CONTINUOUS = tabled("na", "continuous_margin").value
_FEEDER = Source("NFPA 70", "2023", "430.62(A)", Standing.CONFIRMED)
_OVERLOAD_IEC = Source("IEC 60204-1", "2016", "7.3.2", Standing.FROM_MEMORY)

HP_W = 745.6998715822702
SHORT_CIRCUIT_DEVICES = (
    "nontime_delay_fuse",
    "dual_element_time_delay_fuse",
    "instantaneous_trip_breaker",
    "inverse_time_breaker",
)


def full_load_current(power_w: float, volts: float, phases: int) -> Limit | NotTabled:
    """Table full-load current of a motor [A], for conductors and short circuits; overload goes by the nameplate.

    `power_w` shaft power, `volts` of the system (115 to 120, 208, 230 to 240, 460 to 480 ...), `phases` 1 or 3. Never
    interpolated. Raises ValueError for a power not above zero. Source: NFPA 70 tables 430.248 and 430.250.
    """
    above_zero(power_w=power_w)
    table = {1: "motor_flc_single_phase", 3: "motor_flc_three_phase"}.get(phases)
    column = next((name for name, (low, high) in _COLUMNS.items() if low <= volts <= high), None)
    if table is None or column is None or (phases == 1 and column > 230):
        return NotTabled(f"no full-load current is tabled for {phases} phases at {volts:g} V")
    horses = power_w / HP_W
    for row in load("na", table).rows:
        if abs(row.number("power_hp") - horses) <= 0.005 * horses:
            if row.number_or_none(f"flc_{column}v_a") is None:
                break
            return row.limit(f"flc_{column}v_a", f"column {column} V")
    return NotTabled(f"no full-load current is tabled for {horses:.3g} hp at {volts:g} V and {phases} phases")


def feeder_device(branches: Sequence[tuple[float, float]], others_a: float = 0.0) -> Limit:
    """Largest device in front of several motor circuits [A]: the largest branch device, and the other motors.

    `branches` the largest rating that table 430.52 allows in front of each circuit and the full-load current behind it
    [A]; `others_a` other loads, with 125 % [A]. Raises ValueError for no branch or a negative current.
    Source: NFPA 70 430.62(A) and 430.63.
    """
    if not branches:
        raise ValueError("no motor circuit is named; a feeder of motors has at least one")
    not_negative(others_a=others_a, smallest_motor_a=min(amps for _, amps in branches))
    rating, own = max(branches, key=lambda branch: (branch[0], -branch[1]))
    others = sum(amps for _, amps in branches) - own
    note = f"{rating:.3g} A for the largest motor, {others:.3g} A for the others"
    if others_a:
        note += f", {_CONTINUOUS * others_a:.3g} A for other loads"
    return Limit(rating + others + _CONTINUOUS * others_a, "A", _FEEDER, note)


class MotorDevice(Struct, frozen=True):
    """Short-circuit device of one motor: calculated limit, and the standard rating it may be rounded up to.

    `exception` is the largest standard rating for a motor that will not start otherwise.
    """

    limit: Limit
    standard: Limit | NotTabled
    exception: Limit | NotTabled


def short_circuit_device(
    full_load_a: float, device_kind: str, motor_type: str = "polyphase_other_than_wound_rotor"
) -> MotorDevice:
    """Largest short-circuit device of one motor circuit; `full_load_a` of the table, above zero [A].

    `device_kind` one of SHORT_CIRCUIT_DEVICES, `motor_type` of the table motor_short_circuit.
    Raises ValueError for an unknown kind, type or a current not above zero. Source: NFPA 70 430.52.
    """
    above_zero(full_load_a=full_load_a)
    row = load("na", "motor_short_circuit").row(motor_type, device_kind)
    if row is None:
        raise ValueError(f"no short-circuit device {device_kind!r} for a motor {motor_type!r} in table 430.52")
    limit = Limit(row.number("device_percent") / 100.0 * full_load_a, "A", row.source)
    kind = "fuse" if "fuse" in device_kind else "breaker"
    exception = load("na", "motor_short_circuit_exceptions").band("flc", "a", full_load_a, device_kind=device_kind)
    largest: Limit | NotTabled = NotTabled("no exception")
    if exception is not None:
        percent = exception.number("device_percent")
        value = Limit(percent / 100.0 * full_load_a, "A", exception.source, exception.text("condition"))
        rounded = standard_at_or_below("na", kind, value.value)
        largest = value if isinstance(rounded, NotTabled) else Limit(rounded.value, "A", value.source, value.note)
    return MotorDevice(limit, next_standard("na", kind, limit.value), largest)


def overload_setting(
    book: str, nameplate_a: float, service_factor: float | None = None, rise_k: float | None = None, starts: bool = True
) -> Limit:
    """Highest setting of a separate overload device [A] for a nameplate current, above zero.

    NA: 125 % for a marked service factor of 1.15 or more or a marked rise of 40 K or less, else 115 %; 140 or 130 %
    when the motor will not start (`starts` False). IEC: the rated current. Raises ValueError out of range.
    Source: NFPA 70 430.32(A) and (C); IEC 60204-1 7.3.2.
    """
    above_zero(nameplate_a=nameplate_a)
    if book != "na":
        return Limit(nameplate_a, "A", _OVERLOAD_IEC)
    cool = (service_factor or 0.0) >= 1.15 or (rise_k is not None and rise_k <= 40.0)
    row = load("na", "motor_overload").row("service factor or cool" if cool else "other")
    assert row is not None
    column = "largest_percent" if starts else "start_percent"
    return Limit(
        row.number(column) / 100.0 * nameplate_a, "A", row.source, "" if starts else "only if it will not start"
    )


def group_device(size_label: str, time_delay_fuse: bool) -> Limit | NotTabled:
    """Largest common device of a group of motors by the smallest conductor behind it [A]; AWG label, "14" to "4/0".

    NotTabled for another size. Source: NFPA 79 table 7.2.10.4.
    """
    row = load("na", "motor_group_device").row(size_label)
    if row is None:
        return NotTabled(f"no device for a group of motors is tabled for {size_label} AWG")
    return row.limit("time_delay_fuse_a" if time_delay_fuse else "breaker_or_fuse_a")
