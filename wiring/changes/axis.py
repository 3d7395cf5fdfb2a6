"""What belongs to one axis: drive, motors, brakes, what guards it or hangs on it alone, the points it alone uses."""

from __future__ import annotations

from msgspec import Struct

from wiring.changes.points import run_of
from wiring.circuit.axes import Axis
from wiring.circuit.model import Inner, Node
from wiring.design.design import Design
from wiring.design.supply.supplies import main_outputs
from wiring.disjoint_sets import joined
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw, Link, Output, Pole
from wiring.parts.passive import EarthBar, Metalwork, Terminals
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse, MotorProtector
from wiring.plan.fault import Refusal, nearest

_GUARDS = (Breaker, ElectronicFuse, Fuse, MotorProtector)


class AxisParts(Struct, frozen=True):
    """One axis. `own` are the names of its parts, `points` the terminals of others that serve it alone.

    `power_ends` are its terminals that take power; `supply` is what feeds it, "" for the mains.
    """

    axis: Axis
    own: tuple[str, ...]
    points: frozenset[Node]
    power_ends: frozenset[Node]
    supply: str


def find_axis(design: Design, name: str) -> Axis:
    """The axis of a motor or a drive. Raises Refusal for any other part."""
    for axis in design.axes.values():
        if name == axis.drive.name or any(name == motor.name for motor in axis.motors):
            if not axis.motors:
                raise Refusal(f"no motor hangs on {name}", "a drive with its motor", complete=True)
            return axis
    known = [motor.name for axis in design.axes.values() for motor in axis.motors]
    part = design.parts.get(name)
    if part is None:
        raise Refusal(f"there is no part {name[:60]!r}", _known(known), "", nearest(name, design.parts), complete=True)
    problem = f"{name} is a {part.kind}" if not part.data.is_motor else f"{name} has no drive"
    raise Refusal(problem, _known(known), complete=True)


def _known(names: list[str]) -> str:
    return f"a motor with its drive: {', '.join(names)}" if names else "a plan with a motor on a drive"


def _bus_ends(drive_name: str, design: Design) -> set[Node]:
    part = design.parts[drive_name]
    draws = [element for element in part.of(Draw) if element.name == "bus"]
    return {(part.name, end) for draw in draws for end in (draw.a, draw.b)}


def _others(design: Design, node: Node) -> set[str]:
    """The parts that conductors lead to from a terminal."""
    return {conductor.other(node)[0] for conductor in design.circuit.conductors_at(node)}


class _Metal:
    """The parts of a design that are one piece of metal with a node, through conductors and terminals."""

    def __init__(self, design: Design) -> None:
        self.design = design
        edges = design.circuit.edges
        metal = (edge for edge in edges if not isinstance(edge, Inner) or isinstance(edge.element, Link))
        self.piece = joined(design.circuit.nodes, ((edge.a, edge.b) for edge in metal))
        self.parts: dict[Node, set[str]] = {}
        for node, piece in self.piece.items():
            part = design.parts.get(node[0])
            if part is not None and not isinstance(part.data, Terminals):
                self.parts.setdefault(piece, set()).add(node[0])

    def beside(self, node: Node) -> set[str]:
        """The parts there, its own left out."""
        return self.parts.get(self.piece[node], set()) - {node[0]}


def _own_guards(metal: _Metal, drive: str) -> list[str]:
    """Protective devices between the rail and the drive that feed nothing else, the nearest first."""
    design = metal.design
    found: list[str] = []
    inside, ends = {drive}, _bus_ends(drive, design)
    while True:
        beside = sorted({name for end in ends for name in metal.beside(end)} - inside)
        fresh = [name for name in beside if _guards_only(metal, name, inside)]
        if not fresh:
            return found
        found += fresh
        inside |= set(fresh)
        ends = {(name, end) for name in fresh for pole in _poles(design, name) for end in (pole.a, pole.b)}


def _poles(design: Design, name: str) -> list[Pole]:
    part = design.parts.get(name)
    return part.of(Pole) if part else []


