"""Where the shield of a cable leaves: at the ring that holds its cores, at each end where it is bonded."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec.structs import replace

from wiring.circuit.model import Conductor, Node
from wiring.design.design import Design
from wiring.drawing.body import is_shield
from wiring.drawing.functions import AT_RING, DC, IO, MAINS
from wiring.drawing.problem import LEFT, RIGHT, Spot
from wiring.drawing.units import Form, Lane, Unit

#: Most rows of one unit, so that it fits the smallest sheet; a terminal with more wires is drawn again.
MOST_ROWS = 20


def _core_lanes(unit: Unit, side: int, cores: set[Node]) -> list[int]:
    found = []
    for n, lane in enumerate(unit.lanes):
        node = lane.left if side == LEFT else lane.right
        if node in cores:
            found.append(n)
    return found


def _attached(units: list[Unit], cores: set[Node], node: Node, degree: Mapping[Node, int]) -> Spot | None:
    """Put the tap of a shield under the cores of its cable at a frame or machine, where two or more stand together.

    No other wire may end among them, for the tap would run through it.
    """
    if any(degree[core] > 1 for core in cores):
        return None
    for index, unit in enumerate(units):
        if unit.form not in (Form.FRAME, Form.CIRCLE) or len(unit.lanes) >= MOST_ROWS:
            continue
        for side in (RIGHT, LEFT):
            lanes = _core_lanes(unit, side, cores)
            if len(lanes) < 2 or lanes != list(range(lanes[0], lanes[-1] + 1)):
                continue
            tap = Lane(node, None) if side == LEFT else Lane(None, node)
            place = lanes[-1] + 1
            units[index] = replace(unit, lanes=(*unit.lanes[:place], tap, *unit.lanes[place:]))
            return unit.id, place
    return None


def _at_one(units: list[Unit], cores: set[Node], node: Node) -> Spot | None:
    """Put the tap of a shield under the only core of its cable at one side of a load or contact."""
    for index, unit in enumerate(units):
        if unit.form is Form.LANES and len(unit.lanes) == 1 and unit.sheet not in (MAINS, DC):
            (lane,) = unit.lanes
            if lane.left in cores or lane.right in cores:
                tap = Lane(node, None) if lane.left in cores else Lane(None, node)
                units[index] = replace(unit, lanes=(lane, tap))
                return unit.id, 1
    return None


def _at_strip(units: list[Unit], cores: Sequence[Node], node: Node, degree: Mapping[Node, int]) -> Spot | None:
    """Put the tap of a shield under cores of its cable at a row of terminals, where most of them stand together.

    Failing that at a single one which leads the first of them on.
    """
    able = {node for node in cores if degree[node] == 1}
    best: tuple[int, int, int] | None = None
    for index, unit in enumerate(units):
        if unit.form is not Form.POINTS or len(unit.lanes) >= MOST_ROWS:
            continue
        start = None
        for n, lane in enumerate((*unit.lanes, None)):
            if lane is not None and lane.left in able and not is_shield(lane):
                start = n if start is None else start
            elif start is not None:
                if best is None or n - start > best[0]:
                    best = (n - start, index, n)
                start = None
    if best is None:
        leading = (n for core in cores for n, unit in enumerate(units) if _leads_on(unit, core, degree))
        best = next(((1, n, 1) for n in leading), None)
    if best is None:
        return None
    _, index, place = best
    lanes = units[index].lanes
    units[index] = replace(units[index], lanes=(*lanes[:place], Lane(None, node), *lanes[place:]))
    return units[index].id, place


def _leads_on(unit: Unit, core: Node, degree: Mapping[Node, int]) -> bool:
    """Whether a unit is one terminal point that joins a core with one other wire."""
    is_one = unit.form is Form.POINTS and len(unit.lanes) == 1 and unit.sheet not in (MAINS, DC)
    return is_one and unit.lanes[0].left == core and degree[core] == 2


def place_shields(design: Design, units: list[Unit], degree: Mapping[Node, int]) -> dict[str, str]:
    """Give every bonded end of a shield its place; the unit of each by the id of its conductor."""
    hosts: dict[str, str] = {}
    by_cable: dict[str, list[Conductor]] = {}
    for conductor in design.circuit.conductors:
        if conductor.kind == "core" and conductor.cable:
            by_cable.setdefault(conductor.cable, []).append(conductor)
    taken: dict[str, int] = {}
    for conductor in design.circuit.conductors:
        if conductor.kind != "shield" or conductor.cable is None:
            continue
        count = taken.get(conductor.cable, 0)
        taken[conductor.cable] = count + 1
        cores = by_cable.get(conductor.cable, [])
        nodes = {core.b if count else core.a for core in cores}
        spot = _attached(units, nodes, conductor.a, degree) if count < 2 else None
        if spot is None and count == 0:
            spot = _at_strip(units, [end for core in cores for end in core.ends], conductor.a, degree)
        if spot is None and count < 2:
            spot = _at_one(units, {core for core in nodes if degree[core] == 1}, conductor.a)
        if spot is None:
            sheet = next((unit.sheet for core in cores for unit in units if core.a in unit.nodes), IO)
            name = f"{conductor.id} screen"
            lane = Lane(None, conductor.a)
            units.append(
                Unit(name, conductor.cable, "screen", Form.BOND, (lane,), sheet, ("shield",), "screen", flippable=True)
            )
            hosts[conductor.id] = name
        else:
            hosts[conductor.id] = spot[0]
        _bonded_there(units, hosts[conductor.id], conductor.b, degree)
    return hosts


def _bonded_there(units: list[Unit], host: str, node: Node, degree: Mapping[Node, int]) -> None:
    """Metalwork that a shield alone is bonded to stands at the ring of that shield, unless that may hang."""
    at = next(unit for unit in units if unit.id == host)
    for index, unit in enumerate(units):
        alone = unit.form is Form.BOND and unit.emblem == "frame" and degree[node] == 1
        if alone and node in unit.nodes and not (at.form is Form.FRAME and at.sheet in (MAINS, DC)):
            units[index] = replace(unit, sheet=AT_RING)
