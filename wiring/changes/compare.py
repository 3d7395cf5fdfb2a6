"""Two outcomes side by side: every figure that a change may move, and the findings that come and go."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import isfinite

from msgspec import Struct
from msgspec.structs import replace

from wiring.changes.outcome import Outcome, is_new
from wiring.design.design import Design
from wiring.design.device.flow import device_loads
from wiring.findings import Finding, NotJudged
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw, Feed
from wiring.parts.passive import EarthBar, Terminals
from wiring.parts.protection import device_rating
from wiring.parts.signals import IoCard
from wiring.rulebooks.citation import Limit


class Figure(Struct, frozen=True):
    """One figure before and after a change, None where it is not there. `limit` is what it may be afterwards, and
    `limit_before` what it might be.

    `section` is supply, peak, device, conductor, mains, cabinet, voltage, bus or points.
    """

    section: str
    subject: str
    state: str
    unit: str
    before: float | None
    after: float | None
    limit: float | None = None
    limit_before: float | None = None


class Comparison(Struct, frozen=True):
    """What a change does. `unknown` is what the changed plan cannot be judged by and the first one could."""

    before: Outcome
    after: Outcome
    figures: tuple[Figure, ...]
    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]
    unknown: tuple[NotJudged, ...]


Key = tuple[str, str, str, str]
Values = dict[Key, tuple[float | None, float | None]]


def _supplies(design: Design) -> Iterator[tuple[Key, float | None, float | None]]:
    for name, rows in design.supplies.items():
        for state, row in rows.items():
            yield ("supply", name, state, "A"), row.current_a, row.available_a
            yield ("peak", name, state, "A"), row.peak_a, row.limit_a if isfinite(row.limit_a) else None


def rating_of(design: Design, name: str) -> float | None:
    """Rated current or setting of a protective device [A]; None for any other part."""
    return device_rating(design.parts[name])


def _devices(design: Design) -> Iterator[tuple[Key, float | None, float | None]]:
    for name, load_a in device_loads(design.machine, design.operation).items():
        yield ("device", name, "", "A"), load_a, rating_of(design, name)


def _conductors(design: Design) -> Iterator[tuple[Key, float | None, float | None]]:
    for name, row in design.conductors.items():
        limit = row.ampacity.value if isinstance(row.ampacity, Limit) else None
        yield ("conductor", name, "", "A"), row.current_a, limit


def _mains(design: Design) -> Iterator[tuple[Key, float | None, float | None]]:
    upstream = design.plan.mains.upstream if design.plan.mains else None
    for part, element in design.circuit.elements(Feed):
        rows = [c for c in design.circuit.conductors_at((part.name, element.terminal)) if c.id in design.conductors]
        if rows and element.conductor not in ("N", "PE"):
            amps = sum(design.conductors[row.id].current_a for row in rows)
            yield ("mains", f"{part.name}:{element.terminal}", "", "A"), amps, upstream.rating if upstream else None


def _cabinet(design: Design) -> Iterator[tuple[Key, float | None, float | None]]:
    inside = design.inside
    yield ("cabinet", "heat", "", "W"), inside.heat_w, None
    yield ("cabinet", "inside", "", "°C"), None if inside.rise_k is None else inside.inside_c, None


def _voltages(design: Design) -> Iterator[tuple[Key, float | None, float | None]]:
    """The lowest voltage that a DC drive sees in any state."""
    for name, axis in design.axes.items():
        assert isinstance(axis.drive.data, Drive)
        for draw in axis.drive.of(Draw):
            if draw.name == "bus" and draw.kind == "DC":
                volts = [abs(p.between((name, draw.a), (name, draw.b), "DC")) for p in design.states.values()]
                yield ("voltage", name, "", "V"), min(volts, default=0.0), axis.drive.data.supply.low


def _buses(design: Design) -> Iterator[tuple[Key, float | None, float | None]]:
    """The voltage that braking axes bring each bus to."""
    for bus in design.buses:
        limit = bus.limit_v if isfinite(bus.limit_v) else None
        yield ("bus", bus.source, "", "V"), bus.reached_v if isfinite(bus.reached_v) else None, limit


def _points(design: Design) -> Iterator[tuple[Key, float | None, float | None]]:
    """Points without a conductor: inputs and outputs of cards, terminals, earth bars."""
    for name, part in design.parts.items():
        data = part.data
        rows: list[tuple[str, list[str]]] = []
        if isinstance(data, IoCard):
            rows = [(f"{name} outputs", list(data.outputs)), (f"{name} inputs", list(data.inputs))]
        elif isinstance(data, Terminals | EarthBar):
            rows = [(name, list(part.terminals))]
        for subject, terminals in rows:
            free = sum(not _wired(design, name, terminal) for terminal in terminals)
            yield ("points", subject, "", ""), float(free), float(len(terminals))


def _wired(design: Design, part: str, terminal: str) -> bool:
    ends = [terminal] if (part, terminal) in design.circuit.edges_at else terminal.split("-")
    return any(design.circuit.conductors_at((part, end)) for end in ends)


def values(design: Design) -> Values:
    """Every figure of a design with what it may be, by section, subject, state and unit."""
    rows = (_supplies, _devices, _conductors, _mains, _cabinet, _voltages, _buses, _points)
    return {key: (value, limit) for give in rows for key, value, limit in give(design)}


def figures_of(before: Design, after: Design, names: Mapping[str, str] | None = None) -> tuple[Figure, ...]:
    """Every figure of two designs, in the order of the second; what is gone comes last.

    `names` are those that parts and conductors of the first have in the second, where they differ.
    """
    called = names or {}
    first = {(key[0], called.get(key[1], key[1]), *key[2:]): value for key, value in values(before).items()}
    second = values(after)
    figures = []
    for key in [*second, *(key for key in first if key not in second)]:
        old, new = first.get(key, (None, None)), second.get(key, (None, None))
        section, subject, state, unit = key
        limit = new[1] if key in second else old[1]
        figures.append(Figure(section, subject, state, unit, old[0], new[0], limit, old[1]))
    return tuple(figures)


def compare(before: Outcome, after: Outcome) -> Comparison:
    """Both outcomes side by side, in the order of the changed plan; what is gone comes last."""
    return Comparison(
        before,
        after,
        figures_of(before.design, after.design),
        tuple(finding for finding in after.standing.values() if is_new(finding, before.standing.values())),
        tuple(finding for finding in before.standing.values() if is_new(finding, after.standing.values())),
        _unknown(before, after),
    )


def _unknown(before: Outcome, after: Outcome) -> tuple[NotJudged, ...]:
    """What cannot be judged of subjects of which it could be judged before, or which were not there."""
    known: dict[tuple[str, str], set[str]] = {}
    for entry in before.judged.not_judged:
        known.setdefault((entry.rule, entry.missing), set()).update(entry.subjects)
    found = []
    for entry in after.judged.not_judged:
        there = known.get((entry.rule, entry.missing))
        fresh = tuple(name for name in entry.subjects if there is None or name not in there)
        if fresh or there is None:
            found.append(replace(entry, subjects=fresh))
    return tuple(found)
