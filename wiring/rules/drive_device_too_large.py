"""The fuse or breaker in front of a drive is larger than its maker allows.

What burns inside a drive after a fault depends on what the device in front of it lets through. The maker states the
largest one (`max_fuse`); with a larger one the drive may burst, and its short-circuit rating holds no longer.

Fires on screw-axis at D1
    F3.rating=10 A
Quiet
    F3.rating=6 A
Not judged
    Drives on the mains without `max_fuse`. Makers of drives for a DC bus seldom state one: it is asked for where the
    device is larger than twice the current of the drive. Drives that no device protects: see `conductor-unprotected`.
Known limits
    The kind of device that the maker asks for (a class of fuse, a curve) is not compared, only its rating. A device
    that is too large for the conductors behind it as well is told by `protection-above-conductor` alone.
"""

from __future__ import annotations

from wiring.design.device.devices import device_at_most
from wiring.design.device.overcurrent_protection import Protection, protection_of
from wiring.design.motor.drive_feeds import device_ahead, feed_conductors, too_large_ahead
from wiring.findings import Mend, Number
from wiring.parts.base import Part
from wiring.parts.drives import Drive, StepperDrive
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.steps import rounded_down
from wiring.rules.causes import behind
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, iec_60204, nfpa_79
from wiring.rules.words import device_called

RULE = Rule(
    slug="drive-device-too-large",
    title="Device in front of a drive is too large for it",
    signal=Signal.WARNING,
    harm="After a fault inside the drive more current flows than it can contain: it bursts or burns.",
    sources=(("iec", iec_60204("7.2.10")), ("na", nfpa_79("19.1"))),
)
#: A device ahead of a drive on a DC bus is rated up to so many times its current (common practice, no source).
_USUAL_DC = 2.0


def check(design: Design) -> Judgements:
    """Every drive whose maker states the largest device."""
    unknown: list[str] = []
    for part in design.parts.values():
        data = part.data
        protection = device_ahead(design, part) if isinstance(data, Drive) else None
        if not isinstance(data, Drive) or protection is None:
            continue
        if data.max_fuse is None:
            unknown += [part.name] if data.supply.kind != "DC" or _is_large(data, protection) else []
        elif protection.rating_a > data.max_fuse * (1 + 1e-9):
            yield _finding(design, part, data.max_fuse, protection)
    yield from RULE.ask(unknown, "the largest device that their maker allows in front (`max_fuse: 16 A`)")


def _own(design: Design, part: Part, most_a: float, protection: Protection) -> Protection:
    """The nearest device of the machine that is too large, where another one limits what flows."""
    name = too_large_ahead(design, part, most_a)
    known = design.devices.by_name[name].device if name else None
    return protection_of(name, known) if name and known else protection


def _is_large(data: Drive, protection: Protection) -> bool:
    """Whether a device is larger than what is usual ahead of a drive on a DC bus, by its largest current."""
    current = data.phase_current if isinstance(data, StepperDrive) else getattr(data, "rated_current", None)
    return current is not None and protection.rating_a > _USUAL_DC * current.peak_a


def requirements(design: Design) -> Requirements:
    """The device in front of every drive whose maker states the largest one."""
    for part in design.parts.values():
        if isinstance(part.data, Drive) and part.data.max_fuse is not None:
            protection = device_ahead(design, part)
            if protection is not None:
                yield _required(_own(design, part, 0.0, protection).part, part, part.data.max_fuse)


def _required(device: str, drive: Part, most_a: float) -> Requirement:
    return Requirement(RULE.slug, device, Quantity.RATING, most=most_a, why=f"data of {drive.name}")


def _smaller(design: Design, part: Part, most_a: float, protection: Protection) -> str | Mend:
    device = design.parts.get(protection.part)
    if device is None:
        return f"Put a device of {rounded_down(most_a):.3g} A or less in front of {part.name}."
    step = device_at_most(device, design.plan.rulebook, most_a)
    words = f"Put a device of {rounded_down(step):.3g} A or less in front of {part.name}."
    return Mend(words, asks=(_required(device.name, part, most_a),))


def _finding(design: Design, part: Part, most_a: float, limiting: Protection) -> Judgement:
    protection = _own(design, part, most_a, limiting)
    return RULE.finding(
        (part.name, *((protection.part,) if protection.part in design.parts else ())),
        f"{device_called(design, protection.part, first=True)} in front of {part.name} ({part.title}) is rated "
        f"{protection.rating_a:.3g} A; "
        f"its maker allows {most_a:.3g} A",
        design.place(protection.part, "rating")
        if protection.part in design.parts
        else design.place(part.name, "max_fuse"),
        numbers=(
            Number("device", protection.rating_a, "A", device_called(design, protection.part)),
            Number("allowed", most_a, "A", part.name),
        ),
        limit=RULE.limit(design, most_a, "A", "data of the drive"),
        mend=(_smaller(design, part, most_a, protection),),
        rests=(behind(limiting.part, feed_conductors(design, part)),),
    )
