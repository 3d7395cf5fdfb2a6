"""How long what can hurt behind a guard goes on after the guard was opened, against the time that a hand takes."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.stop.stopping import Stopping
from wiring.parts.loads import Fan, Load, Pump
from wiring.parts.motors import Shaft
from wiring.parts.operators import Guarding
from wiring.rulebooks.limits import tabled

APPROACH = tabled("common", "approach_speed")
#: Behind a guard of unknown distance a hand is taken to be there after the reach of an arm [m].
ARM_REACH_M = tabled("common", "arm_reach").value


class RunDown(Struct, frozen=True):
    """A part behind a guard without locking, from which a stop by it takes the power. Behind it is what it `guards`;
    where the plan does not say that, all of it, and in `doubt` what a locking guard stops as well, which may be in
    front of it.

    `lasts_s` is how long it goes on [s], None where the plan does not say; `reached_s` when a hand is there [s], of
    the reach of an arm where the plan gives no distance, which `measured` tells.
    """

    guard: str
    stop: str
    part: str
    lasts_s: float | None
    reached_s: float
    measured: bool
    doubt: bool = False


def run_downs(stopping: Stopping) -> Iterator[RunDown]:
    """Everything that turns or flows on behind a guard that does not lock, by stop."""
    parts = stopping.machine.parts
    shut = {
        name
        for effect in stopping.effects
        if isinstance(data := parts[effect.device].data, Guarding) and data.stays_shut()
        for name in (effect.removed if data.guards is None else data.guards)
    }
    for effect in stopping.effects:
        guard = parts[effect.device].data if effect.device in parts else None
        if not isinstance(guard, Guarding) or guard.stays_shut():
            continue
        metres = ARM_REACH_M if guard.distance is None else guard.distance
        for name in (one for one in effect.removed if guard.guards is None or one in guard.guards):
            data = parts[name].data
            if isinstance(data, Shaft | Fan | Pump | Load):
                lasts_s = data.run_down if isinstance(data, Shaft) else data.run_on
                doubt = guard.guards is None and name in shut
                reached_s = metres / APPROACH.value
                yield RunDown(effect.device, effect.stop, name, lasts_s, reached_s, guard.distance is not None, doubt)
