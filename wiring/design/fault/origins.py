"""What a short circuit is fed by, whether that is given, and where its figures stand."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.fault.paths import MAINS
from wiring.design.fault.records import Short
from wiring.design.fault.short_circuits import LOWEST_MAINS
from wiring.rulebooks.citation import Source
from wiring.rulebooks.devices import Device, clears


def is_assumed(design: Design, short: Short) -> bool:
    """Whether a short circuit rests on a prospective current that the plan does not give."""
    return short.origin.part == MAINS and (design.plan.mains is None or design.plan.mains.fault_current is None)


def source_of(short: Short) -> str:
    """The source in words: the mains, or the supply by its name."""
    return "the mains" if short.origin.part == MAINS else short.origin.part


def lowest_source(short: Short) -> Source | None:
    """Where the voltage stands that the lowest current of a short circuit rests on; None for what a source gives."""
    return LOWEST_MAINS.source if short.origin.part == MAINS else None


def opening_source(device: Device, short: Short) -> Source | None:
    """Where the latest opening time of a device on the weakest current of a short circuit stands; None for none."""
    return clears(device, short.lowest.steady_state_a, short.dc).max_source
