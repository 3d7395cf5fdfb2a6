"""A protective device does not open on a short circuit at the far end of what it protects.

The current into a short circuit is the voltage over the whole loop, there and back, or the limit of an electronic
supply, whichever is less. It is taken at the far end, with conductors as hot as their insulation allows. What the
device promises at that current is its standard's latest opening time; a magnetic release on direct current is counted
on only from 1.5 times its AC figure.

An electronic supply of 10 A gives some 12 A into a short circuit. A breaker C10 needs 100 to 150 A to open at once and
14.5 A to open within an hour, so it never opens: the wire is fed at the limit for as long as nobody looks, and every
other branch of the rail is down with it. Where the supply has one branch only, nothing else suffers, and it is a
notice. Devices that open only after more than 5 s behind such a supply are told together as a notice too.

Fires on sorting-gate at F2
    F2={kind: breaker, rating: 10 A, curve: C, dc_voltage: 60 V DC, breaking: 6 kA}
Quiet
    F2.rating=1 A
    F2.curve=Z
Not judged
    Devices behind a supply whose `overload` is not given, fuses without a class, breakers without a curve, and mains
    without a prospective fault current, each where the answer hangs on it.
Known limits
    Short circuits behind a part that limits the current itself (an output transistor, the channel of a stop relay) are
    that part's own affair. Reactance counts for conductors above 16 mm2 only, with 0.08 mohm/m (IEC 60364-5-52, annex
    G); what motors feed back at the first moment is left out, for it does not last until a device opens.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from math import inf

from wiring.circuit.model import named
from wiring.design.clearing import clearing_of, opening_s
from wiring.design.devices import largest_that
from wiring.design.fault_records import FAULT_CURRENT, DeviceFault
from wiring.findings import Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import device_curve, surely_opens_at, surely_opens_source
from wiring.rulebooks.earthing import ADIABATIC_HEATING_MAX_S
from wiring.rules.causes import behind, scope
from wiring.rules.rule import Design, Item, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.rules.words import amperes, fault_numbers, is_assumed, opening_source, source_of
from wiring.wording import listed, seconds

RULE = Rule(
    slug="short-not-cleared",
    title="Protective device does not open on a short circuit",
    signal=Signal.WARNING,
    harm="The short circuit is fed without end: wires and contacts heat, and everything on the rail is down.",
    sources=(("iec", iec_60204("7.2.1")), ("na", nfpa_79("7.2.1"))),
)


def check(design: Design) -> Judgements:
    """Every device on its weakest short circuit; those that one supply holds back, and slow ones, for each supply."""
    never: dict[str, list[DeviceFault]] = {}
    slow: dict[str, list[DeviceFault]] = {}
    unknown: dict[str, list[str]] = {}
    for row in design.short_circuits.devices.values():
        latest = row.clearing.latest_s
        limited = row.farthest.origin.limit_a < inf
        source = row.farthest.origin.part
        if limited and not row.farthest.origin.known and not is_assumed(design, row.farthest):
            if latest < inf or not row.clearing.shuts_down:
                unknown.setdefault(source, []).append(row.part)
        elif latest < inf:
            if limited and latest > ADIABATIC_HEATING_MAX_S:
                slow.setdefault(source, []).append(row)
        elif not row.clearing.shuts_down:
            never.setdefault(source if limited else row.part, []).append(row)
    yield from _open_ended(design, never)
    untold = (one.name for one in design.devices.by_name.values() if one.missing and one.name in design.parts)
    yield from RULE.ask(untold, "their rating and class (`rating: 4 A`, `class: gG`)")
    for source in sorted(unknown):
        yield RULE.not_judged((source, *unknown[source]), _gives(source), design.place(source))
    for source in sorted(slow):
        yield _slow(design, source, slow[source])


def _open_ended(design: Design, never: dict[str, list[DeviceFault]]) -> Judgements:
    """What never opens, told for each supply that lets nothing more pass, or for each device."""
    for source, rows in never.items():
        for row in rows:
            missing = _missing(design, row)
            if missing:
                yield RULE.not_judged((row.part,), missing, design.place(row.part))
            else:
                rests = behind(row.part, design.short_circuits.loop(row.farthest)) | scope("small", source)
                yield Item(source, row, partial(_never, design), rests=(rests,))


def requirements(design: Design) -> Requirements:
    """Every device on its weakest short circuit, or the conductors of that loop; not the only one of a supply."""
    for row in design.short_circuits.devices.values():
        most, limited = _largest(design, row), row.farthest.origin.limit_a < inf
        if most is not None and not (limited and _signal(design, row) is Signal.NOTICE):
            why = f"{amperes(row.farthest.lowest.steady_state_a)} in a short circuit at {named(row.farthest.node)}"
            thicker = () if limited else tuple(_thicker(design, row))
            yield Requirement(RULE.slug, row.part, Quantity.RATING, most=most, why=why, instead=thicker)


def _largest(design: Design, row: DeviceFault) -> float | None:
    """The largest rating [A] at which the device opens on its weakest short circuit; None where it need not.

    Another one on the way may open in its place, the supply may go off, or too little may be known.
    """
    short, known = row.farthest, design.short_circuits.known
    others = {name: device for name, device in known.items() if name != row.part}
    if row.part not in design.parts or row.clearing.shuts_down or _missing(design, row):
        return None
    if not short.origin.known or clearing_of(others, short).latest_s < inf:
        return None
    part = design.parts[row.part]
    return largest_that(part, row.device, design.plan.rulebook, lambda like: opening_s(like, short) < inf)


def _thicker(design: Design, row: DeviceFault) -> Requirements:
    """The conductors of the loop at which so much flows that the device opens."""
    share = surely_opens_at(row.device, row.farthest.dc) / max(row.farthest.lowest.steady_state_a, 1e-9)
    for name in design.short_circuits.loop(row.farthest):
        size = design.circuit.conductor[name].size
        if size is not None and 1.0 < share < inf:
            least = size.area_mm2 * share
            yield Requirement(RULE.slug, name, Quantity.AREA, least, why=f"{row.part} must open at its end")


def _gives(source: str) -> str:
    return f"what {source} gives into a short circuit (`overload: {{mode: …, limit: …}}`)"


def _missing(design: Design, row: DeviceFault) -> str:
    """What the plan must add before a device that seems not to open may be blamed."""
    if is_assumed(design, row.farthest):
        return FAULT_CURRENT
    if row.device.family == "breaker" and not row.device.curve:
        return f"the tripping curve of {row.part} (`curve`)"
    if all(point.open_s is None for point in device_curve(row.device, row.farthest.dc).points):
        return f"opening times of {row.part} from its data sheet: no standard gives them for a {row.device}"
    return ""


def _never(design: Design, rows: Sequence[DeviceFault]) -> Finding:
    """The device that is farthest from opening, with the others on the same supply."""
    row = max(rows, key=lambda one: (one.device.rating_a, one.part))
    others = [other.part for other in rows if other is not row]
    also = f"; so it is with {listed(others)}" if others else ""
    short = row.farthest
    limited = short.origin.limit_a < inf
    needed = surely_opens_at(row.device, short.dc)
    at_once = surely_opens_at(row.device, short.dc, 0.1)
    passed = short.lowest.steady_state_a
    source = RULE.source(design.plan.rulebook)
    cause = f"{short.origin.part} gives no more" if limited else "the loop lets no more pass"
    mend: list[str | Mend] = [*_smaller(design, rows, passed)]
    if limited:
        mend.append(f"Put an electronic fuse in place of {row.part}, which needs no more than 1.25 times its rating.")
    else:
        asks = tuple(_thicker(design, row))
        mend.append(Mend(f"Make the conductors to {named(short.node)} thicker or shorter.", asks=asks))
    return RULE.finding(
        (row.part, *others),
        f"{row.part} need not open on a short circuit at {named(short.node)}: it sees {amperes(passed)}, and {cause}"
        f"{also}",
        design.place(row.part),
        signal=_signal(design, row) if limited else Signal.WARNING,
        numbers=(
            *fault_numbers(short),
            Number("opens within 0.1 s", at_once, "A", str(row.device), surely_opens_source(row.device, short.dc, 0.1))
            if at_once < inf
            else Number("rated", row.device.rating_a, "A", str(row.device)),
        ),
        limit=Limit(needed, "A", source, "smallest current at which it surely opens at all")
        if source and needed < inf
        else None,
        mend=mend,
    )


def _signal(design: Design, row: DeviceFault) -> Signal:
    """CAUTION where other branches of the same supply go down with this one."""
    source = row.farthest.origin.part
    others = [other.part for other in design.short_circuits.devices.values() if other.farthest.origin.part == source]
    return Signal.CAUTION if len(others) > 1 else Signal.NOTICE


def _smaller(design: Design, rows: Sequence[DeviceFault], passed: float) -> Iterator[Mend]:
    """Devices that open, where such are sold."""
    found = {row.part: most for row in rows if (most := _largest(design, row))}
    if len(found) == len(rows):
        row = max(rows, key=lambda one: (one.device.rating_a, one.part))
        asks = tuple(Requirement(RULE.slug, name, Quantity.RATING, most=most) for name, most in found.items())
        words = (
            f"Take a fuse or breaker for {row.part} that opens at {amperes(passed)}: {found[row.part]:.3g} A or less."
        )
        yield Mend(words, asks=asks)


def _slow(design: Design, source: str, rows: list[DeviceFault]) -> Judgement:
    worst = max(rows, key=lambda row: (row.clearing.latest_s, row.part))
    names = [row.part for row in rows]
    short = worst.farthest
    return RULE.finding(
        (*names, source),
        f"A short circuit behind {listed(names)} holds {source_of(short)} down for up to "
        f"{seconds(worst.clearing.latest_s)} before they open",
        design.place(worst.part),
        signal=Signal.NOTICE,
        numbers=(
            *fault_numbers(short),
            Number(
                "latest",
                worst.clearing.latest_s,
                "s",
                f"{worst.part}, {worst.device}",
                opening_source(worst.device, short),
            ),
        ),
        mend=(f"Take smaller or faster devices, or a supply that gives more than {amperes(short.lowest.initial_a)}.",),
        rests=(),
    )
