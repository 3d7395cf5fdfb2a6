"""A live conductor that touches metal is not disconnected in the time that keeps people alive.

When a live conductor touches the body of a part, that body stands at a dangerous voltage until the device in front
opens. The current is that of the whole loop: line, fault, protective conductor and supply, with hot conductors and the
mains at their lowest. In a TN system the time comes from IEC 60364-4-41, table 41.1. In a TT system the earth electrode
limits the current, and only a residual current device disconnects. NFPA 70 gives no times: there the loop must let pass
five times the rating of the device (common practice).

Fires
    mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 200 A,
            upstream: {kind: breaker, rating: 16 A, curve: C}}
    parts:
      X0: {kind: inlet}
      F1: {kind: breaker, rating: 16 A, curve: D, breaking: 6 kA}
      E1: {kind: heater, rated: 230 V AC 1000 W}
    wires:
      - {wire: 1, from: X0:L, to: F1:1, size: 4 mm2, length: 0.3 m}
      - {wire: 2, from: F1:2, to: E1:1, size: 4 mm2, length: 60 m}
      - {wire: 3, from: "X0:N", to: E1:2, size: 4 mm2, length: 60 m}
      - {wire: 4, from: X0:PE, to: E1:PE, size: 4 mm2, colour: GNYE, length: 60 m}
Quiet
    mains: {inlet: X0, system: single-phase, voltage: 230 V, frequency: 50 Hz, earthing: TN-S, fault_current: 1 kA,
            upstream: {kind: breaker, rating: 16 A, curve: C}}
    parts:
      X0: {kind: inlet}
      F1: {kind: breaker, rating: 10 A, curve: B, breaking: 6 kA}
      E1: {kind: heater, rated: 230 V AC 1000 W}
    wires:
      - {wire: 1, from: X0:L, to: F1:1, size: 4 mm2, length: 0.3 m}
      - {wire: 2, from: F1:2, to: E1:1, size: 4 mm2, length: 5 m}
      - {wire: 3, from: "X0:N", to: E1:2, size: 4 mm2, length: 5 m}
      - {wire: 4, from: X0:PE, to: E1:PE, size: 4 mm2, colour: GNYE, length: 5 m}
Not judged
    Mains without a prospective fault current or without an earthing system; parts behind no device that the plan knows;
    IT systems, where the first fault only raises an alarm.
Known limits
    A part without a protective conductor is told by `earth-missing`. The prospective current is taken for the loop of
    line and protective conductor alike. Residual current devices are taken to open within their standard's time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from math import inf
from typing import TYPE_CHECKING

from wiring.circuit.model import Node, named
from wiring.design.clearing import clearing_of
from wiring.design.fault_paths import MAINS
from wiring.findings import Cause, Finding, Number, Signal
from wiring.parts.elements import Pole
from wiring.parts.protection import ResidualCurrentDevice
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit, Source, Standing
from wiring.rulebooks.devices import surely_opens_at
from wiring.rules.causes import behind
from wiring.rules.fault_words import FAULT_CURRENT, amperes, is_assumed, listed, seconds
from wiring.rules.rule import Item, Judgement, Rule

if TYPE_CHECKING:
    from wiring.design.design import Design
    from wiring.design.fault_records import Short

RULE = Rule(
    slug="earth-fault-not-cleared",
    title="Earth fault is not disconnected in time",
    signal=Signal.WARNING,
    harm="Metal that people touch stays live.",
    sources=(
        ("iec", Source("IEC 60364-4-41", "2005+A1:2017", "411.3.2", Standing.CONFIRMED)),
        ("na", Source("NFPA 70", "2023", "250.4(A)(5)", Standing.FROM_MEMORY)),
    ),
)
#: A loop of low impedance lets pass this multiple of the rating of its device (common practice: five to six times).
_NA_MULTIPLE = 5.0
_NA_SOURCE = Source("trade practice", "", "five times the rating of the device", Standing.COMMON_PRACTICE)
#: A residual current device opens within this time at five times its residual current [s] (IEC 61008-1, from memory),
#: and in a TT system within the time of the table at its residual current.
_RESIDUAL_MULTIPLE = 5.0


@dataclass(frozen=True, slots=True)
class _Late:
    part: str
    short: Short
    device: str
    latest_s: float
    limit: Limit
    needed_a: float


def check(design: Design) -> Iterator[Judgement]:
    """Every part whose body is earthed, at each of its mains terminals; told together for each device."""
    mains = design.plan.mains
    places = _places(design)
    if mains is None or not places:
        return
    parts = tuple(sorted({node[0] for node in places}))
    if mains.earthing is None:
        yield RULE.not_judged(parts, "the earthing system of the mains (`mains: {earthing: …}`)")
        return
    if mains.earthing == "IT":
        yield RULE.not_judged(parts, "what the insulation monitoring of an IT system does on a second fault")
        return
    if any(is_assumed(design, short) for short in places.values()):
        yield RULE.not_judged(parts, FAULT_CURRENT)
        return
    yield from _judged(design, places, mains.earthing)


def _judged(design: Design, places: dict[Node, Short], earthing: str) -> Iterator[Judgement]:
    bare: set[str] = set()
    for node, short in places.items():
        if not short.devices:
            bare.add(node[0])
            continue
        found = _late(design, node, short, earthing)
        if found is not None:
            # without a residual current device it is the earth of a TT system, and no one device, that is to blame
            group = "" if earthing == "TT" else found.device
            loop = design.short_circuits.loop(short)
            rests = frozenset().union(*(behind(device, loop) for device in short.devices))
            yield Item(group, found, partial(_finding, design, earthing), rests=(rests,))
    if bare:
        yield RULE.not_judged(
            tuple(sorted(bare)), "the device in front of the machine (`mains: {upstream: {kind: …, rating: …}}`)"
        )


def _places(design: Design) -> dict[Node, Short]:
    """Faults from a mains terminal to the earthed body of its own part."""
    return {
        node: short
        for node, short in design.short_circuits.to_earth.items()
        if short.origin.part == MAINS and short.against[0] == node[0] and short.origin.plus != node
    }


def _residual(design: Design, node: Node, amps: float, share: float) -> bool:
    """Whether a residual current device on the way opens at that current."""
    hot = design.short_circuits.paths.hot
    at: Node | None = node
    while at is not None and at in hot:
        back = hot[at].back
        part = getattr(back, "part", None)
        data = design.parts[part].data if part and isinstance(getattr(back, "element", None), Pole) else None
        if isinstance(data, ResidualCurrentDevice) and amps >= share * data.residual:
            return True
        at = hot[at].before
    return False


def _late(design: Design, node: Node, short: Short, earthing: str) -> _Late | None:
    amps = short.lowest.initial_a
    share = 1.0 if earthing == "TT" else _RESIDUAL_MULTIPLE
    if _residual(design, node, amps, share):
        return None
    known = design.short_circuits.known
    clearing = clearing_of(known, short)
    nearest = short.devices[-1]
    if nearest not in known:
        return None
    device = known[nearest]
    if design.plan.rulebook == "na":
        needed = min(_NA_MULTIPLE * known[name].rating_a for name in short.devices if name in known)
        limit = Limit(needed, "A", _NA_SOURCE)
        return _Late(node[0], short, nearest, clearing.latest_s, limit, needed) if amps < needed else None
    allowed = design.book.disconnection_time(earthing, "ac", short.volts, device.rating_a)
    if isinstance(allowed, NotTabled) or clearing.latest_s <= allowed.value:
        return None
    return _Late(node[0], short, nearest, clearing.latest_s, allowed, surely_opens_at(device, short.dc, allowed.value))


def _finding(design: Design, earthing: str, rows: Sequence[_Late]) -> Finding:
    worst = min(rows, key=lambda row: (row.short.lowest.initial_a, row.part))
    short, limit = worst.short, worst.limit
    names = sorted({row.part for row in rows})
    amps = short.lowest.initial_a
    when = "not at all" if worst.latest_s == inf else f"in {seconds(worst.latest_s)} at the latest"
    device = "the device in front of the machine" if worst.device not in design.parts else worst.device
    asked = f"{amperes(limit.value)} are needed" if limit.unit == "A" else f"{limit.value:.2g} s are allowed"
    place = design.place(worst.device) if worst.device in design.parts else design.place(worst.part)
    mend = ["Put a residual current device in front, of 30 mA or 300 mA, for what may be touched."]
    if worst.needed_a < inf and earthing != "TT":
        reach = amps / worst.needed_a
        mend.insert(
            0,
            f"Take a device that opens at {amperes(amps)} in time ({100 * reach:.0f} % of what {device} needs), "
            "or thicker or shorter conductors.",
        )
    return RULE.finding(
        (*names, *([worst.device] if worst.device in design.parts else ())),
        f"An earth fault at {listed(names)} draws {amperes(amps)}, and {device} opens {when}; {asked}",
        place,
        because=[Cause(design.place(worst.part), f"body of {worst.part}")],
        numbers=(
            Number("fault current", amps, "A", f"{named(short.node)} to {named(short.against)}, hot wires"),
            Number("loop", short.hot_ohm, "ohm", f"at {short.volts:.4g} V"),
            *(
                (Number("needed", worst.needed_a, "A", str(design.short_circuits.known[worst.device])),)
                if worst.needed_a < inf
                else ()
            ),
        ),
        limit=limit,
        mend=mend,
    )
