"""A fuse, a breaker or the limit of a supply is larger than a conductor behind it may carry.

A protective device protects the conductor, not the load. Between what the conductor may carry and what the device lets
pass, a fault current flows for as long as the supply lasts. The device that counts is the weakest one on the way from
the source; for a return conductor, those in front of all loads that return through it.

IEC: the rated current is not above the ampacity, and the current that the device lets pass for ever is not above 1.45
times the ampacity. North America: the rated current is not above the ampacity or the limit for small conductors, and
the second rule by practice; the next standard size up, which NFPA 70 allows in a building, is not for the conductors
of a machine. A conductor that feeds one overload device and nothing else is protected against overload by that device,
however large the fuse or breaker in front of it is. One that feeds several motors, each behind a fuse or breaker of its
own, may in North America stand behind the largest of these devices that is allowed and the full-load currents of the
other motors, where it carries 125 % of the largest motor and the others (NFPA 70, 430.62 and 430.24).

A short thinner conductor that ends at a smaller device, a tap, is guarded by that device and told as a notice: no
longer than 3 m, in the cabinet, a duct or a conduit, and as large as the devices at its end together (IEC 60204-1,
7.2.8). In North America 10 ft, and a tenth of the device in front where it leaves the cabinet; or 25 ft, a third of
the device in front, and one device at its end (NFPA 70, 240.21(B) and 430.28). The length counts from where the
conductors become as thin; one that is not given counts as too long.

Conductors between the same two terminals share the current as their resistances do, and each allows its ampacity
divided by its share (IEC 60364-4-43, 433.4; NFPA 70, 310.10(G) from 1/0 AWG up). In North America a thinner one is
held against the device as if it were alone, and so is one whose own length or another's is not given.

Fires on hot-wire at L1
    mains.upstream.rating=16 A
    line.length=4 m
Quiet
    line.size=2.5 mm2
Not judged
    A conductor without a size, or of a size that no table has (told by `conductor-overloaded`).
Known limits
    What a larger device in front of an overload device or a tap lets through in a short circuit is judged by
    `conductor-burns-before-device-opens`, and in North America by `motor-device-too-large`. Whether a tap lies so that
    a short circuit is hardly possible, and away from what burns, no plan says: the notice asks for it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from math import inf

from wiring.circuit.model import named
from wiring.design.conductor import limits as conductor_limits
from wiring.design.conductor.tapped_conductors import TAP_LENGTHS
from wiring.design.device.devices import device_at_most
from wiring.design.device.overcurrent_protection import Protection
from wiring.design.edits import led_to
from wiring.findings import Cause, Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.overcurrent import LASTING_FACTOR, Verdict
from wiring.rules.causes import behind, scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.rules.words import another_route
from wiring.wording import listed, natural

RULE = Rule(
    slug="protection-above-conductor",
    title="Protective device is larger than its conductor allows",
    signal=Signal.WARNING,
    harm="A fault just below the device's rating keeps flowing and can set the conductor's insulation on fire.",
    sources=(("iec", iec_60204("7.2", Standing.ONE_SOURCE)), ("na", nfpa_79("7.2"))),
)


def check(design: Design) -> Judgements:
    """Every conductor that is too thin for the device ahead of it, told together for each device."""
    for thin in conductor_limits.too_thin(design):
        name, device = thin.name, thin.protection.part
        if thin.tap is not None:
            yield Item((device, "tap"), thin, partial(_tapped, design))
            continue
        rests = scope("conductor", name) | scope("heat", name) | scope("shorted", device)
        holds = scope("conductor", name) | behind(device, [name])
        yield Item(device, thin, partial(_finding, design), holds, (rests,))
    unsized = (name for name in design.protections if design.circuit.conductor[name].size is None)
    yield from RULE.ask(unsized, "their size (`size: 1.5 mm2`)")


def _finding(design: Design, thin: Sequence[conductor_limits.TooThin]) -> Finding:
    worst = min(thin, key=lambda row: (row.broken.limit.value / row.broken.value, row.name))
    name, protection, broken = worst.name, worst.protection, worst.broken
    conductor = design.circuit.conductor[name]
    figure = design.conductors[name]
    assert conductor.size is not None
    names = [row.name for row in thin]
    larger = conductor_limits.smallest_size_behind(design, name, protection)
    device = design.parts.get(protection.part)
    most = conductor_limits.largest_rating_a(protection, broken)
    mend: list[str | Mend] = []
    if figure.at_most is None:  # else how much less it carries than the smallest row is not known
        mend.append(_smaller(design, protection, most) if most > 0.0 else f"Cool the place of {name}.")
    mend += (way for one in names for way in _led_behind(design, one))
    mend += another_route(design, name, protection.rating_a)
    if larger:
        asks = tuple(_required(design, one, protection) for one in names)
        mend.append(Mend(f"Make {', '.join(names[:6])} {larger.text}.", asks=asks))
    what = "limits at" if protection.family == "supply" else "is rated"
    kind = f"{protection.part}, {protection.family} {protection.curve}"
    at = f"{conductor.size.text} at {figure.ambient_c:.0f} °C"
    source = conductor_limits.conventional_current_source(design, protection)
    because = [Cause(design.place(device.name), f"{what} {protection.rating_a:.3g} A")] if device else []
    return RULE.finding(
        (*names, *([device.name] if device else ())),
        _summary(protection, broken, f"{conductor.size.text} of {name}", what),
        conductor.place,
        because=because,
        numbers=(
            Number("device", protection.rating_a, "A", kind.rstrip()),
            Number("lets pass", protection.conventional_operating_a, "A", "for ever", source),
            Number("allowed", broken.limit.value, "A", at, broken.limit.source),
            Number("load", figure.current_a, "A", f"state {figure.state}"),
        ),
        limit=broken.limit,
        mend=mend,
    )


def _tapped(design: Design, thin: Sequence[conductor_limits.TooThin]) -> Finding:
    """A notice of conductors that a device at their far end guards: how they must lie."""
    taps = [row.tap for row in thin if row.tap is not None]
    names, longest = [row.name for row in thin], max(one.length_m for one in taps)
    ends = listed(sorted({name for one in taps for name in one.devices}, key=natural))
    book, device = design.plan.rulebook, thin[0].protection
    metres = next(step for step in TAP_LENGTHS[book] if longest <= step.value * (1 + 1e-9))
    return RULE.finding(
        (*names, *([device.part] if device.part in design.parts else ())),
        f"{listed(names)} may be as thin behind {device.part} of {device.rating_a:.3g} A only as a tap up to {ends}: "
        "laid so that no short circuit can arise",
        design.circuit.conductor[names[0]].place,
        signal=Signal.NOTICE,
        numbers=(Number("length", longest, "m", "from where the conductors become as thin"),),
        limit=metres,
        mend=(f"Lay {listed(names)} apart from sharp edges, moving parts and what burns, or make them thicker.",),
    )


def _led_behind(design: Design, name: str) -> list[Mend]:
    """A conductor that begins on the metal in front of the one device that feeds nothing, led behind that device."""
    found = conductor_limits.open_poles(design, name)
    edits = led_to(design, design.circuit.conductor[name], *found[0]) if len(found) == 1 else ()
    return [Mend(f"Lead {name} to {named(found[0][1])}, behind {found[0][1][0]}.", edits)] if edits else []


def _smaller(design: Design, protection: Protection, most_a: float) -> str | Mend:
    device = design.parts.get(protection.part)
    if device is None:
        return "Put a smaller device in front of it."
    ask = Requirement(RULE.slug, protection.part, Quantity.RATING, most=most_a)
    step = device_at_most(device, design.plan.rulebook, most_a)
    return Mend(f"Set {protection.part} to {step:.3g} A or less.", asks=(ask,))


def requirements(design: Design) -> Requirements:
    """Every conductor behind a device, or the device where the conductor cannot be as thick."""
    for name, protection in design.protections.items():
        if protection.rating_a != inf and conductor_limits.is_held_to_size(design, name):
            yield _required(design, name, protection)


def _required(design: Design, name: str, protection: Protection) -> Requirement:
    size = conductor_limits.smallest_size_behind(design, name, protection)
    least = size.area_mm2 if size else inf
    most = conductor_limits.largest_behind(design, name, protection)
    why = f"{protection.part} of {protection.rating_a:.3g} A in front of it"
    smaller: tuple[Requirement, ...] = ()
    if most is not None and protection.part in design.parts:
        smaller = (Requirement(RULE.slug, protection.part, Quantity.RATING, most=most, why=f"{name} behind it"),)
    return Requirement(RULE.slug, name, Quantity.AREA, least, why=why, instead=smaller)


def _summary(protection: Protection, broken: Verdict, conductor: str, what: str) -> str:
    rated = f"{protection.rating_a:.3g} A"
    if broken.value == protection.rating_a:
        return f"{protection.part} {what} {rated}, and {conductor} allows {broken.limit.value:.3g} A"
    return (
        f"{protection.part} of {rated} may let {broken.value:.3g} A pass for ever, and {conductor} "
        f"bears {broken.limit.value:.3g} A, {LASTING_FACTOR:g} times its ampacity"
    )
