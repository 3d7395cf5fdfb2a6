"""Too little of the voltage reaches a load.

The drop is what the solved network loses from the source to the load and back, in the state in which it is largest:
conductors, fuses and contacts, with every other load on the same rail. The source of a mains load is the machine's
inlet, of any other load the supply of its rail. Loads that suffer from one conductor are told together.

Fires on hot-wire at 20
    work.length=20 m
Quiet
    work.size=10 mm2
Not judged
    Loads on the way to which a conductor has no length or no size.
Known limits
    Normal operation: the dip while a motor starts is not counted. A load that two sources can feed, and one behind a
    resistance, is passed over. A drop at an overloaded conductor is told by `conductor-overloaded`.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from math import inf

from wiring.circuit.model import Conductor
from wiring.circuit.roles import Role
from wiring.design.conductor.drop_limits import drop_limit, size_that_keeps
from wiring.design.conductor.load_drops import MOST_ON_A_WAY, LoadDrop, drop_shares, is_incomplete, way_of
from wiring.findings import Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements, Shared
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Standing, iec_60204, nfpa_70
from wiring.wording import agreeing, listed

RULE = Rule(
    slug="voltage-drop-too-high",
    title="Too little voltage reaches a load",
    signal=Signal.CAUTION,
    harm="Contactors chatter, drives and cards drop out at the worst moment, motors lose torque and run hot.",
    sources=(("iec", iec_60204("12.5")), ("na", nfpa_70("210.19(A) informational note", Standing.CONFIRMED))),
    told_at_worst=True,
)


def check(design: Design) -> Judgements:
    """Every load above its limit, those that share their worst conductor in one finding."""
    for load in design.drops.values():
        limit = drop_limit(design, load)
        if isinstance(limit, NotTabled) or load.percent <= limit.value * (1 + 1e-9):
            continue
        way = way_of(design.machine, design.operation, load)
        if way.count and not way.incomplete:
            _, worst = way.worst
            tell = partial(_finding, design, design.circuit.conductor[worst])
            rests = scope("lost", load.part) | scope("conductor", worst)
            yield Item(worst, (load, limit), tell, rests=(rests,))
    yield from _unknown(design)


def _unknown(design: Design) -> Judgements:
    """Conductors that carry current, but whose drop rests on an assumed length or size."""
    open_ended = [
        conductor
        for name, figure in design.conductors.items()
        if is_incomplete(conductor := design.circuit.conductor[name])
        and figure.current_a > 0
        and design.roles.of_conductor(conductor) is not Role.MOTOR
    ]
    if open_ended:
        names = tuple(conductor.id for conductor in open_ended)
        yield RULE.not_judged(names, "the length and size of the conductor (`length`, `size`)", open_ended[0].place)


def requirements(design: Design) -> Requirements:
    """The conductors on the way to every load."""
    for load in design.drops.values():
        limit = drop_limit(design, load)
        if isinstance(limit, Limit) and way_of(design.machine, design.operation, load).count <= MOST_ON_A_WAY:
            yield from _required(design, load, limit)


def _required(design: Design, load: LoadDrop, limit: Limit) -> Requirements:
    """The areas that keep a limit with the least copper.

    Of all areas for which the drops come to the same sum, those weigh least that follow the root of the current.
    """
    shares = drop_shares(design.machine, design.operation, load)
    wires = [(design.circuit.conductor[name], volts) for name, volts in shares.items() if volts > 0.0]
    known = [(wire, volts, wire.size.area_mm2) for wire, volts in wires if wire.size is not None and wire.length_m]
    left_v = limit.value / 100.0 * load.nominal_v - (load.drop_v - sum(volts for _, volts, _ in known))
    roots = [(wire, (volts * area / (wire.length_m or 1.0)) ** 0.5, volts * area) for wire, volts, area in known]
    scale = sum(product / root for _, root, product in roots) / left_v if left_v > 0.0 else inf
    for (wire, root, _), (_, volts, _) in zip(roots, known, strict=True):
        why = f"{load.percent:.2g} % lost on the way to {load.part}, {limit.value:g} % allowed"
        shared = Shared(load.part, left_v, volts)
        yield Requirement(RULE.slug, wire.id, Quantity.AREA, scale * root, why=why, shared=shared)


def _mend(design: Design, conductor: Conductor, rows: Sequence[tuple[LoadDrop, Limit]]) -> Mend:
    load, limit = rows[0]
    sizes = [size_that_keeps(design, conductor, *row) for row in rows]
    if None not in sizes:
        size = max((size for size in sizes if size is not None), key=lambda one: one.area_mm2)
        ask = Requirement(RULE.slug, conductor.id, Quantity.AREA, size.area_mm2)
        return Mend(f"Make {conductor.id} of {size.text}, or move the source nearer.", asks=(ask,))
    factor = load.percent / limit.value
    ways = [way_of(design.machine, design.operation, row[0]).count for row in rows]
    if max(ways) > MOST_ON_A_WAY:
        words = f"Make the {ways[0]} conductors on the way {factor:.2g} times as thick"
        return Mend(f"{words}, or move the source nearer.")
    shares = drop_shares(design.machine, design.operation, load)
    asks = tuple(ask for row in rows for ask in _required(design, *row))
    words = f"Make the conductors on the way ({listed(list(shares))}) {factor:.2g} times as thick"
    return Mend(f"{words}, or move the source nearer.", asks=asks)


def _finding(design: Design, conductor: Conductor, rows: Sequence[tuple[LoadDrop, Limit]]) -> Finding:
    rows = sorted(rows, key=lambda row: (row[0].percent / row[1].value, row[0].part), reverse=True)
    load, limit = rows[0]
    parts = sorted(row[0].part for row in rows)
    others = [name for name in parts if name != load.part]
    also = f"; {listed(others)} {agreeing(others, 'loses', 'lose')} too much as well" if others else ""
    reaches_v = load.nominal_v - load.drop_v
    in_worst_v, _ = way_of(design.machine, design.operation, load).worst
    return RULE.finding(
        (conductor.id, load.part, *others),
        f"{load.part} loses {load.percent:.2g} % of its voltage on the way, most of it in {conductor.id}{also}",
        conductor.place,
        numbers=(
            Number("drop", load.drop_v, "V", f"to {load.part} and back, state {load.state}"),
            Number("in", in_worst_v, "V", f"conductor {conductor.id} alone"),
            Number("reaches it", reaches_v, "V", f"of {load.nominal_v:.3g} V, at {load.current_a:.3g} A"),
            Number("share", load.percent, "%", "of the nominal voltage"),
        ),
        limit=limit,
        mend=(_mend(design, conductor, rows),),
    )
