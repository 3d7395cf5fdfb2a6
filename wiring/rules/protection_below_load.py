"""A fuse or breaker is rated for less than the load behind it takes.

The current through each pole is solved in every state. On top of it comes the largest load behind the device that no
state runs, because a hand or a contact that is open there switches it on. A device works for ever at its rated
current and no more. Where only all such loads together are too much, the finding is a NOTICE.

Fires on sorting-gate at F2
    F2.rating=250 mA
Quiet
    F2.rating=1 A
Not judged
    Devices without a rating. The heat of neighbours, which lowers the current that a breaker or fuse bears in a warm
    cabinet.
Known limits
    Moments of acceleration and inrush do not count here. A load that is too much for its supply or its conductor as
    well is told there alone, the setting of a motor protector by `motor-overload-missing`.
"""

from __future__ import annotations

from collections.abc import Iterator

from wiring.design.device.devices import device_steps
from wiring.design.device.flow import DeviceFlow, device_flows, device_ratings
from wiring.findings import Mend, Number, Scope
from wiring.parts.base import Part
from wiring.parts.elements import Pole
from wiring.parts.protection import MotorProtector, ResidualCurrentDevice
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
#: What a motor protector set to the rated current bears for ever (IEC 60947-4-1:2018, table 2, from memory).
_SLACK_OF_PROTECTOR = 1.05


def _slack(part: Part) -> float:
    return _SLACK_OF_PROTECTOR if isinstance(part.data, MotorProtector) else _SLACK


def check(design: Design) -> Judgements:
    """Every device with a rating, by the worst of its poles."""
    ratings = device_ratings(design)
    for name, flow in device_flows(design, ratings).items():
        part, rated = design.parts[name], ratings[name]
        largest = max(flow.more.values(), default=0.0)
        bears = rated * _slack(part)
        if flow.amps + sum(flow.more.values()) > bears:
            yield _finding(design, part, rated, flow, flow.amps + largest > bears)
    yield from RULE.ask(
        (name for name, one in design.devices.by_name.items() if one.device is None and name in design.parts),
        "their rated current (`rating: 4 A`)",
    )


def requirements(design: Design) -> Requirements:
    """Every device with a rating, by the worst of its poles; all that may come on at once only where it is sized."""
    for name, flow in device_flows(design, device_ratings(design)).items():
        for firm, more in ((True, max), (False, sum)):
            most = flow.amps + (more(flow.more.values()) if flow.more else 0.0)
            least = most / _slack(design.parts[name])
            yield Requirement(RULE.slug, name, Quantity.RATING, least, why=f"{most:.3g} A", firm=firm)


def _scope(design: Design, part: Part) -> Scope:
    """The supplies in front, the conductors at the device, and the loads behind it that take what they should not."""
    ends = [(part.name, end) for pole in part.of(Pole) for end in (pole.a, pole.b)]
    sources = {reached.pole.source for end in ends for reached in design.nets.reach(end).sources}
    conductors = {c.id for end in ends for c in design.circuit.conductors_at(end)}
    behind = {node[0] for node, short in design.short_circuits.to_return.items() if part.name in short.devices}
    return scope("supply", *sources) | scope("conductor", *conductors) | scope("over", *behind)


def _larger(design: Design, part: Part, most: float) -> Iterator[Mend]:
    steps = RESIDUAL_A if isinstance(part.data, ResidualCurrentDevice) else device_steps(part, design.plan.rulebook)
    step = first_at_least(steps, most / _slack(part))
    ask = Requirement(RULE.slug, part.name, Quantity.RATING, most / _slack(part))
    if isinstance(part.data, MotorProtector):
        yield Mend(f"Set {part.name} to the rated current of its motor.", asks=(ask,))
    elif step is not None:
        yield Mend(f"Take {step:.3g} A for {part.name}, if the conductors behind it carry that.", asks=(ask,))


def _finding(design: Design, part: Part, rated: float, flow: DeviceFlow, alone: bool) -> Judgement:
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
