"""Where a trial load is joined: at a supply's own terminals, or at the heaviest load behind a protective device."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from wiring.changes.compare import rating_of
from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.design.device.flow import device_loads
from wiring.design.supply.supplies import main_outputs
from wiring.parts.elements import Coil, Draw, Input, Pole, Resistance
from wiring.rulebooks.limits import KEPT_FREE
from wiring.solver.assembly import ElementKey
from wiring.solver.operating import OperatingPoint


class Tap(Struct, frozen=True):
    """Where a trial load is joined: two terminals, what stands there, and the device whose rating then counts.

    `used_w` is what is taken there in the heaviest state, `average_w` with every axis weighed by its duty, `peak_w`
    with every moving axis accelerating.
    """

    sort: str
    name: str
    plus: Node
    minus: Node
    volts: float
    kind: str
    used_w: float
    average_w: float
    #: None at AC, where no peak is solved.
    peak_w: float | None
    #: Loads near which a limit may lie by the ratings alone [W]; they only shorten the search.
    guesses: tuple[float, ...] = ()


def supply_taps(design: Design) -> Iterator[Tap]:
    """A tap at every supply that is live in some state."""
    for part in design.parts.values():
        for n, output in main_outputs(part):
            rows = design.supplies[part.name]
            if any(row.live for row in rows.values()):
                used = max(row.watts for row in rows.values())
                spare = min((1.0 - KEPT_FREE) * row.available_a - row.current_a for row in rows.values())
                peak = min(row.limit_a - row.peak_a for row in rows.values())
                volts = design.nets.volts_of(part.name)
                guesses = tuple(volts * amps for amps in sorted((spare, peak)) if 0.0 < amps < inf)
                plus, minus = (part.name, output.plus), (part.name, output.minus)
                average, peak = (
                    _delivered(points.values(), (part.name, n), plus, minus, output.kind)
                    for points in (design.averages, design.peaks)
                )
                peak_w = max(peak, used) if output.kind == "DC" else None
                yield Tap(
                    "supply", part.name, plus, minus, volts, output.kind, used, min(average, used), peak_w, guesses
                )


def _delivered(points: Iterable[OperatingPoint], key: ElementKey, plus: Node, minus: Node, kind: str) -> float:
    """The most that an output delivers at any of these points [W]."""
    amps = [(abs(point.element_current(kind).get(key, 0.0)), point) for point in points]
    return max((each * abs(point.between(plus, minus, kind)) for each, point in amps), default=0.0)


def _loads(design: Design) -> Iterator[tuple[Node, Node, str]]:
    """The two ends of every load that takes power, and AC or DC ("" for both)."""
    for part, element in design.circuit.elements(Draw, Input, Resistance, Coil):
        if isinstance(element, Draw | Input | Resistance | Coil):
            kind = element.kind if isinstance(element, Draw | Input) else ""
            yield (part.name, element.a), (part.name, element.b), kind


def _behind(design: Design, device: str) -> set[Node]:
    """The points whose current this device limits."""
    ends: set[Node] = set()
    for conductor in design.circuit.conductors:
        protection = design.protections.get(conductor.id)
        if protection is not None and protection.part == device:
            ends.update(conductor.ends)
    part = design.parts[device]
    own = {(device, end) for pole in part.of(Pole) for end in (pole.a, pole.b)}
    return ends - own


def feed_taps(design: Design) -> Iterator[Tap]:
    """For each protective device the two ends of the heaviest load behind it."""
    for name in device_loads(design.machine, design.operation):
        behind = _behind(design, name)
        best: Tap | None = None
        for a, b, kind in _loads(design):
            if a not in behind and b not in behind:
                continue
            tap = _tap_at(design, name, a, b, kind)
            if tap is not None and (best is None or tap.used_w > best.used_w):
                best = tap
        rating_a = rating_of(design, name)
        if best is not None and rating_a is not None:
            yield replace(
                best, guesses=(best.volts * max(rating_a - device_loads(design.machine, design.operation)[name], 0.0),)
            )


def _tap_at(design: Design, name: str, a: Node, b: Node, kind: str) -> Tap | None:
    points = design.states.values()
    sorts = (kind,) if kind else ("DC", "AC")
    highest = [max((abs(point.between(a, b, sort)) for point in points), default=0.0) for sort in sorts]
    volts, found = max(zip(highest, sorts, strict=True), key=lambda row: row[0])
    if volts <= 1.0:
        return None
    used, average, peak = (
        _taken(design, layer.values(), a, b, sorts) for layer in (design.states, design.averages, design.peaks)
    )
    peak_w = max(peak, used) if found == "DC" else None
    return Tap("feed", name, a, b, round(volts, 1), found, used, min(average, used), peak_w)


def _taken(design: Design, points: Iterable[OperatingPoint], a: Node, b: Node, kinds: Iterable[str]) -> float:
    """The most that goes through the conductors at a load's end at any of these points [W]."""
    paths = [conductor.id for conductor in design.circuit.conductors_at(a)]
    most = 0.0
    for point in points:
        for kind in kinds:
            amps = max((abs(point.path_current(kind).get(path, 0.0)) for path in paths), default=0.0)
            most = max(most, abs(point.between(a, b, kind)) * amps)
    return most
