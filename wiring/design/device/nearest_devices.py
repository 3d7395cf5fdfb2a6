"""The device of the machine that is nearest to a point and too large for what lies behind it."""

from __future__ import annotations

from collections.abc import Iterable

from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.design.fault.paths import Reached


def nearest_above(design: Design, ends: Iterable[Node], most_a: float) -> str | None:
    """The last device of the machine on the way to the first of some points that is rated above a current [A]."""
    hot, own = design.short_circuits.paths.hot, design.devices.by_name
    near = min((hot[end] for end in ends if end in hot), key=_distance, default=None)
    passed = [(one, own[one].device) for one in near.devices if one in design.parts] if near else []
    return next((one for one, device in reversed(passed) if device and device.rating_a > most_a * (1 + 1e-9)), None)


def _distance(reached: Reached) -> float:
    return reached.ohm
