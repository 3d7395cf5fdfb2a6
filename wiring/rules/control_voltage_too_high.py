"""A control circuit works at a higher voltage than its rulebook wants.

The voltage is that of the coils of contactors and relays. The North American book sets the limit; the IEC book names
preferred values, and what lies above them is told as a notice.

Fires on fan-heater at K1
    T1.secondary=240 V AC
    K1.coil=240 V AC 8 VA
Quiet
    T1.secondary=120 V AC
    K1.coil=120 V AC 8 VA
Not judged
    Nothing: every coil gives its voltage. Without a frequency of the mains that of Europe is taken, the lower limit.
Known limits
    Only coils are looked at, not lamps and valves.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from wiring.findings import Finding, Number
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.plan.ratings import Rated, Voltage
from wiring.rulebooks.citation import Limit
from wiring.rules.causes import scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.wording import agreeing, listed

RULE = Rule(
    slug="control-voltage-too-high",
    title="Control voltage is higher than the rulebook wants",
    signal=Signal.CAUTION,
    harm="Buttons and limit switches carry a voltage that kills, at a distance from the cabinet and in wet hands.",
    sources=(("iec", iec_60204("9.1.2")), ("na", nfpa_79("9.1.2"))),
)
_SWITCHED = (Coiled, SafetyRelay)
_SIXTY_HZ = 55.0


def _limit(design: Design, kind: str) -> Limit | None:
    if design.plan.rulebook == "na":
        name = "control_voltage_dc_max" if kind == "DC" else "control_voltage_ac_max"
    elif kind == "DC":
        name = "control_voltage_dc_preferred_max"
    else:
        hertz = (design.plan.mains.frequency if design.plan.mains else None) or 0.0
        name = f"control_voltage_ac_{'60hz' if hertz > _SIXTY_HZ else '50hz'}_preferred_max"
    found = design.book.limit(name)
    return found if isinstance(found, Limit) else None


def check(design: Design) -> Judgements:
    """Coils of one voltage together."""
    for part in design.parts.values():
        coil = getattr(part.data, "coil", None)
        if isinstance(part.data, _SWITCHED) and isinstance(coil, Rated):
            voltage = coil.voltage
            limit = _limit(design, voltage.kind)
            if limit is not None and voltage.volts > limit.value:
                tell = partial(_finding, design, voltage, limit)
                yield Item((voltage.volts, voltage.kind), part.name, tell, rests=(scope("misfit", part.name),))


def _finding(design: Design, voltage: Voltage, limit: Limit, names: Sequence[str]) -> Finding:
    return RULE.finding(
        names,
        f"The {agreeing(names, 'coil', 'coils')} of {listed(tuple(names))} {agreeing(names, 'works', 'work')} at "
        f"{voltage.volts:.3g} V {voltage.kind}".rstrip(),
        design.place(names[0], "coil"),
        signal=Signal.NOTICE if design.plan.rulebook == "iec" else None,
        numbers=(Number("control", voltage.volts, "V", voltage.kind),),
        limit=limit,
        mend=("Feed the control circuits with 24 V DC, or from a control transformer of a lower secondary voltage.",),
    )
