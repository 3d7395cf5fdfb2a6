"""Short conductors between a source and its device, and the fuse that fits right behind a source."""

from __future__ import annotations

from wiring.design.conductor.overload_protection import allowed_rating
from wiring.design.conductor.tapped_conductors import TAP_LENGTH_M
from wiring.design.design import Design
from wiring.design.device.devices import conventional_operating_current
from wiring.design.rewiring import free_parts, free_wires, in_series, new_part, wires_at
from wiring.parts.elements import Output
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse, MotorProtector
from wiring.plan.edits import Edit
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import Device
from wiring.rulebooks.overcurrent import protects_conductor, standard_ratings
from wiring.rulebooks.steps import SMALL_UL_FUSE_A


def is_tap(design: Design, name: str) -> bool:
    """A short conductor between a source and the device that protects what follows."""
    conductor = design.circuit.conductor[name]
    short = conductor.length_m is not None and conductor.length_m <= TAP_LENGTH_M
    kinds = [design.parts[end[0]] for end in conductor.ends]
    at_source = any(any(isinstance(e, Output) for e in part.elements) for part in kinds)
    protected = any(isinstance(part.data, Fuse | Breaker | ElectronicFuse | MotorProtector) for part in kinds)
    return short and at_source and protected


def _protects_with(design: Design, kind: str, rating: float, most: Limit) -> bool:
    """Whether a fuse protects a conductor, what it lets pass for ever with it."""
    opens = conventional_operating_current(Device("fuse", rating, kind), dc=False)
    return all(verdict.holds for verdict in protects_conductor(design.plan.rulebook, rating, opens, most))


def fused_source(design: Design, source: str, names: list[str]) -> tuple[Edit, ...]:
    """A fuse right behind the pole of a source that is not earthed, as large as all conductors behind it allow."""
    allowed = [allowed_rating(design.loading, design.faults, name) for name in names]
    poles = [pole.node for pole in design.nets.poles if pole.source == source and pole.sign in ("+", "~")]
    poles = [node for node in poles if design.nets.of[node] not in design.nets.bonds_at and wires_at(design, node)]
    ratings = standard_ratings("iec", "fuse") if design.plan.rulebook == "iec" else SMALL_UL_FUSE_A
    kind = "gG" if design.plan.rulebook == "iec" else "CC"
    most = min((limit for limit in allowed if limit is not None), key=lambda limit: limit.value, default=None)
    fits = [one for one in ratings if most is not None and _protects_with(design, kind, one, most)]
    if not fits or not poles:
        return ()
    name, rating = next(free_parts(design, "F")), fits[-1]
    entry = f"kind: fuse, rating: {rating:g} A, class: {kind}, breaking: 20 kA"
    wired = in_series(design, poles[0], ((name, "1"), (name, "2")), free_wires(design))
    return (new_part(design, name, entry), *wired) if wired else ()
