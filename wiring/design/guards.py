"""Which device limits the current of each conductor: the weakest one on the way from the source, by the strongest way.

A conductor that leads back to the source is limited by the devices in front of all loads that return through it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from heapq import heappop, heappush

from wiring.circuit.axes import Axis
from wiring.circuit.model import Circuit, Conductor, Edge, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.parts.base import Part
from wiring.parts.drives import Inverter, ServoDrive, StepperDrive
from wiring.parts.elements import Coil, Draw, Feed, Input, Output, Pole, Resistance
from wiring.parts.protection import Breaker, ElectronicFuse, Fuse, MotorProtector, ResidualCurrentDevice


@dataclass(frozen=True, slots=True)
class Guard:
    """What limits a current. `rating_a` is its rated current, `lasting_a` the most it lets pass for ever.

    `family` is breaker, fuse, electronic-fuse, motor-protector, supply, drive, upstream or sum; `part` is its name.
    """

    family: str
    part: str
    rating_a: float
    lasting_a: float
    curve: str = ""

    def __str__(self) -> str:
        return self.part


#: A fuse gG lets up to 1.6 times its rating pass (IEC 60269-1, 16 A and above), small ones up to 1.9 or 2.1 times;
#: a miniature fuse up to 1.5 times (IEC 60127-2); a UL class fuse up to 1.35 times (UL 248).
_FUSE_LASTING = {"gG": 1.6, "F": 1.5, "FF": 1.5, "T": 1.5, "M": 1.5, "TT": 1.5}
_UL_LASTING = 1.35


def guard_of(part: Part) -> Guard | None:
    """The guard that a protective device is; None for one that does not limit a current."""
    data = part.data
    match data:
        case Breaker():
            return Guard("breaker", part.name, data.rating, 1.45 * data.rating, data.curve or "")
        case Fuse():
            factor = _FUSE_LASTING.get(data.class_ or "", _UL_LASTING)
            if data.class_ == "gG" and data.rating < 16.0:
                factor = 1.9 if data.rating > 4.0 else 2.1
            return Guard("fuse", part.name, data.rating, factor * data.rating, data.class_ or "")
        case ElectronicFuse():
            return Guard("electronic-fuse", part.name, data.rating, data.limit * data.rating)
        case MotorProtector():
            return Guard("motor-protector", part.name, data.setting, 1.2 * data.setting)
        case ResidualCurrentDevice() if data.rating is not None:
            return Guard("breaker", part.name, data.rating, 1.45 * data.rating, data.curve or "")
    return None


def _source_guard(part: Part, output: Output) -> Guard:
    lasting = output.limit_a if output.limit_a is not None else float("inf")
    rating = output.rated_a if output.rated_a is not None and output.limit_a is not None else float("inf")
    return Guard("supply", part.name, rating, lasting)


@dataclass(frozen=True, slots=True)
class _Origin:
    plus: Node
    minus: Node | None
    guard: Guard


def _origins(circuit: Circuit) -> Iterator[_Origin]:
    upstream = circuit.plan.mains.upstream if circuit.plan.mains else None
    for part, element in circuit.elements(Feed):
        assert isinstance(element, Feed)
        if element.conductor in ("N", "PE"):
            continue
        rating = upstream.rating if upstream else float("inf")
        curve = (upstream.curve or upstream.fuse_class or "") if upstream else ""
        neutral = next((e for e in part.of(Feed) if isinstance(e, Feed) and e.conductor == "N"), None)
        minus = (part.name, neutral.terminal) if neutral else None
        family = upstream.kind if upstream else "upstream"
        yield _Origin((part.name, element.terminal), minus, Guard(family, "upstream", rating, 1.45 * rating, curve))
    for part, element in circuit.elements(Output):
        assert isinstance(element, Output)
        yield _Origin((part.name, element.plus), (part.name, element.minus), _source_guard(part, element))


def _carries(circuit: Circuit, edge: Edge) -> bool:
    if isinstance(edge, Conductor):
        return edge.kind != "shield" and not (is_earth_point(circuit, edge.a) or is_earth_point(circuit, edge.b))
    return True


def _widest(circuit: Circuit, start: Node, first: Guard) -> dict[Node, Guard]:
    """For every node the guard of the strongest way that leads to it from the source."""
    best: dict[Node, Guard] = {}
    heap: list[tuple[float, Node, Guard]] = [(-first.rating_a, start, first)]
    while heap:
        _, node, guard = heappop(heap)
        if node in best:
            continue
        best[node] = guard
        for edge in circuit.edges_at[node]:
            far = edge.b if edge.a == node else edge.a
            if far in best or not _carries(circuit, edge):
                continue
            onward = guard
            if isinstance(edge, Inner) and isinstance(edge.element, Pole):
                device = guard_of(circuit.parts[edge.part])
                if device is not None and device.rating_a <= guard.rating_a:
                    onward = device
            heappush(heap, (-onward.rating_a, far, onward))
    return best


def _load_ends(circuit: Circuit) -> Iterator[tuple[Node, Node]]:
    for part, element in circuit.elements(Draw, Input, Coil, Resistance):
        assert isinstance(element, Draw | Input | Coil | Resistance)
        yield (part.name, element.a), (part.name, element.b)


def _return_tree(circuit: Circuit, start: Node) -> tuple[list[Node], dict[Node, tuple[Node, Edge]], set[str]]:
    """Nodes from the source's return outwards, each with the way back, and the edges that close loops."""
    order: list[Node] = [start]
    back: dict[Node, tuple[Node, Edge]] = {}
    loops: set[str] = set()
    seen = {start}
    for node in order:
        for edge in circuit.edges_at[node]:
            far = edge.b if edge.a == node else edge.a
            if not _carries(circuit, edge) or (node in back and back[node][1] is edge):
                continue
            if far in seen:
                loops.add(edge.id)
                continue
            seen.add(far)
            back[far] = (node, edge)
            order.append(far)
    return order, back, loops


