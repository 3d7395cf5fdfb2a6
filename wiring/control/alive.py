"""Whether something is fed at an operating point: the one measure of dead and alive for every proof of a stop."""

from __future__ import annotations

from wiring.control.script import Probe, Target
from wiring.solver.operating import OperatingPoint


def probe_is_alive(probe: Probe, point: OperatingPoint) -> bool:
    """Whether a probe sees its voltage and everything that it needs is attracted."""
    if not all(need in point.attracted or need in point.position.moved for need in probe.needs):
        return False
    ends = (probe.part, probe.a), (probe.part, probe.b)
    kinds = (probe.kind,) if probe.kind else ("DC", "AC")
    return any(abs(point.between(*ends, kind)) >= probe.dead_v for kind in kinds)


def is_alive(target: Target, point: OperatingPoint) -> bool:
    """Whether a target is fed through any of its probes."""
    return any(probe_is_alive(probe, point) for probe in target.probes)
