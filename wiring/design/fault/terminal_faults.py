"""The strongest short circuit at a device, and whether its marking alone could tell that it breaks it."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.device.devices import breaking_capacity
from wiring.design.fault.paths import MAINS
from wiring.design.fault.records import DeviceFault, Short
from wiring.parts.protection import MotorProtector, ResidualCurrentDevice
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.limits import tabled
from wiring.solver.lowering import return_ohm

#: What a residual current device makes and breaks, in rated currents, and at the least [A].
_RESIDUAL, _RESIDUAL_LEAST_A = tabled("common", "residual_making"), tabled("common", "residual_making_least").value
#: What is left of a loop at the least when its contacts count nothing, so that no current is without end (own choice).
_LEAST_SHARE = 0.05


def is_marked(design: Design, row: DeviceFault) -> bool:
    """Whether the plan says what it breaks; of a battery or an inlet, what the fuse in it does."""
    data = design.parts[row.part].data
    return getattr(getattr(data, "fuse", None) or data, "breaking", None) is not None


def opens_elsewhere(design: Design, row: DeviceFault) -> bool:
    """Whether it is an overload relay without a magnetic release: its contact opens a coil, its poles break nothing."""
    data = design.parts[row.part].data
    return isinstance(data, MotorProtector) and not data.magnetic


def needs_marking(design: Design, row: DeviceFault, worst: Short) -> bool:
    """Whether only a marking could tell. Every breaker carries one, and the lowest of its standard is seldom sold; for
    a small fuse standards name what it breaks at its full voltage, not at an extra-low one."""
    capacity = breaking_capacity(design.parts[row.part], row.device)
    if is_marked(design, row) or (isinstance(capacity, Limit) and capacity.value >= prospective_a(design, worst)):
        return False
    low = design.book.extra_low_voltage(worst.origin.kind)
    return row.device.family != "fuse" or (isinstance(low, Limit) and worst.volts <= low.value)


class ResidualDevice(Struct, frozen=True):
    """A residual current device without overcurrent release: the strongest short circuit at it, and what it stands."""

    part: str
    short: Short
    stands: Limit
    marked: bool


def residual_devices(design: Design) -> Iterator[ResidualDevice]:
    """Every such device that a source reaches."""
    for part in design.parts.values():
        data, shorts = part.data, design.short_circuits.at_part.get(part.name, ())
        if isinstance(data, ResidualCurrentDevice) and data.rating is None and shorts:
            worst = max(shorts, key=lambda short: (prospective_a(design, short), short.node))
            least = Limit(max(_RESIDUAL.value * data.rated, _RESIDUAL_LEAST_A), "A", _RESIDUAL.source, "no marking")
            marked = Source("marking of the device", "", "", Standing.CONFIRMED)
            stands = least if data.breaking is None else Limit(data.breaking, "A", marked)
            yield ResidualDevice(part.name, worst, stands, data.breaking is not None)


def strongest_short(design: Design, row: DeviceFault) -> Short:
    """The strongest short circuit at the terminals of a device."""
    found = design.short_circuits.at_part.get(row.part, ())
    return max((row.nearest, *found), key=lambda short: (prospective_a(design, short), short.node))


def prospective_a(design: Design, short: Short) -> float:
    """The highest current [A]: of three phases where three lines of three-phase mains meet at the part, 2/sqrt(3) times
    that between two of them. Near the transformer a fault to neutral draws as much: of its loop only the line counts
    back to the mains (IEC 60909-0, from memory).

    Of the mains, contacts, poles and fuses on the way whose resistance the plan does not give count nothing: what is
    typical may be more than there is.
    """
    mains = design.plan.mains
    if mains is None or short.origin.part != MAINS:
        return short.highest.initial_a
    loop = max(short.cold_ohm - _assumed_ohm(design, short), _LEAST_SHARE * short.cold_ohm)
    highest = short.highest.initial_a * short.cold_ohm / loop
    if mains.system != "three-phase":
        return highest
    if short.against in design.short_circuits.paths.hot:
        return highest * (2.0 / sqrt(3.0) if _lines_at(design, short.node[0]) > 2 else 1.0)
    back_ohm = return_ohm(mains)
    return highest * loop / max(loop - back_ohm, back_ohm)


def _lines_at(design: Design, part: str) -> int:
    """How many lines of the mains meet at a part."""
    shorts = design.short_circuits.at_part.get(part, ())
    return len({one.origin.plus for one in shorts if one.origin.part == MAINS})


def _assumed_ohm(design: Design, short: Short) -> float:
    """Resistance of contacts, poles and fuses in the loop of a short circuit that the plan does not give [ohm]."""
    ohm, total = design.lowered.ohms, 0.0
    for contact in design.short_circuits.contacts_of(short):
        given = getattr(design.parts[contact.part].data, "resistance", None) is not None
        total += 0.0 if given else ohm.get(contact.id, 0.0)
    return total
