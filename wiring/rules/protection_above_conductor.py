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
    site.ambient=38 °C
Quiet
    line.size=2.5 mm2
Not judged
    A conductor without a size, of a size that no table has, or that may carry nothing in its air (told by
    `conductor-overloaded`).
Known limits
    What a larger device in front of an overload device or a tap lets through in a short circuit is judged by
    `conductor-burns-before-device-opens`, and in North America by `motor-device-too-large`. Whether a tap lies so that
    a short circuit is hardly possible, and away from what burns, no plan says: the notice asks for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from wiring.circuit.model import named
from wiring.design.conductor import limits as conductor_limits
from wiring.design.device.devices import device_at_most
from wiring.findings import Cause, Finding, Mend, Number
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.overcurrent import LASTING_FACTOR
from wiring.rules.causes import behind, scope
from wiring.rules.rule import Design, Item, Judgements, Rule, Signal, Standing, iec_60204, nfpa_79
from wiring.rules.words import another_route, device_called
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
        yield Item((device, thin.own), thin, partial(_finding, design), holds, (rests,))
    unsized = (name for name in design.protections if design.circuit.conductor[name].size is None)
    yield from RULE.ask(unsized, "their size (`size: 1.5 mm2`)")


def _finding(design: Design, thin: Sequence[conductor_limits.TooThin]) -> Finding:
    worst = min(thin, key=lambda row: (row.share, row.name))
    name, protection, broken = worst.name, worst.protection, worst.broken
    conductor, figure = design.circuit.conductor[name], design.conductors[name]
    device, names = design.parts.get(worst.own), [row.name for row in thin]
    assert conductor.size is not None
    what = "limits at" if protection.family == "supply" else "is rated"
    kind = f"{device_called(design, protection.part)}, {protection.family} {protection.curve}".rstrip()
    called = device_called(design, protection.part, first=True)
    at = f"{conductor.size.text} at {figure.ambient_c:.0f} °C"
    larger = f", {device.name} still more" if device is not None and device.name != protection.part else ""
    rated, sized = f"{protection.rating_a:.3g} A", f"{conductor.size.text} of {name}"
    source = conductor_limits.conventional_current_source(design, protection)
    return RULE.finding(
        (*names, *([device.name] if device else ())),
        f"{called} {what} {rated}{larger}, and {sized} allows {broken.limit.value:.3g} A"
        if broken.value == protection.rating_a
        else f"{called} of {rated} may let {broken.value:.3g} A pass for ever, and {sized} bears "
        f"{broken.limit.value:.3g} A, {LASTING_FACTOR:g} times its ampacity",
        conductor.place,
        because=[Cause(design.place(device.name), f"{what} {rated}{larger}")] if device else (),
        numbers=(
            Number("device", protection.rating_a, "A", kind),
            Number("lets pass", protection.conventional_operating_a, "A", "for ever", source),
            Number("allowed", broken.limit.value, "A", at, broken.limit.source),
            Number("load", figure.current_a, "A", f"state {figure.state}"),
        ),
        limit=broken.limit,
        mend=_mends(design, names, worst),
    )


def _mends(design: Design, names: Sequence[str], worst: conductor_limits.TooThin) -> Iterator[str | Mend]:
    name, protection, device = worst.name, worst.protection, design.parts.get(worst.own)
    if design.conductors[name].at_most is None:  # else how much less it carries than the smallest row is not known
        if device is None:
            yield "Put a smaller device in front of it."
        else:
            ask = Requirement(RULE.slug, device.name, Quantity.RATING, most=worst.most_a)
            step = device_at_most(device, design.plan.rulebook, worst.most_a)
            yield Mend(f"Set {device.name} to {step:.3g} A or less.", asks=(ask,))
    for one, far, edits in conductor_limits.led_behind(design, names):
        yield Mend(f"Lead {one} to {named(far)}, behind {far[0]}.", edits)
    yield from another_route(design, name, protection.rating_a)
    if larger := conductor_limits.smallest_size_behind(design, name, protection):
        asks = tuple(conductor_limits.size_required(design, RULE.slug, one, protection) for one in names)
        yield Mend(f"Make {', '.join(names[:6])} of {larger.text}.", asks=asks)


def _tapped(design: Design, thin: Sequence[conductor_limits.TooThin]) -> Finding:
    """A notice of conductors that a device at their far end guards: how they must lie."""
    taps = [row.tap for row in thin if row.tap is not None]
    names, longest = [row.name for row in thin], max(taps, key=lambda one: one.length_m)
    ends = listed(sorted({name for one in taps for name in one.devices}, key=natural))
    device = thin[0].protection
    return RULE.finding(
        (*names, *([device.part] if device.part in design.parts else ())),
        f"{listed(names)} may be as thin behind {device_called(design, device.part)} of "
        f"{device.rating_a:.3g} A only as a tap up to {ends}: laid so that no short circuit can arise",
        design.circuit.conductor[names[0]].place,
        signal=Signal.NOTICE,
        numbers=(Number("length", longest.length_m, "m", "from where the conductors become as thin"),),
        limit=longest.longest(design.plan.rulebook),
        mend=(f"Lay {listed(names)} apart from sharp edges, moving parts and what burns, or make them thicker.",),
    )


def requirements(design: Design) -> Requirements:
    """Every conductor behind a device, or the device where the conductor cannot be as thick."""
    for name, protection in conductor_limits.held_to_size(design):
        yield conductor_limits.size_required(design, RULE.slug, name, protection)
