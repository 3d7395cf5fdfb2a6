"""A device or a conductor of a continuous or a heating load lacks the margin that the North American book wants.

A breaker or fuse in a closed box gets warmer the longer it is loaded, and so do the conductors at its terminals. A load
that is on for three hours or more (`continuous: true`), and a heater in any case, therefore counts with 125 % of its
current: for the rating of every breaker and fuse on its way, and for the ampacity of its conductors. Other loads count
with their current. Motors have their own rules.

Fires on fan-heater at F2
    E1.rated=120 V AC 1100 W
Quiet
    F2.rating=15 A
Not judged
    A load of which the plan does not say whether it is on for three hours, where that decides.
Known limits
    Devices listed for 100 % of their rating are not known to a plan. Supplies and drives count with their current.
"""

from __future__ import annotations

from math import inf

from wiring.design.conductor.sizes import size_that_carries
from wiring.design.device.continuous_loads import ContinuousFlow, continuous_flows, margin_rating_a
from wiring.design.device.devices import device_steps
from wiring.findings import Cause, Mend, Number
from wiring.parts.protection import Fuse
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.steps import first_at_least
from wiring.rules.rule import Design, Judgements, Rule, Signal, Standing, nfpa_70
from wiring.wording import agreeing, listed

RULE = Rule(
    slug="continuous-load-margin-small",
    title="Continuous load has too little margin",
    signal=Signal.CAUTION,
    harm="The device trips from its own heat in the middle of the work, or its terminals char.",
    sources=(("na", nfpa_70("210.20(A) and 425.4", Standing.ONE_SOURCE)),),
)
_CONDUCTOR = nfpa_70("210.19(A)(1) and 215.2(A)(1)")
#: A load takes a little more than its rated current where conductors lose voltage (own choice).
_SLACK = 1.02


def check(design: Design) -> Judgements:
    """Every breaker, fuse and conductor on the way of a load."""
    conductors, devices = continuous_flows(design)
    for name, through in conductors.items():
        yield from _conductor(design, name, through)
    for name in sorted(devices):
        yield from _device(design, name, devices[name])


def requirements(design: Design) -> Requirements:
    """The same devices and conductors."""
    conductors, devices = continuous_flows(design)
    for name, through in devices.items():
        if through.loads:
            yield _rating_required(name, through)
    for name, through in conductors.items():
        if through.loads and name in design.conductors:
            yield _size_required(design, name, through)


def _rating_required(device: str, through: ContinuousFlow) -> Requirement:
    why = f"{through.amps:.3g} A lastingly for {listed(through.loads)}"
    return Requirement(RULE.slug, device, Quantity.RATING, through.needed_a / _SLACK, why=why)


def _size_required(design: Design, name: str, through: ContinuousFlow) -> Requirement:
    size = size_that_carries(design.machine, design.conductors[name], through.needed_a / _SLACK)
    why = f"{through.needed_a:.3g} A for {listed(through.loads)}"
    return Requirement(RULE.slug, name, Quantity.AREA, size.area_mm2 if size else inf, why=why)


def _asked(through: ContinuousFlow) -> tuple[str, ...]:
    return tuple(sorted(through.unknown))


_MISSING = "whether they are on for three hours or more at a time (`continuous: true`)"


def _device(design: Design, name: str, through: ContinuousFlow) -> Judgements:
    part = design.parts[name]
    rating_a = margin_rating_a(design, name)
    assert rating_a is not None
    if through.loads and through.needed_a > rating_a * _SLACK:
        limit = Limit(through.needed_a, "A", _CONDUCTOR, "125 % of what is continuous")
        kind = "fuse" if isinstance(part.data, Fuse) else "breaker"
        larger = first_at_least(device_steps(part, "na"), through.needed_a / _SLACK)
        size = f" of {larger:.3g} A" if larger else ""
        words = f"Take a {kind}{size} for {name}, with conductors for it behind."
        yield RULE.finding(
            (name, *through.loads),
            f"{name} of {rating_a:.3g} A carries {through.amps:.3g} A lastingly for {listed(through.loads)}; "
            f"{through.needed_a:.3g} A are asked for",
            design.place(name, "rating"),
            because=[Cause(design.place(load), "is continuous or a heater") for load in through.loads[:3]],
            numbers=(Number("load", through.amps, "A", name),),
            limit=limit,
            mend=(Mend(words, asks=(_rating_required(name, through),)), "Or divide the load."),
        )
    elif through.unknown and through.with_unknown_a > rating_a * _SLACK:
        yield RULE.not_judged(_asked(through), _MISSING, design.place(name))


def _conductor(design: Design, edge: str, through: ContinuousFlow) -> Judgements:
    figure = design.conductors.get(edge)
    if figure is None or isinstance(figure.ampacity, NotTabled) or not through.loads:
        return
    carries = figure.ampacity.value
    if through.needed_a <= carries * _SLACK:
        return
    conductor = design.circuit.conductor[edge]
    larger = size_that_carries(design.machine, figure, through.needed_a / _SLACK)
    words = f"Make {edge} of {larger.text}." if larger else f"Divide the load of {edge}."
    asks = (_size_required(design, edge, through),) if larger else ()
    yield RULE.finding(
        (edge, *through.loads),
        f"{edge} may carry {carries:.3g} A, and {listed(through.loads)} "
        f"{agreeing(through.loads, 'asks', 'ask')} for {through.needed_a:.3g} A",
        conductor.place,
        numbers=(
            Number("load", figure.current_a, "A", f"state {figure.state}"),
            Number("ampacity", carries, "A", edge, figure.ampacity.source),
        ),
        limit=Limit(through.needed_a, "A", _CONDUCTOR, "125 % of what is continuous"),
        mend=(Mend(words, asks=asks),),
    )
