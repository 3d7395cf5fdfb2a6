"""A fuse or breaker is rated for less than the load behind it takes.

The current through each pole is solved in every state. On top of it comes the largest load behind the device that no
state runs, because a hand or a contact that is open there switches it on. A device works for ever at its rated
current and no more. Where only all such loads together are too much, the finding is a NOTICE.

Fires on sorting-gate at F2
    F2.rating=250 mA
Quiet
    F2.rating=1 A
Not judged
    The heat of neighbours, which lowers the current that a breaker or fuse bears in a warm cabinet.
Known limits
    Moments of acceleration and inrush do not count here. A load that is too much for its supply or its conductor as
    well is told there alone, the setting of a motor protector by `motor-overload-missing`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from math import hypot

from wiring.design.devices import device_steps
from wiring.design.given_voltages import Loaded, Reachable
from wiring.design.reachable import poles_on_the_way, reachable_volts
from wiring.findings import Mend, Number, Scope
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Pole, Resistance
from wiring.parts.protection import ResidualCurrentDevice
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.steps import RESIDUAL_A, first_at_least
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import listed

RULE = Rule(
    slug="protection-below-load",
    title="Fuse or breaker is rated below its load",
    signal=Signal.CAUTION,
    harm="It opens in the middle of the work, and the machine stops where it stands; then a bigger one is put in.",
    sources=(("iec", iec_60204("7.2.10")), ("na", nfpa_79("7.2.10"))),
)


#: A load of constant power takes a little more than its rated current where conductors lose voltage (own choice).
_SLACK = 1.02


@dataclass(slots=True)
class _Through:
    """What flows through a device at most: solved, in a state, and what may come on top, by part."""

    amps: float = 0.0
    state: str = ""
    more: dict[str, float] = field(default_factory=dict)


def check(design: Design) -> Judgements:
    """Every device with a rating, by the worst of its poles."""
    ratings = _ratings(design)
    for name, flow in _through(design, ratings).items():
        part, rated = design.parts[name], ratings[name]
        largest = max(flow.more.values(), default=0.0)
        if flow.amps + sum(flow.more.values()) > rated * _SLACK:
            yield _finding(design, part, rated, flow, flow.amps + largest > rated * _SLACK)


def requirements(design: Design) -> Requirements:
    """Every device with a rating, by the worst of its poles; all that may come on at once only where it is sized."""
    for name, flow in _through(design, _ratings(design)).items():
        for firm, more in ((True, max), (False, sum)):
            most = flow.amps + (more(flow.more.values()) if flow.more else 0.0)
            yield Requirement(RULE.slug, name, Quantity.RATING, most / _SLACK, why=f"{most:.3g} A", firm=firm)


def _ratings(design: Design) -> dict[str, float]:
    return {name: amps for name, part in design.parts.items() if (amps := _rating(design, part)) is not None}


def _through(design: Design, ratings: Mapping[str, float]) -> dict[str, _Through]:
    through = _currents(design, ratings)
    _add_unfed(design, through)
    return through


def _rating(design: Design, part: Part) -> float | None:
    known = design.devices.by_name.get(part.name)
    if known is not None and known.device is not None:
        return known.device.rating_a
    return part.data.rated if isinstance(part.data, ResidualCurrentDevice) else None


def _currents(design: Design, ratings: Mapping[str, float]) -> dict[str, _Through]:
    poles = [path for path in design.circuit.inner if path.part in ratings and isinstance(path.element, Pole)]
    found = {path.part: _Through() for path in poles}
    for state, point in design.operation.loaded.items():
        dc, ac = point.path_current("DC"), point.path_current("AC")
        for path in poles:
            amps = hypot(abs(dc.get(path.id, 0.0)), abs(ac.get(path.id, 0.0)))
            if amps > found[path.part].amps:
                found[path.part].amps, found[path.part].state = amps, state
    return found


def _add_unfed(design: Design, through: dict[str, _Through]) -> None:
    """The loads that no state feeds, at the devices on their way."""
    for part, element in design.circuit.elements(Draw, Coil, Resistance):
        assert isinstance(element, Draw | Coil | Resistance)
        if isinstance(element, Resistance) and not element.load:
            continue
        given = max(
            reachable_volts(design.machine, design.operation, part, element), key=lambda one: one.volts, default=None
        )
        amps = _amps(element, given) if given is not None and given.volts > 0.0 else 0.0
        if amps > 0.0:
            for device in poles_on_the_way(design.machine, part, element):
                if device in through:
                    through[device].more[part.name] = max(amps, through[device].more.get(part.name, 0.0))


def _amps(element: Loaded, given: Reachable) -> float:
    match element:
        case Coil() | Resistance():
            return given.volts / element.ohm
        case Draw():
            watts = (element.watts or 0.0) / element.power_factor
            return element.amps if element.amps is not None else watts / given.volts
    return 0.0


def _scope(design: Design, part: Part) -> Scope:
    """The supplies in front, the conductors at the device, and the loads behind it that take what they should not."""
    ends = [(part.name, end) for pole in part.of(Pole) if isinstance(pole, Pole) for end in (pole.a, pole.b)]
    sources = {reached.pole.source for end in ends for reached in design.nets.reach(end).sources}
    conductors = {c.id for end in ends for c in design.circuit.conductors_at(end)}
    behind = {node[0] for node, short in design.short_circuits.to_return.items() if part.name in short.devices}
    return scope("supply", *sources) | scope("conductor", *conductors) | scope("over", *behind)


def _larger(design: Design, part: Part, most: float) -> Iterator[Mend]:
    steps = RESIDUAL_A if isinstance(part.data, ResidualCurrentDevice) else device_steps(part, design.plan.rulebook)
    step = first_at_least(steps, most / _SLACK)
    if step is not None:
        ask = Requirement(RULE.slug, part.name, Quantity.RATING, most / _SLACK)
        yield Mend(f"Take {step:.3g} A for {part.name}, if the conductors behind it carry that.", asks=(ask,))


def _finding(design: Design, part: Part, rated: float, flow: _Through, alone: bool) -> Judgement:
    most = flow.amps + (max(flow.more.values(), default=0.0) if alone else sum(flow.more.values()))
    names = sorted(flow.more, key=lambda name: (-flow.more[name], name))[: 1 if alone else None]
    top = f", {listed(names)} switched on" if names else ""
    numbers = [Number("load", flow.amps, "A", f"state {flow.state}")] if flow.state else []
    numbers += [Number("on top", flow.more[name], "A", name) for name in names]
    return RULE.finding(
        (part.name, *names),
        f"{part.name} is rated {rated:.3g} A and its load takes {most:.3g} A{top}",
        design.place(part.name),
        signal=RULE.signal if alone else Signal.NOTICE,
        numbers=numbers,
        limit=RULE.limit(design, rated, "A"),
        mend=(*_larger(design, part, most), f"Share the load of {part.name} out among several devices."),
        rests=(_scope(design, part),),
    )
