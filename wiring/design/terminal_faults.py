"""The strongest short circuit at a device, and whether its marking alone could tell that it breaks it."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.devices import breaking_capacity
from wiring.design.fault_paths import MAINS
from wiring.design.fault_records import DeviceFault, Short
from wiring.parts.protection import MotorProtector
from wiring.rulebooks.citation import Limit
from wiring.solver.lowering import return_ohm


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


def strongest_short(design: Design, row: DeviceFault) -> Short:
    """The strongest short circuit at the terminals of a device."""
    found = design.short_circuits.at_part.get(row.part, ())
    return max((row.nearest, *found), key=lambda short: (prospective_a(design, short), short.node))


def prospective_a(design: Design, short: Short) -> float:
    """The highest current [A]. Near the transformer a fault to neutral draws as much as one of three phases: of the
    loop to the neutral of three-phase mains only the line counts back to it (IEC 60909-0, from memory)."""
    mains = design.plan.mains
    if mains is None or mains.system != "three-phase" or short.origin.part != MAINS or short.origin.minus is None:
        return short.highest.initial_a
    back_ohm = return_ohm(mains)
    return short.highest.initial_a * short.cold_ohm / max(short.cold_ohm - back_ohm, back_ohm)
