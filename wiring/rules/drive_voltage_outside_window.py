"""A drive is fed with a voltage that it is not made for, or too close to the highest one.

The voltage of the supply must lie within the window of the drive. On a DC bus the trade keeps ten per cent below the
upper end, because mains tolerance and braking motors lift it.

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

from wiring.design.fault_origins import source_of
from wiring.design.fault_records import Short
from wiring.findings import Cause, Number
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing

#: Share that the trade keeps free below the upper end of a drive's window, and above its lower end.
MARGIN = tabled("common", "drive_window_margin").value
#: A drive marked for one voltage takes the mains within this share of it.
MAINS_TOLERANCE = tabled("iec", "ac_supply_voltage_max").value - 1.0

RULE = Rule(
    slug="drive-voltage-outside-window",
    title="Drive is fed outside its voltage window",
    signal=Signal.CAUTION,
    harm="Too high a voltage kills the drive at power-on or in the first fast stop; too low a one stops it under load.",
    sources=(("both", Source("trade practice", "", "10 % inside the window", Standing.COMMON_PRACTICE)),),
)
_SHEET = Source("data of the part", "", "supply", Standing.ONE_SOURCE)


def check(design: Design) -> Judgements:
    """Every drive that a source reaches."""
    for part in design.parts.values():
        if not isinstance(part.data, Drive):
            continue
        short = _fed(design, part)
        if short is None or short.origin.ratio:
            continue
        finding = _judge(design, part, part.data, short)
        if finding is not None:
            yield finding


def _fed(design: Design, part: Part) -> Short | None:
    """How the bus of a drive is fed: voltage and source between its supply terminals."""
    shorts = design.short_circuits.to_return
    ends = [e.a for e in part.of(Draw) if isinstance(e, Draw) and e.name == "bus"]
    return next((shorts[part.name, end] for end in ends if (part.name, end) in shorts), None)


def _judge(design: Design, part: Part, data: Drive, short: Short) -> Judgement | None:
    low, high, volts = data.supply.low, data.supply.high, short.volts
    if not short.dc:
        room = MAINS_TOLERANCE if low == high else 0.0
        if (1.0 - room) * low <= volts * (1 + 1e-9) and volts <= (1.0 + room) * high * (1 + 1e-9):
            return None
        return _finding(design, part, short, high if volts > high else low, "outside")
    if volts > high:
        return _finding(design, part, short, high, "outside")
    if volts < low:
        return _finding(design, part, short, low, "outside")
    if volts > (1.0 - MARGIN) * high * (1 + 1e-9):
        return _finding(design, part, short, (1.0 - MARGIN) * high, "near")
    return None


def _finding(design: Design, part: Part, short: Short, limit_v: float, how: str) -> Judgement:
    data = part.data
    assert isinstance(data, Drive)
    low, high = data.supply.low, data.supply.high
    window = f"{low:.4g} to {high:.4g} V" if low != high else f"{low:.4g} V"
    words = "is fed with" if how == "outside" else "is fed close to its upper limit, with"
    source = _SHEET if how == "outside" else RULE.source(design.plan.rulebook)
    supply = short.origin.part
    because = [Cause(design.place(supply, "output"), "where its voltage comes from")] if supply in design.parts else []
    aim = f"{low / (1 - MARGIN):.3g} to {(1 - MARGIN) * high:.3g} V" if low < 0.8 * high else window
    return RULE.finding(
        (part.name, *((supply,) if supply in design.parts else ())),
        f"{part.name} {words} {short.volts:.4g} V from {source_of(short)}, and takes {window}",
        design.place(part.name, "supply"),
        because=because,
        numbers=(Number("supply", short.volts, "V", f"{short.origin.kind}, {source_of(short)}"),),
        limit=Limit(limit_v, "V", source) if source else None,
        mend=(
            f"Feed {part.name} with {aim}.",
            f"Or take a drive whose window holds {short.volts:.4g} V with ten per cent to spare.",
        ),
        holds=scope("part", part.name) | scope("window", part.name),
    )