def _sum_guards(guards: Mapping[str, Guard], source: Guard) -> Guard:
    total = sum(guard.rating_a for guard in guards.values())
    if total >= source.rating_a:
        return source
    if len(guards) == 1:
        return next(iter(guards.values()))
    lasting = sum(guard.lasting_a for guard in guards.values())
    return Guard("sum", " + ".join(sorted(guards)), total, lasting)


def _return_guards(circuit: Circuit, origin: _Origin, plus: Mapping[Node, Guard]) -> Iterator[tuple[str, Guard]]:
    assert origin.minus is not None
    order, back, loops = _return_tree(circuit, origin.minus)
    beyond: dict[Node, dict[str, Guard]] = {node: {} for node in order}
    for a, b in _load_ends(circuit):
        for hot, cold in ((a, b), (b, a)):
            if hot in plus and cold in beyond and cold not in plus:
                beyond[cold][plus[hot].part] = plus[hot]
    for node in reversed(order[1:]):
        near, edge = back[node]
        beyond[near].update(beyond[node])
        if isinstance(edge, Conductor) and (beyond[node] or edge.id in loops):
            yield edge.id, origin.guard if edge.id in loops else _sum_guards(beyond[node], origin.guard)
    for edge_id in sorted(loops):
        yield edge_id, origin.guard


def motor_current(axis: Axis) -> float | None:
    """Current of each motor conductor of an axis, RMS [A]: what its drive is set to or rated for, else its motor's.

    None where the plan gives neither.
    """
    data = axis.drive.data
    if isinstance(data, StepperDrive):
        return data.phase_current.rms_a
    if isinstance(data, ServoDrive) and data.rated_current is not None:
        return data.rated_current.rms_a
    if isinstance(data, Inverter) and data.output_current is not None:
        return data.output_current
    ratings = [getattr(motor.data, "rated_current", None) for motor in axis.motors]
    known = [rating if isinstance(rating, float) else rating.rms_a for rating in ratings if rating is not None]
    return sum(known) if known and len(known) == len(ratings) else None


def _drive_guards(circuit: Circuit, axes: Mapping[str, Axis]) -> Iterator[tuple[str, Guard]]:
    for axis in axes.values():
        rms = motor_current(axis)
        if rms is None:
            continue
        ends = {(axis.drive.name, t) for t in axis.drive.terminals}
        motors = {motor.name for motor in axis.motors}
        for conductor in circuit.conductors:
            names = {end[0] for end in conductor.ends}
            if any(end in ends for end in conductor.ends) and names & motors and conductor.kind != "shield":
                yield conductor.id, Guard("drive", axis.drive.name, rms, rms)


def find_guards(circuit: Circuit, axes: Mapping[str, Axis]) -> Mapping[str, Guard]:
    """The guard of every conductor that carries load current, by its id. One that no source reaches has none."""
    found: dict[str, Guard] = {}

    def keep(conductor_id: str, guard: Guard) -> None:
        known = found.get(conductor_id)
        if known is None or guard.rating_a > known.rating_a:
            found[conductor_id] = guard

    for origin in _origins(circuit):
        plus = _widest(circuit, origin.plus, origin.guard)
        for conductor in circuit.conductors:
            ends = [plus[end] for end in conductor.ends if end in plus]
            if ends and _carries(circuit, conductor):
                keep(conductor.id, max(ends, key=lambda guard: guard.rating_a))
        if origin.minus is not None:
            for conductor_id, guard in _return_guards(circuit, origin, plus):
                keep(conductor_id, guard)
    for conductor_id, guard in _drive_guards(circuit, axes):
        found[conductor_id] = guard
    return {conductor_id: found[conductor_id] for conductor_id in sorted(found)}
