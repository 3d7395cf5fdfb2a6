"""Whether the sound machine survives a position: after an overload nothing is an expected value."""

from __future__ import annotations

from wiring.parts.sources import Converter, Supply
from wiring.parts.storage import Charger
from wiring.powerup.machine import Run
from wiring.powerup.step import Setting
from wiring.solver.operating import OperatingPoint
from wiring.solver.solution import Outcome, SourceMode


def overload_words(setting: Setting, run: Run) -> str:
    """What gives way when the sound machine is brought into a position; empty where nothing does."""
    opened = sorted({path for point in run.trail for path in point.position.opened - setting.opened})
    if opened:
        return f"{', '.join(opened)} opens on overload in this position"
    if setting.mains and run.point.lowered.circuit.plan.mains and not run.point.lowered.mains_sources:
        return "the device in front of the machine opens in this position"
    for point in run.trail:
        if not point.settled:
            return f"{', '.join(point.unsettled) or 'a contact or a supply'} does not come to rest in this position"
        overloaded = _overloaded(point)
        if overloaded:
            return f"{', '.join(overloaded)} is overloaded in this position"
    return ""


def _overloaded(point: OperatingPoint) -> list[str]:
    """The sources that shut down, rest in their limit as a supply should not, or cannot carry what is asked of them."""
    names: set[str] = set()
    for kind in ("DC", "AC"):
        layer = point.layer(kind)
        solution, keys = layer.solution, layer.assembled.source_keys
        beyond = {entry.source for entry in solution.overloaded}
        for n, (key, mode) in enumerate(zip(keys, solution.source_mode, strict=True)):
            limited = mode is SourceMode.CONSTANT_CURRENT and key is not None and _is_supply(point, key[0])
            if key is not None and (n in beyond or mode is SourceMode.OFF or limited):
                names.add(key[0])
        if solution.outcome in (Outcome.COLLAPSED, Outcome.UNDECIDED) and not names:
            names.add("a source")
    return sorted(names)


def _is_supply(point: OperatingPoint, name: str) -> bool:
    """Whether a source should not rest in its limit; a charger does while its battery takes what it gives."""
    data = point.lowered.circuit.parts[name].data
    return isinstance(data, Supply | Converter) and not isinstance(data, Charger)
