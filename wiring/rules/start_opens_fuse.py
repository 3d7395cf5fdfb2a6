"""A motor that starts straight on its supply opens the fuse in front of it.

A motor without an inverter draws several times its rated current until it is up to speed. What starts together behind
one fuse adds up, line by line. The fuse must hold that current for the time of an easy start, taken as 5 s. Where it
surely opens before, this is a caution; where its standard only does not promise that it holds, a notice.

Fires on fan-heater at F1
    F1.rating=6 A
Quiet
    F1.rating=15 A
Not judged
    A fuse whose class is not given: short-not-cleared asks for it. A motor without `rated_current` is an open question
    of inrush-trips-breaker.
Known limits
    Fans with heavy wheels and saws start for 10 s and longer; frequent starts age a fuse. What already runs on the
    same line is not added. A UL class promises no time above its rating unless the fuse is marked time delay.
"""

from __future__ import annotations

from functools import partial

from msgspec.structs import replace

from wiring.design.device.devices import smallest_that
from wiring.design.switching.held_peaks import START_S, held_at_start, may_hold, surely_holds
from wiring.design.switching.inrush import Inrush, heaviest_together, inrushes_behind
from wiring.findings import Mend, Number
from wiring.plan.edits import Edit, SetValue
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.devices import Device, device_curve
from wiring.rulebooks.fuses import UL_CLASSES
from wiring.rulebooks.overcurrent import standard_ratings
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_70
from wiring.rules.words import amperes
from wiring.wording import agreeing, listed, seconds

RULE = Rule(
    slug="start-opens-fuse",
    title="Starting the motor opens its fuse",
    signal=Signal.CAUTION,
    harm="The fuse opens at a start or after some starts, and a three-phase motor then burns on two lines.",
    sources=(("iec", iec_60204("7.2.10")), ("na", nfpa_70("430.52(C)(1)"))),
    notice_of_size=True,
)


def check(design: Design) -> Judgements:
    """Every fuse in front of motors that start on the mains."""
    untabled: list[str] = []
    for name, rows in inrushes_behind(design.inrushes).items():
        device = design.short_circuits.known.get(name)
        total, together = heaviest_together(row for row in rows if row.motor)
        if device is None or device.family != "fuse" or not together:
            continue
        if not device_curve(device, False).points:
            untabled.append(name)
            continue
        band = device_curve(device, False).at(total)
        if band.min_s < START_S:
            yield _finding(design, name, device, total, together, surely=band.max_s <= START_S)
    known = (name for name in untabled if name in design.parts)
    yield from RULE.ask(known, "how long they hold the start, by their data sheet: no standard gives it for them")


def requirements(design: Design) -> Requirements:
    """Every fuse of the machine in front of motors: what it must not surely open on, and what it should hold."""
    for name, rows in inrushes_behind(design.inrushes).items():
        device = design.short_circuits.known.get(name)
        total, together = heaviest_together(row for row in rows if row.motor)
        if device is None or device.family != "fuse" or not together or name not in design.parts:
            continue
        for firm, fits in ((True, may_hold), (False, surely_holds)):
            part = design.parts[name]
            least = smallest_that(part, device, design.plan.rulebook, partial(fits, total))
            starting = sorted({row.part for row in together})
            why = f"{amperes(total)} while {listed(starting)} {agreeing(starting, 'starts', 'start')}"
            if least is not None:
                yield Requirement(RULE.slug, name, Quantity.RATING, least, why=why, firm=firm)


def _fitting(design: Design, name: str, device: Device, total: float) -> Mend:
    """The smallest fuse of the same class that holds."""
    where = "where the conductors and the motor's data allow it"
    for rating in standard_ratings(design.plan.rulebook, "fuse"):
        for delayed in dict.fromkeys((device.time_delay, device.curve in UL_CLASSES)):
            other = replace(device, rating_a=rating, time_delay=delayed)
            if rating >= device.rating_a and device_curve(other, False).points and held_at_start(other).value >= total:
                words = (
                    f"Take a fuse {device.curve} of {rating:g} A{', marked time delay' if delayed else ''}, {where}."
                )
                ask = Requirement(RULE.slug, name, Quantity.RATING, rating)
                slow: tuple[Edit, ...] = (SetValue(("parts", name, "time_delay"), "true"),)
                return Mend(words, slow if delayed and not device.time_delay else (), (ask,))
    return Mend(f"Take a motor protector or a breaker of curve D, {where}.")


def _finding(
    design: Design, name: str, device: Device, total: float, together: tuple[Inrush, ...], *, surely: bool
) -> Judgement:
    motors = sorted({row.part for row in together})
    inside = name in design.parts
    title = name if inside else "the fuse in front of the machine"
    word = f"opens within {seconds(START_S)}" if surely else f"need not hold it for {seconds(START_S)}"
    return RULE.finding(
        ((name,) if inside else ()) + tuple(motors),
        f"{listed(motors)} start{'' if len(motors) > 1 else 's'} with {amperes(total)}, and {title} ({device}) {word}",
        design.place(name) if inside else design.place(motors[0]),
        signal=Signal.CAUTION if surely and inside else Signal.NOTICE,
        numbers=(Number("starting current", total, "A", f"{'together, ' if len(motors) > 1 else ''}`start_factor`"),),
        limit=held_at_start(device),
        mend=(_fitting(design, name, device, total), f"Start {listed(motors)} through an inverter or a soft starter."),
    )
