"""Which device limits the current of each conductor: the weakest one on the way from the source, by the strongest way.

A conductor that leads back to the source is limited by the devices in front of all loads that return through it; of
those that feed nothing but coils, signal inputs and control electronics one fails at a time, and the others give what
these take. Where several sources feed one way, such as a charger and its battery, what limits each of them adds up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from heapq import heappop, heappush
from itertools import count
from math import inf
from typing import NamedTuple

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.axes import Axis
from wiring.circuit.model import Circuit, Conductor, Edge, Inner, Node
from wiring.circuit.roles import is_earth_point
from wiring.control.bits import mask, places
from wiring.design.device.devices import UPSTREAM, ProtectiveDevice, conventional_operating_current
from wiring.design.device.return_ways import Load, loads_at, one_fault, returns_through
from wiring.effort import walk_on
from wiring.parts.base import Part
from wiring.parts.drives import Inverter, ServoDrive, StepperDrive
from wiring.parts.elements import Feed, Function, Input, Output, Pole, Switch
from wiring.parts.sources import Rectifier, says_its_limit
from wiring.rulebooks.devices import Device


class Protection(Struct, frozen=True):
    """What limits a current.

    `rating_a` is its rated current, `conventional_operating_a` the most it lets pass for ever.
    `family` is breaker, fuse, electronic-fuse, motor-protector, supply, drive, upstream or sum; `part` is its name. A
    sum of devices, which limits a common return, names the source that it returns to as its `feeder`. `known` is False
    for a supply of which the plan does not say what it does when overloaded.
    """

    family: str
    part: str
    rating_a: float
    conventional_operating_a: float
    curve: str = ""
    feeder: str = ""
    known: bool = True

    def __str__(self) -> str:
        return self.part


def protection_of(name: str, device: Device) -> Protection:
    """The protection that a protective device is."""
    lasting = conventional_operating_current(device, dc=False)
    return Protection(device.family, name, device.rating_a, lasting, device.curve)


def _source_protection(part: Part, output: Output) -> Protection:
    lasting = output.limit_a if output.limit_a is not None else inf
    rating = output.rated_a if output.rated_a is not None and output.limit_a is not None else inf
    return Protection("supply", part.name, rating, lasting, known=says_its_limit(part.data))


class _Origin(Struct, frozen=True):
    """Where a current begins; `inputs` are the alternating inputs of a rectifier."""

    plus: Node
    minus: Node | None
    protection: Protection
    alternating: bool = False
    inputs: tuple[Node, ...] = ()
    volts: float = 0.0


def _origins(circuit: Circuit, own: Mapping[str, Protection]) -> Iterator[_Origin]:
    first = own.get(UPSTREAM) or Protection(UPSTREAM, UPSTREAM, inf, inf)
    for part, feed in circuit.elements(Feed):
        if feed.conductor in ("N", "PE"):
            continue
        neutral = next((e for e in part.of(Feed) if e.conductor == "N"), None)
        volts = circuit.plan.mains.voltage.volts if circuit.plan.mains else 0.0
        back = (part.name, neutral.terminal) if neutral else None
        yield _Origin((part.name, feed.terminal), back, first, True, volts=volts)
    for part, element in circuit.elements(Output):
        plus, minus = (part.name, element.plus), (part.name, element.minus)
        feeds = part.of(Input) if isinstance(part.data, Rectifier) else []
        inputs = tuple((part.name, end) for feed in feeds for end in (feed.a, feed.b))
        yield _Origin(plus, minus, _source_protection(part, element), element.kind == "AC", inputs, element.volts)


def _behind_rectifier(origin: _Origin, fed: Mapping[Node, Protection]) -> _Origin:
    """A rectifier limits nothing; what limits the alternating current into it limits the mean of what leaves it."""
    in_front = [fed[node] for node in origin.inputs if node in fed]
    weakest = min(in_front, key=lambda protection: protection.rating_a, default=origin.protection)
    return replace(origin, protection=weakest) if weakest.rating_a <= origin.protection.rating_a else origin


def _carries(circuit: Circuit, edge: Edge) -> bool:
    if isinstance(edge, Conductor):
        return edge.kind != "shield" and not (is_earth_point(circuit, edge.a) or is_earth_point(circuit, edge.b))
    return True


class _Fed(Struct, frozen=True):
    """The strongest way from a source to each node: its protection, its last edge, and the devices it passes."""

    by: dict[Node, Protection]
    last: dict[Node, str]
    passed: dict[Node, frozenset[str]]


def _weaker(device: Protection, before: Protection) -> Protection:
    """What limits behind a device: the smaller rating, and no more for ever than what stands before it gives."""
    if device.rating_a > before.rating_a:
        return before
    if not before.known:
        return device
    return replace(
        device, conventional_operating_a=min(device.conventional_operating_a, before.conventional_operating_a)
    )


def _side(circuit: Circuit, start: Node | None) -> frozenset[Node]:
    """The points on the side of one pole of a source: joined to it by metal, devices and the main switch."""

    def stays(edge: Edge, _: Node) -> bool:
        switched = isinstance(edge, Inner) and isinstance(edge.element, Switch) and edge.element.actuator != "handle"
        return not switched and _carries(circuit, edge)

    return frozenset(circuit.walk([start], stays) if start else ())


def _widest(
    circuit: Circuit, own: Mapping[str, Protection], start: Node, first: Protection, back: frozenset[Node]
) -> _Fed:
    """For every node the strongest way that leads to it from the source; `own` are the devices' protections.

    No way leads on into `back`, the other pole of the source: contacts of two directions that lie between its poles are
    never closed together, and no load hangs there.
    """
    ways = _Fed({}, {}, {})
    order = count()  # two devices of one rating that lead to one node have no order of their own
    none: frozenset[str] = frozenset()
    heap = [(-first.rating_a, start, next(order), first, "", none)]
    while heap:
        _, node, _, protection, came, passed = heappop(heap)
        if node in ways.by:
            continue
        ways.by[node], ways.last[node], ways.passed[node] = protection, came, passed
        for edge in circuit.edges_at[node]:
            far = edge.other(node)
            if far in ways.by or far in back or not _carries(circuit, edge):
                continue
            onward, more = protection, passed
            if isinstance(edge, Inner) and isinstance(edge.element, Pole):
                device = own.get(edge.part)
                if device is not None:
                    more = passed | {edge.part}
                    onward = _weaker(device, protection)
            heappush(heap, (-onward.rating_a, far, next(order), onward, edge.id, more))
    return ways


class _Returning(NamedTuple):
    """What comes back from behind a device: `taken_a` by coils, signal inputs and control electronics, infinite with
    any other load."""

    protection: Protection
    taken_a: float


def _sum_of_protections(returning: Sequence[_Returning], source: Protection) -> Protection:
    if len(returning) == 1 and returning[0].protection.rating_a <= source.rating_a:
        return returning[0].protection
    names, total = one_fault([(r.protection.part, r.protection.rating_a, r.taken_a) for r in returning])
    if total >= source.rating_a:
        return source
    _, lasting = one_fault([(r.protection.part, r.protection.conventional_operating_a, r.taken_a) for r in returning])
    most = min(lasting, source.conventional_operating_a)
    return Protection("sum", " + ".join(sorted(names)), total, most, feeder=source.part)


def _return_protections(
    circuit: Circuit,
    origin: _Origin,
    plus: Mapping[Node, Protection],
    loads: Mapping[Node, list[Load]],
    forth: frozenset[Node],
) -> Iterator[tuple[str, Protection]]:
    assert origin.minus is not None
    points, through = returns_through(
        circuit, origin.minus, lambda edge: _carries(circuit, edge) and forth.isdisjoint((edge.a, edge.b))
    )
    place = {node: n for n, node in enumerate(points)}
    returning: dict[int, list[tuple[_Returning, str, float]]] = {}
    for load in sorted({load for node in points for load in loads.get(node, ())}):
        for hot, cold in ((load.a, load.b), (load.b, load.a)):
            if hot in plus and cold in place:
                one = _Returning(plus[hot], load.taken_a(origin.volts))
                returning.setdefault(place[cold], []).append((one, one.protection.part, one.taken_a))
    loaded = mask(returning, len(points))
    for name in through.keys() & circuit.conductor.keys():
        last: dict[str, _Returning] = {}
        taken: dict[str, float] = {}
        behind = places(through[name] & loaded)
        walk_on(len(behind))
        for n in behind:
            for one, part, amps in returning[n]:
                last[part], taken[part] = one, taken.get(part, 0.0) + amps
        if last:
            each = [_Returning(last[part].protection, taken[part]) for part in sorted(last)]
            yield name, _sum_of_protections(each, origin.protection)


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


def _drive_protections(circuit: Circuit, axes: Mapping[str, Axis]) -> Iterator[tuple[str, Protection]]:
    for axis in axes.values():
        rms = motor_current(axis)
        if rms is None:
            continue
        ends = {(axis.drive.name, t.name) for t in axis.drive.terminals.values() if t.function is Function.MOTOR}
        motors = {motor.name for motor in axis.motors}
        near = {conductor.id: conductor for end in sorted(ends) for conductor in circuit.conductors_at(end)}
        for conductor in near.values():
            names = {end[0] for end in conductor.ends}
            if any(end in ends for end in conductor.ends) and names & motors and conductor.kind != "shield":
                yield conductor.id, Protection("drive", axis.drive.name, rms, rms)


def find_protections(
    circuit: Circuit, axes: Mapping[str, Axis], devices: Mapping[str, ProtectiveDevice]
) -> Mapping[str, Protection]:
    """The protection of every conductor that carries load current, by its id. One that no source reaches has none.

    `devices` are the protective devices by their name, that of the building among them.
    """
    own = {name: protection_of(name, one.device) for name, one in devices.items() if one.device}
    found: dict[str, Protection] = {}

    def keep(conductor_id: str, protection: Protection) -> None:
        known = found.get(conductor_id)
        if known is None or protection.rating_a > known.rating_a:
            found[conductor_id] = protection

    loads = loads_at(circuit)
    fed: dict[Node, Protection] = {}
    direct: dict[tuple[str, Node], list[tuple[Protection, frozenset[str]]]] = {}
    origins = sorted(_origins(circuit, own), key=lambda origin: bool(origin.inputs))
    rectified = any(origin.inputs for origin in origins)
    for origin in origins:
        origin = _behind_rectifier(origin, fed)
        forth, back = _side(circuit, origin.plus), _side(circuit, origin.minus)
        ways = _widest(circuit, own, origin.plus, origin.protection, back)
        plus = ways.by
        if rectified and origin.alternating:
            fed |= plus | (_widest(circuit, own, origin.minus, origin.protection, forth).by if origin.minus else {})
        near = {conductor.id: conductor for node in plus for conductor in circuit.conductors_at(node)}
        for conductor in near.values():
            ends = [plus[end] for end in conductor.ends if end in plus]
            if ends and _carries(circuit, conductor):
                keep(conductor.id, max(ends, key=lambda protection: protection.rating_a))
                if not origin.alternating:
                    _head(direct, conductor, ways)
        if origin.minus is not None:
            for conductor_id, protection in _return_protections(circuit, origin, plus, loads, forth):
                keep(conductor_id, protection)
    for (conductor_id, _), heading in direct.items():
        keep(conductor_id, _together(heading, own))
    for conductor_id, protection in _drive_protections(circuit, axes):
        found[conductor_id] = protection
    return {conductor_id: found[conductor_id] for conductor_id in sorted(found)}


def _head(
    direct: dict[tuple[str, Node], list[tuple[Protection, frozenset[str]]]], conductor: Conductor, ways: _Fed
) -> None:
    """Put the protection of a conductor on a way from a source to those of the others that head the same way."""
    for end in conductor.ends:
        if ways.last.get(end) == conductor.id:
            direct.setdefault((conductor.id, end), []).append((ways.by[end], ways.passed[end]))


def _together(heading: Sequence[tuple[Protection, frozenset[str]]], own: Mapping[str, Protection]) -> Protection:
    """What limits the sum of several sources: a device that all pass, or what limits each of them."""
    each = {protection.part: protection for protection, _ in heading}
    if len(each) == 1:
        return next(iter(each.values()))
    total = Protection(
        "sum",
        " + ".join(sorted(each)),
        sum(one.rating_a for one in each.values()),
        sum(one.conventional_operating_a for one in each.values()),
    )
    shared = frozenset.intersection(*(passed for _, passed in heading))
    return min((*(own[name] for name in sorted(shared)), total), key=lambda one: one.rating_a)
