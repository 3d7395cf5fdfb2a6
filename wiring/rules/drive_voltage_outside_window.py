"""A drive is fed with a voltage that it is not made for, or too close to the highest one.

The voltage of the supply must lie within the window of the drive. On a DC bus the trade keeps ten per cent below what
the drive survives (`bus_limit`), or below the upper end where that is not given, because mains tolerance and braking
motors lift it.

Fires on sorting-gate at D1
    D1.supply=32..50 V DC
Quiet
    D1.supply=20..50 V DC
Not judged
    Nothing of its own; drives that nothing feeds are told elsewhere.
Known limits
    Unregulated rails are judged at no load and high mains (`rail-too-high-at-no-load`).
"""

from __future__ import annotations

from wiring.design.fault.origins import source_of
from wiring.design.fault.records import Short
from wiring.design.motor.drive_feeds import MARGIN, broken_window, bus_feed
from wiring.findings import Cause, Number
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

RULE = Rule(
    slug="drive-voltage-outside-window",
    title="Drive is fed outside its voltage window",
    signal=Signal.CAUTION,
    harm="Too high a voltage kills the drive at power-on or in the first fast stop; too low a one stops it under load.",
    sources=(("both", Source("trade practice", "", "10 % inside the window", Standing.COMMON_PRACTICE)),),
    gravest=Signal.WARNING,
)
#: Above this multiple of the upper end, the tolerance of mains, the input stage bursts where the voltage is a dangerous
#: one (IEC 60204-1, 4.3.2).
_BURSTS = tabled("iec", "ac_supply_voltage_max").value
_SHEET = Source("data of the part", "", "supply", Standing.ONE_SOURCE)


def check(design: Design) -> Judgements:
    """Every drive that a source reaches."""
    for part in design.parts.values():
        if not isinstance(part.data, Drive):
            continue
        short = bus_feed(design, part)
        if short is None or short.origin.ratio:
            continue
        broken = broken_window(part.data, short)
        if broken is not None:
            yield _finding(design, part, short, *broken)


def _finding(design: Design, part: Part, short: Short, limit_v: float, how: str) -> Judgement:
    data = part.data
    assert isinstance(data, Drive)
    low, high = data.supply.low, data.supply.high
    window = f"{low:.3g} to {high:.3g} V" if low != high else f"{low:.3g} V"
    words = "is fed with" if how == "outside" else "is fed close to its upper limit, with"
    source = _SHEET if how == "outside" else RULE.source(design.plan.rulebook)
    supply = short.origin.part
    because = [Cause(design.place(supply, "output"), "where its voltage comes from")] if supply in design.parts else []
    most = min(high, (1 - MARGIN) * max(data.bus_limit or 0.0, high))
    aim = f"{low / (1 - MARGIN):.3g} to {most:.3g} V" if low < 0.8 * high else window
    return RULE.finding(
        (part.name, *((supply,) if supply in design.parts else ())),
        f"{part.name} {words} {short.volts:.3g} V from {source_of(short)}, and takes {window}",
        design.place(part.name, "supply"),
        signal=Signal.WARNING if _bursts(design, data, short) else RULE.signal,
        because=because,
        numbers=(Number("supply", short.volts, "V", f"{short.origin.kind}, {source_of(short)}"),),
        limit=Limit(limit_v, "V", source) if source else None,
        mend=(
            f"Feed {part.name} with {aim}"
            + (", or write its `bus_limit`." if how == "near" and data.bus_limit is None else "."),
            f"Or take a drive whose window holds {short.volts:.3g} V with ten per cent to spare.",
        ),
        holds=scope("part", part.name) | scope("window", part.name),
    )


def _bursts(design: Design, data: Drive, short: Short) -> bool:
    """Whether a dangerous voltage stands so far above the window, or is of the other kind, that the input bursts."""
    low = design.book.extra_low_voltage(short.origin.kind)
    dangerous = isinstance(low, Limit) and short.volts > low.value
    other_kind = data.supply.kind is not None and data.supply.kind != short.origin.kind
    return dangerous and (other_kind or short.volts > _BURSTS * data.supply.high)
