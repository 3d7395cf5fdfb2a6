"""Selectivity: of two devices in a row, only the one next to the fault may open."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

from wiring.parts.ranges import not_negative
from wiring.rulebooks.citation import Source
from wiring.rulebooks.devices import Device, clears, device_curve
from wiring.rulebooks.tables import load
from wiring.rulebooks.time_current import OpeningTime


class Order(StrEnum):
    """What is sure about the order in which two devices open."""

    SELECTIVE = "only the device next to the fault opens"
    WRONG = "the device further up opens first"
    UNDECIDED = "the bands of the two overlap: compare the makers' curves"


class Selectivity(Struct, frozen=True):
    """The answer, the latest time of the lower and the earliest of the upper device [s], and what they rest on."""

    order: Order
    down_latest_s: float
    up_earliest_s: float
    source: Source | None
    note: str = ""
    latest_source: Source | None = None
    earliest_source: Source | None = None


def fuse_ratio(up_a: float, down_a: float) -> tuple[float, Source]:
    """Least ratio of rated currents of two fuses gG in a row, with its source. Source: table fuse_selectivity.

    1.6 when both are of 16 A or more, 2.0 below by common practice.
    """
    large = up_a >= 16.0 and down_a >= 16.0
    row = load("iec", "fuse_selectivity").row(*(("gG from 16 A", "gG from 16 A") if large else ("gG below 16 A", "gG")))
    assert row is not None
    return row.number("rating_ratio"), row.source


def selective(up: Device, down: Device, fault_a: float, dc: bool = False) -> Selectivity:
    """Whether only `down` opens at a fault current [A] behind both, not negative.

    Two fuses gG: by the ratio of their ratings or by I2t, at any current. Else the bands at that current: selective
    when the latest opening of `down` is no later than the earliest of `up`. Raises ValueError out of range.
    Source: IEC 60269-1 5.6.3 for fuses; otherwise the curves of both.
    """
    not_negative(fault_a=fault_a)
    below, above = clears(down, fault_a, dc), clears(up, fault_a, dc)
    if up.family == down.family == "fuse" and up.curve == down.curve == "gG":
        return _two_fuses(up, down, below, above)
    if below.max_s <= above.min_s:
        order = Order.SELECTIVE
    elif above.max_s < below.min_s:
        order = Order.WRONG
    else:
        order = Order.UNDECIDED
    source, note = above.min_source or below.max_source, above.note or below.note
    return Selectivity(order, below.max_s, above.min_s, source, note, below.max_source, above.min_source)


def _two_fuses(up: Device, down: Device, below: OpeningTime, above: OpeningTime) -> Selectivity:
    ratio, source = fuse_ratio(up.rating_a, down.rating_a)
    melting, total = device_curve(up, False).melting_a2s, device_curve(down, False).total_a2s
    by_energy = melting is not None and total is not None and melting >= total
    order = Order.SELECTIVE if by_energy or up.rating_a >= ratio * down.rating_a else Order.UNDECIDED
    note = f"ratio of the ratings {up.rating_a / down.rating_a:.2f}, {ratio:g} needed"
    if melting is not None and total is not None:
        note += f"; melting I2t {melting:g} A2s above, total I2t {total:g} A2s below"
    return Selectivity(order, below.max_s, above.min_s, source, note, below.max_source, above.min_source)
