"""A capacitor keeps a dangerous voltage after the machine is switched off.

Above 60 V a capacitor must fall to 60 V within 5 s, or carry a warning with the time to wait. One that stores no more
than 60 µC is exempt. Only a bleeder discharges for certain: a load may be unplugged, or stop drawing first.

Fires on screw-axis at C1
    T1.secondary=45 V AC
    D1.supply=24..80 V DC
    D2.supply=24..80 V DC
    C1.bleeder=10 kohm
Quiet
    C1.bleeder=470 ohm
Not judged
    Drives above 60 V whose waiting time (`discharge`, from the label) is not given.
Known limits
    The discharge of capacitors inside drives is their maker's affair; drives that need more than 5 s are named in a
    notice, because the cabinet must carry the waiting time where its door is opened.
"""

from __future__ import annotations

from math import inf

from wiring.design.supply.levels import charged_volts
from wiring.findings import Number
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.parts.sources import Capacitor
from wiring.quantities import show
from wiring.rulebooks.answers import NotTabled
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import Discharge, discharge_time_s
from wiring.rulebooks.steps import resistor
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.wording import does, seconds

RULE = Rule(
    slug="capacitor-discharge-slow",
    title="Capacitor stays charged after switching off",
    signal=Signal.WARNING,
    harm="Whoever opens the cabinet and thinks it dead gets a shock.",
    sources=(("iec", iec_60204("6.2.4", Standing.ONE_SOURCE)), ("na", nfpa_79("6.5"))),
)


def check(design: Design) -> Judgements:
    """Every capacitor on a rail, and the drives that keep a charge, told together."""
    limit = design.book.discharge_limit("enclosure")
    if isinstance(limit, NotTabled):
        return
    for part in design.parts.values():
        if isinstance(part.data, Capacitor):
            finding = _capacitor(design, part, part.data, limit)
            if finding is not None:
                yield finding
    yield from _drives(design, limit)


def _capacitor(design: Design, part: Part, data: Capacitor, limit: Discharge) -> Judgement | None:
    volts = charged_volts(design, part, ("+",))
    if volts <= limit.voltage.value or volts * data.capacitance <= limit.exempt_charge_c:
        return None
    ohm = data.bleeder if data.bleeder is not None else inf
    time = discharge_time_s(ohm, data.capacitance, volts, limit.voltage.value)
    if time <= limit.time.value:
        return None
    needed = limit.time.value / discharge_time_s(1.0, data.capacitance, volts, limit.voltage.value)
    bleeder = resistor(needed)
    watts = volts**2 / bleeder
    how = f"takes {seconds(time)} to fall to" if time < inf else "has no bleeder to bring it down to"
    return RULE.finding(
        (part.name,),
        f"{part.name} stands at {volts:.3g} V and {how} {limit.voltage.value:.3g} V",
        design.place(part.name, "bleeder") if data.bleeder is not None else design.place(part.name),
        numbers=(
            Number("voltage", volts, "V", part.name),
            Number("stored", 0.5 * data.capacitance * volts**2, "J", part.name),
        ),
        limit=Limit(limit.time.value, "s", limit.time.source, limit.time.note),
        mend=(
            f"Put a bleeder of {show(bleeder, 'resistance')} or less across {part.name}; "
            f"it takes {watts:.2g} W all the time.",
            "Or put a warning with the waiting time where the cabinet is opened, and accept this finding.",
        ),
    )


def _drives(design: Design, limit: Discharge) -> Judgements:
    slow: dict[str, float] = {}
    unknown: list[str] = []
    for part in design.parts.values():
        data = part.data
        if not isinstance(data, Drive):
            continue
        ends = tuple(e.a for e in part.of(Draw) if e.name == "bus")
        if charged_volts(design, part, ends) <= limit.voltage.value:
            continue
        if data.discharge is None:
            unknown.append(part.name)
        elif data.discharge > limit.time.value:
            slow[part.name] = data.discharge
    yield from RULE.ask(unknown, "the time to wait after switching off, from the label (`discharge`)")
    if slow:
        yield _label(design, slow, limit)


def _label(design: Design, slow: dict[str, float], limit: Discharge) -> Judgement:
    names = list(slow)
    longest = max(slow.values())
    return RULE.finding(
        names,
        f"{does(names, 'stays', 'stay')} charged for up to {seconds(longest)}: the door needs a label that says so",
        design.place(names[0], "discharge"),
        signal=Signal.NOTICE,
        numbers=(Number("wait", longest, "s", "the longest of their labels"),),
        limit=limit.time,
        mend=(f"Put a warning on the cabinet: wait {seconds(longest)} after switching off, then prove dead.",),
    )
