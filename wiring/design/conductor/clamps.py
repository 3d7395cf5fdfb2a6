"""The sizes that the terminals at a conductor's ends take."""

from __future__ import annotations

from collections.abc import Iterator

from wiring.circuit.model import Conductor, Node
from wiring.design.design import Design
from wiring.design.edits import led_to
from wiring.design.rewiring import free_parts, free_wires, new_part, new_wire, place_on, wires_at
from wiring.parts.passive import Metalwork
from wiring.plan.edits import Edit

#: Sizes of two systems are taken for equal within this share.
_ROUNDING = 1e-6


def clamps_of(design: Design, conductor: Conductor) -> Iterator[tuple[Node, tuple[float, float] | None]]:
    """The terminals at its ends, each with the sizes that it takes [mm2]; None where they are not known."""
    for node in conductor.ends:
        part = design.parts.get(node[0])
        terminal = part.terminals.get(node[1]) if part else None
        if part is not None and terminal is not None and not isinstance(part.data, Metalwork):
            yield node, terminal.sizes_mm2


def fits_clamp(area: float, limits: tuple[float, float]) -> bool:
    """Whether a cross-section lies within the least and the most that a terminal takes [mm2]."""
    return limits[0] * (1 - _ROUNDING) <= area <= limits[1] * (1 + _ROUNDING)


def moved_off(design: Design, node: tuple[str, str], wires: list[Conductor]) -> tuple[Edit, ...]:
    """One conductor too many at a free point of the same row, all of them and one more on a row of their own."""
    found = place_on(design, node, (node,)) if len(wires) == 1 else None
    if found is not None:
        moved = led_to(design, wires[0], node, found[0])
        return (*found[1], *moved) if moved else ()
    row, more = next(free_parts(design, "X")), [*wires, wires_at(design, node)[0]]
    points = len(more) + 1
    entry = f"kind: terminals, points: {points}, bridged: [1-{points}]"
    moves = [led_to(design, wire, node, (row, str(n))) for n, wire in enumerate(dict.fromkeys(more), 2)]
    link = new_wire(design, next(free_wires(design)), node, (row, "1"), wires[0], "0.3 m")
    return (new_part(design, row, entry), *(e for edits in moves for e in edits), link) if all(moves) else ()
