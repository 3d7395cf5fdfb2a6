"""Whether a plan lays its cabinet out: asked of every plan, so that this module needs nothing else of the room."""

from __future__ import annotations

from wiring.circuit.model import Circuit


def has_positions(circuit: Circuit) -> bool:
    """Whether the plan says where a part stands on the plate of a cabinet that has a size."""
    enclosure = circuit.plan.enclosure
    if enclosure is None or enclosure.size is None:
        return False
    return any(part.data.position is not None and part.data.at == "cabinet" for part in circuit.parts.values())
