"""The cabinet as the plan lays it out: what rules on positions, free space, depth and reach ask of it, and the lengths
of conductors along its ducts.

A length that a wire or cable gives itself wins; that of a wire type is a default, in whose place the way comes.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import ceil
from typing import TYPE_CHECKING

from msgspec.structs import replace

from wiring.cabinet.blocks import SENSITIVE
from wiring.cabinet.positions import has_positions
from wiring.cabinet.records import Area, Layout, Placed
from wiring.circuit.model import Circuit, Conductor
from wiring.design.design import Design
from wiring.design.plan_origin import PlanOrigins
from wiring.parts.outlines import HOT_W, outline_of
from wiring.plan.read import Reading
from wiring.plan.source import Place

if TYPE_CHECKING:
    from wiring.cabinet.lengths import Course
    from wiring.cabinet.walls import Solid
    from wiring.design.machine import Machine


def with_lengths(circuit: Circuit, reading: Reading) -> Circuit:
    """The circuit with the lengths of its way for every conductor that gives none itself, in whole centimetres."""
    if not has_positions(circuit):
        return circuit
    return replace(circuit, conductors=tuple(_laid(circuit, PlanOrigins(reading, circuit.plan))))


def _laid(circuit: Circuit, origins: PlanOrigins) -> Iterator[Conductor]:
    from wiring.cabinet.given import given_layout
    from wiring.cabinet.lengths import Courses

    courses = Courses(given_layout(circuit), circuit).of
    for conductor in circuit.conductors:
        entry = origins.of_conductor.get(conductor.id)
        if entry is None or origins.is_own(entry, "length"):
            yield conductor
            continue
        mates = [conductor] if conductor.cable is None else circuit.cables[conductor.cable]
        cuts = [course.cut for mate in mates if (course := courses.get(mate.id)) and course.cut is not None]
        yield replace(conductor, length_m=ceil(max(cuts) / 10.0) / 100.0) if cuts else conductor


#: What a given length may be short of the way before it is told: a bent wire lies anywhere in its duct [mm].
_LET_PASS_MM = 5.0


def short_of_way(machine: Machine, courses: Mapping[str, Course]) -> Iterator[tuple[str, Conductor, Course]]:
    """The conductors that give a length themselves which is less than their way; a cable once, by its first core."""
    told: set[str] = set()
    for name, course in courses.items():
        conductor, entry = machine.circuit.conductor[name], machine.origins.of_conductor.get(name)
        subject = conductor.cable or name
        if conductor.length_m is None or entry is None or subject in told:
            continue
        if machine.origins.is_own(entry, "length") and 1000 * conductor.length_m < course.least - _LET_PASS_MM:
            told.add(subject)
            yield subject, conductor, course


#: A hot part warms what stands above it within this [mm]: the next row; own choice.
_WARMED_MM = 300.0


def position_place(design: Design, name: str) -> Place:
    """Where the position of a part stands in the plan."""
    return design.place(name, "position")


def without_position(design: Design, layout: Layout) -> list[str]:
    """The parts on rails, plate and foot that have no position while others have one."""
    hung = without_wall(design, layout)
    return [name for name in layout.unplaced if design.parts[name].data.at == "cabinet" and name not in hung]


def without_wall(design: Design, layout: Layout) -> list[str]:
    """The parts that hang on a wall and say not which, or not where on it, while others have their place."""
    outlines = {name: outline_of(design.parts[name]) for name in layout.unplaced}
    return [name for name, outline in outlines.items() if outline is not None and outline.mount == "wall"]


def heat_w(design: Design, placed: Placed) -> float:
    """Heat of a part: solved in the hottest state, or typical of its class where nothing is solved of it [W]."""
    return design.inside.parts_w.get(placed.name, placed.outline.heat_w)


def hot_below(design: Design, layout: Layout) -> Iterator[tuple[Placed, Placed, float]]:
    """Every hot part on plate, floor or wall straight below one that heat harms, and nothing between them: hot, harmed,
    heat [W]."""
    from wiring.cabinet.walls import placed_solids

    solids = list(placed_solids(layout))
    for hot, below in solids:
        watts = heat_w(design, hot)
        if watts < HOT_W or isinstance(design.parts[hot.name].data, SENSITIVE):
            continue
        above = [(one, solid) for one, solid in solids if _is_above(solid, below)]
        for harmed, solid in above:
            nearer = [one for one, other in above if other.up[1] < solid.up[0] and _over(other, solid)]
            if isinstance(design.parts[harmed.name].data, SENSITIVE) and not nearer:
                yield hot, harmed, watts


def _over(one: Solid, two: Solid) -> bool:
    """Whether one is straight over the other."""
    pairs = ((one.across, two.across), (one.out, two.out))
    return all(min(a[1], b[1]) - max(a[0], b[0]) > 1.0 for a, b in pairs)


def _is_above(one: Solid, hot: Solid) -> bool:
    return 0.0 <= one.up[0] - hot.up[1] < _WARMED_MM and _over(one, hot)


def _overlaps(one: Area, two: Area) -> bool:
    return min(one.right, two.right) - max(one.x, two.x) > 1.0


def bending_room(layout: Layout, placed: Placed) -> float | None:
    """The least distance of a part from a duct straight above or below it [mm]; None where none runs there."""
    found = []
    for duct in layout.ducts:
        if duct.run == "across" and _overlaps(placed.area, duct.area) and not placed.area.meets(duct.area):
            found.append(max(duct.area.y - placed.area.top, placed.area.y - duct.area.top))
    return min((one for one in found if one >= 0.0), default=None)


def off_its_rail(layout: Layout, placed: Placed) -> float:
    """How much of the width of a part hangs on no rail [mm]."""
    covered = 0.0
    for rail in layout.rails:
        if placed.area.y < rail.y < placed.area.top:
            covered = max(covered, min(placed.area.right, rail.x + rail.length) - max(placed.x, rail.x))
    return placed.outline.width - max(covered, 0.0)
