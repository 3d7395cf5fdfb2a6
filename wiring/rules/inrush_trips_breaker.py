"""What is switched on together trips the breaker in front of it.

The capacitors of a supply, the core of a transformer and the rotor of a motor draw many times the rated current for
some milliseconds or periods. All that comes on at the same moment behind one breaker adds up, line by line; it must
stay below the least current at which the magnetic release may trip (3 times the rating for curve B, 5 for C, 10 for D).
Everything behind the same contactor comes on together, and so does everything that no contactor switches. Where the
peak is only a typical one, or the breaker is that of the building, it is a notice.

Fires on sorting-gate at F1
    G1.inrush=60 A
Quiet
    F1.curve=D
Not judged
    Breakers behind which the inrush of a part is not given, and breakers of unknown curve. Motors without
    `start_factor` where a heavier start than the usual one may trip.
Known limits
    Peaks shorter than 10 ms may be higher by a factor that only the maker of the breaker tells; it is taken as 1. Two
    contactors that close at the same moment are judged apart. Fuses bear such peaks; what the start
    of a motor does to one, start-opens-fuse judges. A transformer without `inrush` is taken at its usual, not its
    worst, switch-on current.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from msgspec.structs import replace

from wiring.design.switching.held_peaks import holds_peak, smallest_holding, surely_held
from wiring.design.switching.inrush import Inrush, heaviest_together, inrushes_behind
from wiring.findings import Mend, Number
from wiring.parts.motors import Motor
from wiring.plan.edits import SetValue
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.breakers import supplies_behind_breaker
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.devices import Device
from wiring.rulebooks.limits import tabled
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Source, Standing
from wiring.rules.words import amperes
from wiring.wording import listed

RULE = Rule(
    slug="inrush-trips-breaker",
    title="Switching on trips the breaker",
    signal=Signal.CAUTION,
    harm="The breaker trips at random when the machine is switched on or reset.",
    sources=(("both", Source("IEC 60898-1", "2015", "table 7, magnetic release", Standing.CONFIRMED)),),
    notice_of_size=True,
)

#: How much more a heavy start takes than the one assumed.
_HEAVY_START = tabled("common", "heavy_start").value / Motor.model_fields["start_factor"].default


def check(design: Design) -> Judgements:
    """Every breaker, at the worst moment on its worst line."""
    unknown: set[str] = set()
    uncurved: list[str] = []
    unsaid: set[str] = set()
    tripped: set[str] = set()
    for name, rows in inrushes_behind(design.inrushes).items():
        device = design.short_circuits.known.get(name)
        limit = surely_held(device) if device else None
        if device is not None and device.family == "breaker" and not device.curve and name in design.parts:
            uncurved.append(name)
        if device is None or limit is None:
            continue
        total, together = heaviest_together(rows)
        if total > limit.value and not tripped & {inrush.part for inrush in together}:
            tripped |= {inrush.part for inrush in together}
            yield _finding(design, name, device, total, together, limit)
        unknown |= {inrush.part for inrush in rows if inrush.amps is None}
        if total <= limit.value < _HEAVY_START * total:
            unsaid |= {inrush.part for inrush in together if _is_start_assumed(design, inrush)}
    yield from RULE.ask(uncurved, "their curve (`curve: C`)")
    yield from RULE.ask(unsaid, "how many times their rated current they start with (`start_factor: 6`)")
    yield from RULE.ask(unknown, "the peak at switching on (`inrush`, of a motor `rated_current`)")


def _is_start_assumed(design: Design, inrush: Inrush) -> bool:
    data = design.parts[inrush.part].data
    return inrush.motor and "start_factor" not in data.model_fields_set


def requirements(design: Design) -> Requirements:
    """Every breaker of the machine, at the worst moment on its worst line."""
    for name, rows in inrushes_behind(design.inrushes).items():
        total, together = heaviest_together(rows)
        least = smallest_holding(design, name, total) if together else None
        if least is not None:
            firm = not any(inrush.estimated for inrush in together)
            why = f"{amperes(total)} at switching on {listed(sorted({inrush.part for inrush in together}))}"
            yield Requirement(RULE.slug, name, Quantity.RATING, least, why=why, firm=firm)


def _finding(
    design: Design, name: str, device: Device, total: float, together: tuple[Inrush, ...], limit: Limit
) -> Judgement:
    parts = sorted({inrush.part for inrush in together})
    inside = name in design.parts
    title = name if inside else "the breaker in front of the machine"
    moment = together[0].moment
    when = f"when {moment} closes" if moment else "with the main switch"
    estimated = next((inrush.estimated for inrush in together if inrush.estimated), None)
    mend: list[str | Mend] = list(_larger(design, name, device, total)) if inside else []
    if len(parts) > 1:
        mend.append(f"Switch on {listed(parts)} one after the other, or give each a breaker of its own.")
    else:
        mend.append(f"Put an inrush limiter in front of {parts[0]}.")
    return RULE.finding(
        ((name,) if inside else ()) + tuple(parts),
        f"{listed(parts)} draw{'' if len(parts) > 1 else 's'} {amperes(total)} {when}, "
        f"and {title} may trip from {amperes(limit.value)}",
        design.place(name) if inside else design.place(parts[0]),
        signal=Signal.NOTICE if estimated or not inside else Signal.CAUTION,
        numbers=(
            Number("peak", total, "A", "typical multiple of a transformer" if estimated else when, estimated),
            *(_count(design, device, together)),
        ),
        limit=limit,
        mend=mend,
    )


def _count(design: Design, device: Device, together: tuple[Inrush, ...]) -> tuple[Number, ...]:
    """How many such supplies one such breaker feeds, where all are alike."""
    peaks = {inrush.amps for inrush in together}
    if device.family != "breaker" or len(together) < 2 or len(peaks) > 1 or any(inrush.motor for inrush in together):
        return ()
    peak = together[0].amps
    if peak is None:
        return ()
    count = supplies_behind_breaker(device.curve, device.rating_a, peak, 1e-6)
    return (Number("allowed behind it", float(count), "", f"of {amperes(peak)} each"),)


def _larger(design: Design, name: str, device: Device, total: float) -> Iterator[Mend]:
    """A breaker of a milder curve, or a larger one of its own."""
    for curve in ("C", "D"):
        if device.family == "breaker" and curve > device.curve and holds_peak(replace(device, curve=curve), total):
            edit = SetValue(("parts", name, "curve"), curve)
            yield Mend(f"Take a breaker of curve {curve}, {device.rating_a:g} A, for {name}.", (edit,))
            break
    least = smallest_holding(design, name, total)
    if least is not None and least < inf:
        ask = Requirement(RULE.slug, name, Quantity.RATING, least)
        yield Mend(f"Take {least:.3g} A or more for {name}.", asks=(ask,))
