"""One function on disconnection: its limits are the published ones, and `check` and the power-up sheet agree on it."""

from __future__ import annotations

import pytest
from helpers import design
from marked_plans import fired
from msgspec.structs import replace

from wiring.design.design import Design
from wiring.design.fault.disconnection import Disconnection, opens_in_time
from wiring.powerup.sheet import build
from wiring.powerup.step import Meter, Sort

SLUG = "earth-fault-not-cleared"
BREAKER = "{kind: breaker, rating: 16 A, curve: B, breaking: 6 kA}"


def heater(device: str = BREAKER, length_m: float = 20.0, rcd: str = "", earthing: str = "TN-S") -> str:
    """A heater on the end of a line behind a device, with a residual current device in front of it where asked."""
    first = "F2:2" if rcd else "X0:L"
    return f"""
mains: {{inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: {earthing}, fault_current: 1 kA,
        upstream: {{kind: breaker, rating: 63 A, curve: C}}}}
parts:
  X0: {{kind: inlet}}
{f"  F2: {rcd}" if rcd else ""}
  F1: {device}
  E1: {{kind: heater, rated: 230 V AC 1000 W}}
wires:
{"  - {wire: 8, from: X0:L, to: F2:1, size: 4 mm2, length: 0.1 m}" if rcd else ""}
{'  - {wire: 9, from: "X0:N", to: F2:3, size: 4 mm2, length: 0.1 m}' if rcd else ""}
  - {{wire: 1, from: {first}, to: F1:1, size: 4 mm2, length: 0.3 m}}
  - {{wire: 2, from: F1:2, to: E1:1, size: 4 mm2, insulation: pvc-70, length: {length_m} m}}
  - {{wire: 3, from: {"F2:4" if rcd else '"X0:N"'}, to: E1:2, size: 4 mm2, insulation: pvc-70, length: {length_m} m}}
  - {{wire: 4, from: X0:PE, to: E1:PE, size: 4 mm2, insulation: pvc-70, colour: GNYE, length: {length_m} m}}
"""


def at_heater(found: Design) -> Disconnection:
    return next(one for one in found.faults.disconnections.values() if one.part == "E1")


def breaker(curve: str, rating: int = 16) -> str:
    return f"{{kind: breaker, rating: {rating} A, curve: {curve}, breaking: 6 kA}}"


# Highest loop impedance with the mains at 0.95 of 230 V: BS 7671:2018, table 41.3 (0.4 s and 5 s alike).
@pytest.mark.parametrize(
    ("device", "limit_ohm"),
    [
        (breaker("B", 6), 7.28),
        (breaker("B"), 2.73),
        (breaker("C"), 1.37),
        (breaker("D"), 0.68),
        (breaker("B", 32), 1.37),
        (breaker("C", 32), 0.68),
    ],
)
def test_the_largest_hot_loop_of_a_breaker(device: str, limit_ohm: float) -> None:
    found = at_heater(design(heater(device)))
    short = found.short
    assert short.hot_ohm * short.lowest.initial_a / found.needed_a == pytest.approx(limit_ohm, abs=0.006)
    assert found.limit is not None
    assert found.limit.value == 0.4


# A device above 32 A in a final circuit: 5 s (IEC 60364-4-41, 411.3.2.3); TT: 0.2 s (table 41.1).
@pytest.mark.parametrize(("device", "earthing", "time_s"), [(breaker("C", 40), "TN-S", 5.0), (BREAKER, "TT", 0.2)])
def test_the_time_that_is_allowed(device: str, earthing: str, time_s: float) -> None:
    limit = at_heater(design(heater(device, earthing=earthing))).limit
    assert limit is not None
    assert limit.value == time_s


def test_a_book_without_times_asks_for_five_times_the_rating() -> None:
    """Common practice, no source."""
    found = at_heater(design(heater(), "na"))
    assert found.limit is not None
    assert (found.limit.value, found.limit.unit) == (80.0, "A")


RCD = "{kind: rcd, rated: 40 A, residual: 30 mA, type: A}"
CASES = [
    (device, length_m, rcd, book)
    for device in (BREAKER, breaker("C"), breaker("D"), "{kind: fuse, rating: 16 A, class: gG, breaking: 50 kA}")
    for length_m in (2.0, 30.0, 60.0, 75.0, 90.0, 100.0, 130.0, 160.0, 250.0, 320.0, 500.0)
    for rcd in ("", RCD)
    for book in ("iec", "na")
    if not (book == "na" and "gG" in device)
]


@pytest.mark.parametrize(("device", "length_m", "rcd", "book"), CASES)
def test_the_sheet_calls_a_loop_good_where_check_does_and_nowhere_else(
    device: str, length_m: float, rcd: str, book: str
) -> None:
    found = design(heater(device, length_m, rcd), book)
    told = fired(SLUG, found) != []
    assert told is not at_heater(found).in_time
    rows = [line for line in build(found).lines if line.meter is Meter.LOOP and "E1" in line.action]
    assert [line.expected.sort for line in rows] == [Sort.VALUE]
    loop = rows[0].expected.value
    assert loop is not None
    assert rows[0].expected.holds(loop) is not told


def test_a_residual_current_device_clears_what_the_breaker_does_not() -> None:
    bare, rcd = (at_heater(design(heater(breaker("D"), 160.0, one))) for one in ("", RCD))
    assert (bare.in_time, bare.residual) == (False, "")
    assert (rcd.in_time, rcd.residual, rcd.by_overcurrent) == (True, "F2", False)


def test_a_fuse_without_a_class_is_not_judged_where_nothing_else_opens_in_time() -> None:
    found = at_heater(design(heater("{kind: fuse, rating: 16 A}", 160.0)))
    assert (found.in_time, found.missing) == (False, "class of F1")


@pytest.mark.parametrize(("share", "opens"), [(0.99, True), (1.01, False)])
def test_five_times_the_rating_is_the_limit_of_one_device(share: float, opens: bool) -> None:
    """Common practice, no source: the loop gives five times what the device is rated for."""
    found = design(heater(), "na")
    short = at_heater(found).short
    device = replace(found.devices.known["F1"], rating_a=share * short.lowest.initial_a / 5.0)
    assert opens_in_time(found.machine, device, short) is opens
