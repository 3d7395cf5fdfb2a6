"""A live conductor that touches metal is not disconnected in the time that keeps people alive.

When a live conductor touches the body of a part, that body stands at a dangerous voltage until the device in front
opens. The current is that of the whole loop: line, fault, protective conductor and supply, with hot conductors and the
mains at their lowest. In a TN system the time comes from IEC 60364-4-41, table 41.1. In a TT system the earth electrode
limits the current, and only a residual current device disconnects. NFPA 70 gives no times: there the loop must let pass
five times the rating of the device (common practice).

Fires on sorting-gate at G1
    mains.fault_current=60 A
Quiet
    mains.fault_current=1 kA
Not judged
    Mains without a prospective fault current or without an earthing system; parts behind no device that the plan knows;
    IT systems, unless their insulation monitor trips (`insulation_monitor: trips`) and no second fault can follow.
Known limits
    A part without a protective conductor is told by `earth-missing`. The prospective current is taken for the loop of
    line and protective conductor alike. Residual current devices are taken to open within their standard's time.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from math import inf

from wiring.circuit.model import named
from wiring.design.fault.disconnection import Disconnection, not_judged
from wiring.design.fault.earth_faults import (
    largest_in_time,
    largest_residual_ma,
    needed_current_source,
    residual_device_added,
)
from wiring.design.fault.origins import lowest_source
from wiring.findings import Cause, Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.devices import Device
from wiring.rules.causes import behind
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Source, Standing, nfpa_70
from wiring.rules.words import amperes
from wiring.wording import listed, seconds

RULE = Rule(
    slug="earth-fault-not-cleared",
    title="Earth fault is not disconnected in time",
    signal=Signal.WARNING,
    harm="Metal that people touch stays live.",
    sources=(
        ("iec", Source("IEC 60364-4-41", "2005+A1:2017", "411.3.2", Standing.CONFIRMED)),
        ("na", nfpa_70("250.4(A)(5)")),
    ),
)


def check(design: Design) -> Judgements:
    """Every part whose body is earthed, at each of its mains terminals; told together for each device."""
    found = design.faults.disconnections.values()
    if design.plan.mains is None or not found:
        return
    mains, missing = design.plan.mains, not_judged(design.machine)
    if mains.earthing == "IT" and not missing:
        return
    if missing:
        yield RULE.not_judged(tuple(sorted({one.part for one in found})), missing)
        return
    yield from _judged(design, found, design.plan.mains.earthing or "")


def _judged(design: Design, found: Iterable[Disconnection], earthing: str) -> Judgements:
    unknown: dict[str, set[str]] = {}
    for one in found:
        if one.in_time:
            continue
        if one.missing:
            unknown.setdefault(one.missing, set()).add(one.part)
            continue
        # without a residual current device it is the earth of a TT system, and no one device, that is to blame
        group = "" if earthing == "TT" else one.device
        loop = design.short_circuits.loop(one.short)
        rests = frozenset().union(*(behind(device, loop) for device in one.short.devices))
        yield Item(group, one, partial(_finding, design, earthing), rests=(rests,))
    for missing, parts in sorted(unknown.items()):
        yield RULE.not_judged(tuple(sorted(parts)), missing)


def requirements(design: Design) -> Requirements:
    """The device nearest to every earthed part, or the conductors that lead there."""
    if design.plan.mains is None or design.plan.mains.earthing == "TT" or not_judged(design.machine):
        return
    for one in design.faults.disconnections.values():
        most = largest_in_time(design, one)
        if most is not None:
            why = f"{amperes(one.short.lowest.initial_a)} in an earth fault at {one.part}"
            thicker = tuple(_thicker(design, one))
            yield Requirement(RULE.slug, one.device, Quantity.RATING, most=most, why=why, instead=thicker)


def _thicker(design: Design, one: Disconnection) -> Requirements:
    """The conductors to the part at which so much flows that the device opens in time."""
    share = one.needed_a / max(one.short.lowest.initial_a, 1e-9)
    ends = [c.id for c in design.earthing.conductors if any(end[0] == one.part for end in c.ends)]
    for name in dict.fromkeys((*design.short_circuits.loop(one.short), *ends)):
        size = design.circuit.conductor[name].size
        if size is not None and 1.0 < share < inf:
            why = f"{one.device} must open in time"
            yield Requirement(RULE.slug, name, Quantity.AREA, size.area_mm2 * share, why=why)


def _smaller(design: Design, rows: Sequence[Disconnection]) -> Iterator[Mend]:
    """Devices that open in time, where such are sold."""
    most: dict[str, float] = {}
    for row in rows:
        most[row.device] = min(largest_in_time(design, row) or 0.0, most.get(row.device, inf))
    if most and all(value > 0.0 for value in most.values()):
        asks = tuple(Requirement(RULE.slug, name, Quantity.RATING, most=value) for name, value in most.items())
        words = ", ".join(f"{value:.3g} A or less for {name}" for name, value in sorted(most.items()))
        yield Mend(f"Take {words}, which opens in time.", asks=asks)


def _needed(nearest: Device, row: Disconnection) -> Number:
    return Number("needed", row.needed_a, "A", str(nearest), needed_current_source(nearest, row))


def _residual_words(design: Design) -> str:
    most_ma = largest_residual_ma(design)
    if most_ma is None:
        return (
            "Take a longer earth electrode, or more of them: no residual current device that is sold is enough for it."
        )
    sizes = "30 mA or 300 mA" if most_ma == 300 else f"{most_ma} mA"
    return f"Put a residual current device in front, of {sizes}, for what may be touched."


def _finding(design: Design, earthing: str, rows: Sequence[Disconnection]) -> Finding:
    worst = min(rows, key=lambda row: (row.short.lowest.initial_a, row.part))
    short, limit = worst.short, worst.limit
    assert limit is not None
    names = sorted({row.part for row in rows})
    amps = short.lowest.initial_a
    when = "not at all" if worst.clearing.latest_s == inf else f"in {seconds(worst.clearing.latest_s)} at the latest"
    device = "the device in front of the machine" if worst.device not in design.parts else worst.device
    asked = f"{amperes(limit.value)} are needed" if limit.unit == "A" else f"{limit.value:.2g} s are allowed"
    where = f"{named(short.node)} to {named(short.against)}, conductors warm"
    place = design.place(worst.device) if worst.device in design.parts else design.place(worst.part)
    mend: list[str | Mend] = [Mend(_residual_words(design), residual_device_added(design))]
    if worst.needed_a < inf and earthing != "TT":
        thicker = tuple(ask for row in rows for ask in _thicker(design, row))
        reach = f"{amperes(amps)} flow, and {device} needs {amperes(worst.needed_a)}"
        mend.insert(0, Mend(f"Take thicker or shorter conductors: {reach}.", asks=thicker))
        mend[:0] = _smaller(design, rows)
    return RULE.finding(
        (*names, *([worst.device] if worst.device in design.parts else ())),
        f"An earth fault at {listed(names)} draws {amperes(amps)}, and {device} opens {when}; {asked}",
        place,
        because=[Cause(design.place(worst.part), f"body of {worst.part}")],
        numbers=(
            Number("fault current", amps, "A", where, lowest_source(short)),
            Number("loop", short.hot_ohm, "ohm", f"at {short.volts:.3g} V"),
            *([_needed(design.short_circuits.known[worst.device], worst)] if worst.needed_a < inf else ()),
        ),
        limit=limit,
        mend=mend,
    )
