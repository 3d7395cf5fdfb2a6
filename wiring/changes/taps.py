"""Where a trial load is joined: at a supply's own terminals, or at the heaviest load behind a protective device."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import inf

from wiring.changes.compare import device_loads, rating_of
from wiring.circuit.model import Node
from wiring.design.design import Design
from wiring.design.supplies import main_outputs
from wiring.parts.elements import Coil, Draw, Input, Pole, Resistance
from wiring.rules.supply_headroom_small import KEPT_FREE


@dataclass(frozen=True, slots=True)
class Tap:
    """Where a trial load is joined: two terminals, what stands there, and the device whose rating then counts."""

    sort: str
    name: str
    plus: Node
    minus: Node
    volts: float
    kind: str
    used_w: float
    #: Loads near which a limit may lie by the ratings alone [W]; they only shorten the search.
    guesses: tuple[float, ...] = ()


def supply_taps(design: Design) -> Iterator[Tap]:
    """A tap at every supply that is live in some state."""
    for part in design.parts.values():
        for _, output in main_outputs(part):
            rows = design.supplies[part.name]
            if any(row.live for row in rows.values()):
                used = max(row.watts for row in rows.values())
                spare = min((1.0 - KEPT_FREE) * row.available_a - row.current_a for row in rows.values())
                peak = min(row.limit_a - row.peak_a for row in rows.values())
                volts = design.nets.volts_of(part.name)
                guesses = tuple(volts * amps for amps in sorted((spare, peak)) if 0.0 < amps < inf)
                plus, minus = (part.name, output.plus), (part.name, output.minus)
                yield Tap("supply", part.name, plus, minus, volts, output.kind, used, guesses)


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
        guard = design.guards.get(conductor.id)
        if guard is not None and guard.part == device:
            ends.update(conductor.ends)
    part = design.parts[device]
    own = {(device, end) for pole in part.of(Pole) if isinstance(pole, Pole) for end in (pole.a, pole.b)}
    return ends - own


def feed_taps(design: Design) -> Iterator[Tap]:
    """For each protective device the two ends of the heaviest load behind it."""
    for name in device_loads(design):
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
            yield replace(best, guesses=(best.volts * max(rating_a - device_loads(design)[name], 0.0),))


def _tap_at(design: Design, name: str, a: Node, b: Node, kind: str) -> Tap | None:
    used, volts, found = 0.0, 0.0, ""
    for point in design.states.values():
        for sort in (kind,) if kind else ("DC", "AC"):
            here = abs(point.between(a, b, sort))
            if here > volts:
                volts, found = here, sort
            paths = [c.id for c in design.circuit.conductors_at(a)]
            amps = max((abs(point.path_current(sort).get(path, 0.0)) for path in paths), default=0.0)
            used = max(used, here * amps)
    return Tap("feed", name, a, b, round(volts, 1), found, used) if volts > 1.0 else None
