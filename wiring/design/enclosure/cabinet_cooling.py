"""The air flow or the surface that keeps a cabinet cool."""

from __future__ import annotations

from math import inf

from wiring.design.design import Design
from wiring.design.enclosure.cabinet_temperature import described
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.enclosure import Enclosure, effective_surface, heat_transfer, needed_airflow


def needed_cooling(design: Design, limit: Limit) -> tuple[float, float, float]:
    """Air flow that keeps a limit [m3/h], the surface that would do without a fan, and the one there is [m2]."""
    cabinet = described(design.machine)
    assert isinstance(cabinet, Enclosure)
    surface, transfer = effective_surface(cabinet), heat_transfer(cabinet.material)
    assert not isinstance(surface, NotTabled)
    assert not isinstance(transfer, NotTabled)
    allowed_k, heat_w = limit.value - design.ambient_c, design.inside.heat_w
    if allowed_k <= 0.0:
        return inf, inf, surface.value
    altitude_m = max(design.plan.site.altitude or 0.0, 0.0)
    flow = needed_airflow(heat_w, transfer.value, surface.value, allowed_k, altitude_m)
    return flow, heat_w / (transfer.value * allowed_k), surface.value
