"""An earth fault behind an inlet whose loop was measured: what the building adds is known and no longer assumed."""

from __future__ import annotations

from msgspec.structs import replace

from wiring.design.fault.records import Short, ShortCircuits
from wiring.solver.short_circuit import FaultCurrent


def with_measured_loop(faults: ShortCircuits, short: Short, loop_ohm: float, cold_share: float) -> Short:
    """The earth fault with the measured loop at the inlet in place of the assumed one, and the machine's own behind it.

    `loop_ohm` is measured cold and is `cold_share` of what it is warm, IEC 60204-1:2016, A.4 (from memory): the current
    of the warm loop is that of the nominal voltage. The same where the inlet has no protective terminal.
    """
    own = faults.to_earth.get(short.origin.plus)
    if own is None:
        return short
    cold = loop_ohm + max(short.cold_ohm - own.cold_ohm, 0.0)
    hot = loop_ohm / cold_share + max(short.hot_ohm - own.hot_ohm, 0.0)
    lowest_a = short.volts / hot
    return replace(short, cold_ohm=cold, hot_ohm=hot, lowest=FaultCurrent(lowest_a, lowest_a))
