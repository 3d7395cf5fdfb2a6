"""The parts on the plate in blocks: what a builder keeps together, in the order of their names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from enum import IntEnum
from itertools import pairwise

from msgspec import Struct

from wiring.cabinet.records import Style
from wiring.circuit.model import Circuit
from wiring.parts.base import Part
from wiring.parts.outlines import HOT_W, Outline, outline_of
from wiring.parts.passive import Terminals
from wiring.parts.protection import Breaker, ElectronicFuse, MotorProtector
from wiring.parts.signals import IoCard
from wiring.wording import natural

#: What heat shortens the life of or lets trip early: IEC 60204-1, 11.2.3, from memory, names heat for all components.
SENSITIVE = Breaker | ElectronicFuse | MotorProtector | IoCard


class Sort(IntEnum):
    """Which rows a block may stand in: field blocks carry cables and stand where these enter."""

    POWER = 0
    CONTROL = 1
    FIELD = 2


_POWER = ("supply", "mains", "drive")


class Body(Struct, frozen=True):
    """One part on the plate."""

    name: str
    outline: Outline
    sort: Sort
    group: str
    hot: bool
    sensitive: bool


class Block(Struct, frozen=True):
    """Bodies that stand side by side in this order."""

    bodies: tuple[Body, ...]

    @property
    def sort(self) -> Sort:
        """Where it may stand."""
        return self.bodies[0].sort

    @property
    def height(self) -> float:
        """That of its tallest body, with what it wants above and below [mm]."""
        return max(one.outline.height + one.outline.above + one.outline.below for one in self.bodies)

    @property
    def heat_w(self) -> float:
        """Typical heat of its bodies [W]."""
        return sum(one.outline.heat_w for one in self.bodies)


def outlines_of(parts: Mapping[str, Part]) -> dict[str, Outline]:
    """Every part that takes up room in or on the cabinet, in the natural order of their names."""
    found = {name: outline_of(parts[name]) for name in sorted(parts, key=natural)}
    return {name: outline for name, outline in found.items() if outline is not None}


def bodies_of(circuit: Circuit, outlines: Mapping[str, Outline]) -> list[Body]:
    """The parts that stand in rows on the plate."""
    field = {name for name in outlines if _meets_cables(circuit, name)}
    found = []
    for name, outline in outlines.items():
        if outline.mount in ("rail", "plate"):
            part = circuit.parts[name]
            sort = Sort.POWER if outline.zone in _POWER else Sort.CONTROL
            if outline.zone == "entry" or (isinstance(part.data, Terminals) and name in field):
                sort = Sort.FIELD
            sensitive = isinstance(part.data, SENSITIVE)
            found.append(Body(name, outline, sort, part.kind, outline.heat_w >= HOT_W and not sensitive, sensitive))
    return found


def _meets_cables(circuit: Circuit, name: str) -> bool:
    """Whether a cable, or a wire from outside the cabinet, ends at a part."""
    for terminal in circuit.parts[name].terminals:
        for conductor in circuit.conductors_at((name, terminal)):
            far = circuit.parts.get(conductor.other((name, terminal))[0])
            if conductor.cable is not None or (far is not None and far.data.at in ("machine", "outside")):
                return True
    return False


def gap(style: Style, one: Body, two: Body) -> float:
    """Free space between two neighbours: the larger that one of them wants, or that between power and control [mm]."""
    apart = one.sort is not two.sort or (one.outline.zone == "entry") != (two.outline.zone == "entry")
    return max(one.outline.sides, two.outline.sides, style.partition if apart else 0.0)


def run_width(style: Style, bodies: Sequence[Body]) -> float:
    """Width of bodies side by side [mm]."""
    gaps = (gap(style, one, two) for one, two in pairwise(bodies))
    return sum(one.outline.width for one in bodies) + sum(gaps)


def blocks_of(style: Style, bodies: Iterable[Body], capacity: float, *, whole: bool = True) -> list[Block]:
    """Bodies of one kind and sort together, cut where a block is wider than a row holds; one by one unless `whole`."""
    groups: dict[tuple[Sort, str], list[Body]] = {}
    for body in bodies:
        groups.setdefault((body.sort, body.group), []).append(body)
    found = []
    for group in groups.values():
        run: list[Body] = []
        for body in group:
            if run and (not whole or run_width(style, [*run, body]) > capacity):
                found.append(Block(tuple(run)))
                run = []
            run.append(body)
        found.append(Block(tuple(run)))
    return found
