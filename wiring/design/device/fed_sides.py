"""At which side of its poles every device is fed, against the side that is marked for the line."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Inner
from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.elements import Pole, Switch
from wiring.parts.protection import MainPoles


class FedSide(Struct, frozen=True):
    """A device with a terminal at which a source reaches it, the other end of that pole, and whether that is its line
    side; None where the plan does not tell."""

    part: Part
    fed: str
    other: str
    right: bool | None


def fed_sides(design: Design) -> Iterator[FedSide]:
    """Every device that is not made to be fed from either side, by its first pole that a line reaches."""
    hot = design.short_circuits.paths.hot
    for part in design.parts.values():
        side = part.data.line_side() if isinstance(part.data, MainPoles) else "either"
        if side == "either":
            continue
        for pole in part.of(Pole, Switch):
            ends = ((pole.a, pole.b), (pole.b, pole.a)) if pole.a.isdigit() and pole.b.isdigit() else ()
            found = next((ways for ways in ends if _leads(design, part.name, *ways)), None)
            if found is not None and all((part.name, end) in hot for end in found):
                odd = int(found[0]) % 2 == 1
                yield FedSide(part, *found, None if side is None else odd == (side == "odd"))
                break


def _leads(design: Design, name: str, fed: str, other: str) -> bool:
    """Whether a way from a source passes a pole in this direction."""
    reached = design.short_circuits.paths.hot.get((name, other))
    return reached is not None and isinstance(reached.back, Inner) and reached.before == (name, fed)
