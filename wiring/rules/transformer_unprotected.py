"""A transformer can be overloaded without any device opening.

A transformer burns slowly: it bears its rated current for ever and little more. Either a device in its primary or one
in its secondary must be small enough. IEC: a secondary device of no more than the rated secondary current, or a primary
one of no more than 1.25 times the rated primary current. North America: NFPA 70, table 450.3(B); for the secondary of a
120 V control transformer NFPA 79, table 7.2.11. Below 2 A the primary of a control transformer of motors may have 500 %
(NFPA 70, 430.72(C)(4)). A device in the secondary of such a control transformer that is larger
than table 450.3(B) allows there never opens on an overload, and is told whatever stands in the primary.

Fires on fan-heater at T1
    F3.rating=5 A
Quiet
    F3.rating=4 A
Not judged
    A transformer whose primary nothing feeds, and one without any device behind it (see `conductor-unprotected`).
Known limits
    Several devices side by side on a secondary are judged one by one, not by their sum. Thermal links inside a
    transformer are not known to a plan.
"""

from __future__ import annotations

from collections.abc import Sequence

from wiring.design.device.devices import device_at_most
from wiring.design.device.transformer_protection import primary_limit, transformer_devices
from wiring.findings import Cause, Mend, Number
from wiring.parts.base import Part
from wiring.parts.incoming import Transformer
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.steps import rounded_down
from wiring.rulebooks.transformers import standard_primary_device, transformer_current
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_70

RULE = Rule(
    slug="transformer-unprotected",
    title="Transformer is not protected against overload",
    signal=Signal.CAUTION,
    harm="An overloaded transformer chars its windings for hours and can catch fire.",
    sources=(("iec", iec_60204("7.2.7")), ("na", nfpa_70("table 450.3(B)", Standing.ONE_SOURCE))),
)


def check(design: Design) -> Judgements:
    """Every transformer that is fed."""
    for part in design.parts.values():
        if isinstance(part.data, Transformer):
            finding = _judge(design, part, part.data)
            if finding is not None:
                yield finding


def _judge(design: Design, part: Part, data: Transformer) -> Judgement | None:
    guards = transformer_devices(design, part, data)
    if guards is None:
        return None
    if guards.first_ok:
        return _idle(design, part, guards.secondary, guards.largest, guards.widest) if guards.second_idle else None
    if design.plan.rulebook == "na":
        with_second = primary_limit(design, transformer_current(data.rated, data.primary.volts), True)
        would_do = guards.smallest is not None and guards.smallest <= with_second.value * (1.0 + 1e-9)
        if guards.second_ok or not guards.secondary or not would_do:
            return _finding(design, part, guards.primary, guards.smallest, guards.first, "primary")
    elif guards.second_ok:
        return None
    largest = guards.largest if guards.secondary else None
    return _finding(design, part, guards.secondary, largest, guards.second, "secondary")


def _idle(design: Design, part: Part, names: list[str], rating: float, limit: Limit | None) -> Judgement | None:
    """A device in the secondary that is there for nothing, though the primary is protected."""
    return _finding(design, part, names, rating, limit, "secondary") if limit is not None else None


def requirements(design: Design) -> Requirements:
    """The devices of the side that guards a transformer, those of the secondary where neither does."""
    for part in design.parts.values():
        guards = transformer_devices(design, part, part.data) if isinstance(part.data, Transformer) else None
        if guards is not None:
            first = _asked(part.name, guards.primary[-1:], guards.first)
            second = _asked(part.name, guards.secondary, guards.second)
            with_second = design.plan.rulebook == "na" and guards.second_ok
            yield from first if guards.first_ok or not guards.secondary or with_second else second
            if guards.first_ok and guards.widest is not None:
                yield from _asked(part.name, guards.secondary, guards.widest)


def _asked(transformer: str, devices: Sequence[str], limit: Limit) -> tuple[Requirement, ...]:
    why = f"overload of {transformer}"
    return tuple(Requirement(RULE.slug, name, Quantity.RATING, most=limit.value, why=why) for name in devices)


def _finding(design: Design, part: Part, names: list[str], rating: float | None, limit: Limit, side: str) -> Judgement:
    inside = [name for name in names if name in design.parts]
    because = [Cause(design.place(name), str(design.short_circuits.known[name])) for name in inside[:3]]
    has = f"its {side} device of {rating:.3g} A is too large" if rating is not None else f"its {side} has no device"
    data = part.data
    assert isinstance(data, Transformer)
    most = _fitting(design, inside, limit, side)
    words = f"Put a fuse or breaker of {rounded_down(most):.3g} A or less in the {side} of {part.name}."
    return RULE.finding(
        (part.name, *inside),
        f"{part.name} of {data.rated:.3g} VA may be overloaded: {has} for {limit.value:.3g} A",
        design.place(part.name, "rated"),
        because=because,
        numbers=(
            Number("rated primary", data.rated / data.primary.volts, "A", part.name),
            Number("rated secondary", data.rated / data.secondary.volts, "A", part.name),
        ),
        limit=limit,
        mend=(Mend(words, asks=_asked(part.name, inside, limit)),),
    )


def _fitting(design: Design, names: Sequence[str], limit: Limit, side: str) -> float:
    """The largest standard rating within a limit [A]: of the device that is there, else of a fuse."""
    book = design.plan.rulebook
    if names:
        return device_at_most(design.parts[names[0]], book, limit.value)
    standard = standard_primary_device(limit, "fuse") if book == "na" and side == "primary" else None
    return standard.value if isinstance(standard, Limit) else limit.value