def _guards_only(metal: _Metal, name: str, inside: set[str]) -> bool:
    """Whether one side of a protective device leads to these parts and to nothing else."""
    design = metal.design
    part = design.parts.get(name)
    if part is None or not isinstance(part.data, _GUARDS):
        return False
    for side in ({pole.a for pole in _poles(design, name)}, {pole.b for pole in _poles(design, name)}):
        beyond = {other for end in side for other in metal.beside((name, end))}
        if beyond and beyond <= inside:
            return True
    return False


def _own_loads(metal: _Metal, own: set[str]) -> list[str]:
    """Parts that hang on nothing but the axis, their earth apart: a braking resistor, a thermistor, an encoder."""
    found = []
    for name in sorted({far for own_name in own for far in _beyond(metal, own_name)} - own):
        part = metal.design.parts.get(name)
        beyond = _beyond(metal, name)
        if part is not None and not isinstance(part.data, EarthBar | Metalwork) and beyond and beyond <= own:
            found.append(name)
    return found


def _beyond(metal: _Metal, name: str) -> set[str]:
    """The parts that the terminals of a part lead to, its earth terminal left out."""
    part = metal.design.parts[name]
    earth = part.data.earth_terminal()
    return {far for end in part.terminals if end != earth for far in metal.beside((name, end))}


def _own_points(design: Design, own: set[str]) -> set[Node]:
    """Terminals that pass conductors of the axis on to the axis again."""
    found: set[Node] = set()
    for name, part in design.parts.items():
        if not isinstance(part.data, Terminals):
            continue
        for terminal in part.terminals:
            run = run_of(part, terminal)
            beyond = {other for point in run for other in _others(design, (name, point))}
            if len(run) == 1 and beyond and beyond <= own:
                found.add((name, terminal))
    return found


def _feeder(design: Design, ends: set[Node]) -> str:
    """The supply whose rail feeds the drive, "" for the mains."""
    for end in sorted(ends):
        for rail in design.roles.rails.get(end, ()):
            part = design.parts.get(rail.source)
            if part is not None and main_outputs(part):
                return part.name
    return ""


def parts_of(design: Design, axis: Axis) -> AxisParts:
    """The axis with all that is its own."""
    drive, metal = axis.drive.name, _Metal(design)
    guards = _own_guards(metal, drive)
    own = [drive, *(motor.name for motor in axis.motors), *(brake.name for brake in axis.brakes), *guards]
    own += _own_loads(metal, set(own))
    bus = _bus_ends(drive, design)
    poles = {(name, end) for name in guards for pole in _poles(design, name) for end in (pole.a, pole.b)}
    points = _own_points(design, set(own))
    return AxisParts(axis, tuple(own), frozenset(points), frozenset(bus | poles), _feeder(design, bus))


def supply_output(design: Design, name: str) -> Output:
    """The main output of a supply. Raises Refusal for any other part."""
    part = design.parts.get(name)
    known = [other.name for other in design.parts.values() if main_outputs(other)]
    if part is None:
        raise Refusal(
            f"there is no part {name[:60]!r}", f"a supply: {', '.join(known)}", "", nearest(name, known), complete=True
        )
    outputs = main_outputs(part)
    if not outputs:
        raise Refusal(f"{name} is a {part.kind}", f"a supply: {', '.join(known)}", complete=True)
    return outputs[0][1]


def fits(design: Design, axis: Axis, supply: str) -> None:
    """Raises Refusal where a supply does not give what a drive takes."""
    output, data = supply_output(design, supply), axis.drive.data
    assert isinstance(data, Drive)
    window, volts = data.supply, design.nets.volts_of(supply)
    if window.kind != output.kind or not window.low <= volts <= window.high:
        gives = f"{volts:.3g} V {output.kind}"
        takes = f"{window.low:g}..{window.high:g} V {window.kind}"
        raise Refusal(
            f"{supply} gives {gives}, and {axis.drive.name} takes {takes}", f"a supply for {takes}", complete=True
        )
