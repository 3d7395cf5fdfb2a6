"""The device that would open in time on an earth fault, and where the current stands that it needs."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.device.devices import largest_that
from wiring.design.fault.disconnection import TOUCH_V, Disconnection, electrode_ohm, opens_in_time
from wiring.design.rewiring import free_parts, free_wires, in_series, new_part, wires_at
from wiring.parts.drives import Inverter, ServoDrive
from wiring.parts.elements import Pole, Switch
from wiring.parts.protection import Disconnector, pole_pairs
from wiring.plan.edits import Edit
from wiring.rulebooks.citation import Source
from wiring.rulebooks.devices import Device, surely_opens_source
from wiring.rulebooks.steps import RESIDUAL_A, first_at_least


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


#: Residual currents that are sold (IEC 61008-1, 5.3.3), and what one for a whole machine trips at (common practice, no
#: source) [mA].
_SOLD_MA, _RESIDUAL_MA = (10, 30, 100, 300), 300


def largest_residual_ma(design: Design) -> int | None:
    """What a residual current device for a whole machine may trip at [mA]: behind an electrode of known resistance it
    opens at no more than 50 V; None where none that is sold does."""
    ohm = electrode_ohm(design.machine)
    fits = [one for one in _SOLD_MA if ohm is None or one / 1000.0 * ohm <= TOUCH_V]
    return max((one for one in fits if one <= _RESIDUAL_MA), default=None)


def residual_device_added(design: Design) -> tuple[Edit, ...]:
    """A residual current device in every live conductor behind the main switch, where there is one of those."""
    most_ma = largest_residual_ma(design)
    mains, hot = design.plan.mains, design.short_circuits.paths.hot
    switches = [part for part in design.parts.values() if isinstance(part.data, Disconnector)]
    if len(switches) != 1 or mains is None or mains.upstream is None:
        return ()
    (switch,) = switches
    pairs = [((switch.name, one.a), (switch.name, one.b)) for one in switch.elements if isinstance(one, Pole | Switch)]
    behind_it = [b if hot.get(b) is None or hot[b].before == a else a for a, b in pairs]
    live = [node for node in behind_it if wires_at(design, node)]
    rated = first_at_least(RESIDUAL_A, mains.upstream.rating)
    if rated is None or most_ma is None or not 2 <= len(live) <= 4:
        return ()
    name, numbers, found = next(free_parts(design, "F")), free_wires(design), list[Edit]()
    for node, (one, other) in zip(live, pole_pairs(str(len(live))), strict=True):
        wired = in_series(design, node, ((name, one), (name, other)), numbers)
        if not wired:
            return ()
        found += wired
    kind = "B" if any(isinstance(part.data, Inverter | ServoDrive) for part in design.parts.values()) else "A"
    entry = f"kind: rcd, poles: {len(live)}, rated: {rated:g} A, residual: {most_ma} mA, type: {kind}"
    return (new_part(design, name, f"{entry}, breaking: 6 kA"), *found)
