"""The device that would open in time on an earth fault, and where the current stands that it needs."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.devices import largest_that
from wiring.design.disconnection import Disconnection, opens_in_time
from wiring.rulebooks.citation import Source
from wiring.rulebooks.devices import Device, surely_opens_source


def largest_in_time(design: Design, one: Disconnection) -> float | None:
    """The largest rating of the nearest device that opens in time [A]; None where another does or none is known."""
    known = design.short_circuits.known
    if one.residual or one.missing or one.device not in design.parts or one.device not in known:
        return None
    others = [known[name] for name in one.short.devices if name in known and name != one.device]
    if any(opens_in_time(design.machine, device, one.short) for device in others):
        return None
    part, device = design.parts[one.device], known[one.device]
    return largest_that(part, device, design.plan.rulebook, lambda like: opens_in_time(design.machine, like, one.short))


def needed_current_source(nearest: Device, row: Disconnection) -> Source | None:
    """Where the current stands at which the nearest device opens in time."""
    if row.limit is None or row.limit.unit == "A":
        return row.limit.source if row.limit else None
    return surely_opens_source(nearest, row.short.dc, row.limit.value)
