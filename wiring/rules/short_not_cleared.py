"""A protective device does not open on a short circuit at the far end of what it protects.

The current into a short circuit is the voltage over the whole loop, there and back, or the limit of an electronic
supply, whichever is less. It is taken at the far end, with conductors as hot as their insulation allows. What the
device promises at that current is its standard's latest opening time; a magnetic release on direct current is counted
on only from 1.5 times its AC figure.

An electronic supply of 10 A gives some 12 A into a short circuit. A breaker C10 needs 14.5 A to open within an hour, so
it never opens, and every other branch of the rail is down with it. Where the supply has one branch only it is a notice;
a caution where a conductor behind the device bears less than its rating: the limit of the supply alone guards it.
Devices that open only after more than 5 s behind such a supply are told together as a notice too.

Fires on sorting-gate at F2
    F2={kind: breaker, rating: 10 A, curve: C, dc_voltage: 60 V DC, breaking: 6 kA}
Quiet
    F2.rating=1 A
    F2.curve=Z
Not judged
    Where the answer hangs on it: a supply's `overload`, a fuse's class, a breaker's curve, the mains' fault current.
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
from wiring.design.fault.origins import opening_source, source_of
from wiring.design.fault.records import DeviceFault
from wiring.design.fault.uncleared import (
    guarded_by_limit,
    is_held_by_feed,
    larger_supply,
    largest_clearing,
    missing_for_clearing,
    shares_supply,
    thicker_loop,
    uncleared,
)
from wiring.findings import Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.devices import surely_opens_at, surely_opens_source
from wiring.rules.causes import behind, scope
from wiring.rules.rule import Design, Item, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.rules.words import amperes, fault_numbers
from wiring.wording import agreeing, listed, seconds

RULE = Rule(
    slug="short-not-cleared",
    title="Protective device does not open on a short circuit",
    signal=Signal.WARNING,
    harm="The short circuit is fed without end: wires and contacts heat, and everything on the rail is down.",
    sources=(("iec", iec_60204("7.2.1")), ("na", nfpa_79("7.2.1"))),
)
_AT_ALL = "smallest current at which it surely opens at all"


def check(design: Design) -> Judgements:
    """Every device on its weakest short circuit; those that one supply holds back, and slow ones, for each supply."""
    found = uncleared(design)
    for source, rows in found.never.items():
        for row in rows:
            missing = missing_for_clearing(design, row)
            if missing:
                yield RULE.not_judged((row.part,), missing, design.place(row.part))
            else:
                rests = behind(row.part, design.short_circuits.loop(row.farthest)) | scope("small", source)
                yield Item(source, row, partial(_never, design), rests=(rests,))
    untold = (one.name for one in design.devices.by_name.values() if one.missing and one.name in design.parts)
    yield from RULE.ask(untold, "their rating and class (`rating: 4 A`, `class: gG`)")
    for source, names in sorted(found.unknown.items()):
        missing = f"what {source} gives into a short circuit (`overload: {{mode: …, limit: …}}`)"
        yield RULE.not_judged((source, *names), missing, design.place(source))
    for source, rows in sorted(found.slow.items()):
        yield _slow(design, source, rows)


def requirements(design: Design) -> Requirements:
    """Every device on its weakest short circuit, or the conductors of that loop; not the only one of a supply."""
    for row in design.short_circuits.devices.values():
        most, limited = largest_clearing(design, row), row.farthest.origin.limit_a < inf
        if most is not None and (not limited or shares_supply(design, row)):
            why = f"{amperes(row.farthest.lowest.steady_state_a)} in a short circuit at {named(row.farthest.node)}"
            instead = (larger_supply if limited else thicker_loop)(design, RULE.slug, row)
            yield Requirement(RULE.slug, row.part, Quantity.RATING, most=most, why=why, instead=tuple(instead))


def _never(design: Design, rows: Sequence[DeviceFault]) -> Finding:
    """The device that is farthest from opening, with the others on the same supply."""
    row = max(rows, key=lambda one: (one.device.rating_a, one.part))
    others = [other.part for other in rows if other is not row]
    short, limited = row.farthest, row.farthest.origin.limit_a < inf
    needed, at_once = (surely_opens_at(row.device, short.dc, *within) for within in ((), (0.1,)))
    passed = short.lowest.steady_state_a
    opens = Number("rated", row.device.rating_a, "A", str(row.device))
    if at_once < inf:
        source = surely_opens_source(row.device, short.dc, 0.1)
        opens = Number("opens within 0.1 s", at_once, "A", str(row.device), source)
    thin = sorted(guarded_by_limit(design, row), key=lambda one: one[1]) if limited else []
    cause = f"{short.origin.part} gives no more" if limited else "the loop lets no more pass"
    mend: list[str | Mend] = [*_smaller(design, row, rows, passed)]
    if limited:
        mend.append(f"Put an electronic fuse in place of {row.part}, which needs no more than 1.25 times its rating.")
    elif is_held_by_feed(design, row):
        mend.append(f"Put a device in place of {row.part} that opens at less: its feed lets no more pass at any size.")
    else:
        asks = tuple(thicker_loop(design, RULE.slug, row))
        mend.append(Mend(f"Make the conductors to {named(short.node)} thicker or shorter.", asks=asks))
    return RULE.finding(
        (row.part, *others),
        f"{row.part} need not open on a short circuit at {named(short.node)}: it sees {amperes(passed)}, and {cause}"
        + (f"; nor need {listed(others)}" if others else "")
        + (f"; {thin[0][0]} bears {amperes(thin[0][1])}, and that limit alone guards it" if thin else ""),
        design.place(row.part),
        signal=(Signal.CAUTION if shares_supply(design, row) or thin else Signal.NOTICE) if limited else RULE.signal,
        numbers=(*fault_numbers(short), opens),
        limit=RULE.limit(design, needed, "A", _AT_ALL) if needed < inf else None,
        mend=mend,
    )


def _smaller(design: Design, row: DeviceFault, rows: Sequence[DeviceFault], passed: float) -> Iterator[Mend]:
    """Devices that open, where such are sold."""
    found = {one.part: most for one in rows if (most := largest_clearing(design, one))}
    if len(found) == len(rows):
        asks = tuple(Requirement(RULE.slug, name, Quantity.RATING, most=most) for name, most in found.items())
        words = f"Take a fuse or breaker for {row.part} that opens at {amperes(passed)}"
        yield Mend(f"{words}: {found[row.part]:.3g} A or less.", asks=asks)


def _slow(design: Design, supply: str, rows: list[DeviceFault]) -> Judgement:
    worst = max(rows, key=lambda row: (row.clearing.latest_s, row.part))
    names, short = [row.part for row in rows], worst.farthest
    source = opening_source(worst.device, short)
    latest = Number("latest", worst.clearing.latest_s, "s", f"{worst.part}, {worst.device}", source)
    return RULE.finding(
        (*names, supply),
        f"A short circuit behind {listed(names)} holds {source_of(short)} down for up to "
        f"{seconds(worst.clearing.latest_s)} before {agreeing(names, 'it opens', 'they open')}",
        design.place(worst.part),
        signal=Signal.NOTICE,
        numbers=(*fault_numbers(short), latest),
        mend=(f"Take smaller or faster devices, or a supply that gives more than {amperes(short.lowest.initial_a)}.",),
        rests=(),
    )
