"""The computed figures of a report, as plain data in the shape of its JSON form."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import isfinite
from typing import Any

from wiring.design.design import Design
from wiring.parts.elements import Pole
from wiring.rulebooks.citation import Limit


def _finite(value: float | None) -> float | None:
    return value if value is not None and isfinite(value) else None


def _supplies(design: Design) -> dict[str, Any]:
    return {
        name: {
            state: {
                "current_a": row.current_a,
                "available_a": row.available_a,
                "headroom": _finite(row.headroom),
                "peak_a": _finite(row.peak_a),
            }
            for state, row in rows.items()
        }
        for name, rows in design.supplies.items()
    }


def _conductors(design: Design) -> dict[str, Any]:
    return {
        name: {
            "current_a": row.current_a,
            "ampacity_a": row.ampacity.value if isinstance(row.ampacity, Limit) else None,
            "drop_v": row.drop_v,
            "temperature_c": _finite(row.temperature_c),
        }
        for name, row in design.conductors.items()
    }


def _protection(design: Design) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for part in design.parts.values():
        poles = [f"{part.name}:{pole.name}" for pole in part.of(Pole)]
        if not poles:
            continue
        loads = [
            abs(point.path_current(kind).get(pole, 0.0))
            for point in design.operation.loaded.values()
            for kind in ("DC", "AC")
            for pole in poles
        ]
        fault = design.short_circuits.devices.get(part.name)
        found[part.name] = {
            "load_a": max(loads, default=0.0),
            "fault_a": fault.farthest.lowest.initial_a if fault else None,
            "clears_s": _finite(fault.clearing.latest_s) if fault else None,
        }
    return found


def _stops(design: Design) -> dict[str, Any]:
    """What each stop removes, and its single faults as far as logic tells without numbers.

    `single_faults` counts those that must be assumed. `hidden` stay unseen and make a next fault dangerous, as in the
    complete proof; tried are contactors and relays that fail closed. `unseen` leave the stop working and the machine
    running although a coil answers otherwise; which next fault is dangerous, the complete proof tries.
    """
    found: dict[str, Any] = {}
    for name in design.plan.stops:
        effects = [effect for effect in design.stops if effect.stop == name]
        left = sorted({part for effect in effects for part in effect.left})
        removed = sorted({part for effect in effects for part in effect.removed} - set(left))
        proofs = [result for result in design.stop_proof.results.values() if result.use.name == name]
        told = [*dict.fromkeys(one.fault.id for proof in proofs for one in proof.dangerous)]
        unseen = dict.fromkeys(one.fault.id for proof in proofs for one in proof.unseen)
        found[name] = {
            "removed": removed,
            "left": left,
            "single_faults": len(design.stop_proof.faults) if proofs else 0,
            "dangerous": told,
            "hidden": sorted(design.stopping.hidden_welds[name].next) if name in design.stopping.hidden_welds else [],
            "unseen": [one for one in unseen if one not in told],
        }
    return found


def _enclosure(design: Design) -> dict[str, Any]:
    inside = design.inside
    return {"heat_w": inside.heat_w, "rise_k": _finite(inside.rise_k), "inside_c": inside.inside_c}


#: The sections of the figures in their order, each with what computes it.
SECTIONS: Mapping[str, Callable[[Design], dict[str, Any]]] = {
    "supplies": _supplies,
    "conductors": _conductors,
    "protection": _protection,
    "stops": _stops,
    "enclosure": _enclosure,
}


def figures(design: Design) -> dict[str, Any]:
    """Supplies, conductors, protection, stops and enclosure."""
    return {name: compute(design) for name, compute in SECTIONS.items()}
