"""A transformer can be overloaded without any device opening.

A transformer burns slowly: it bears its rated current for ever and little more. Either a device in its primary or one
in its secondary must be small enough. IEC: a secondary device of no more than the rated secondary current, or a primary
one of no more than 1.25 times the rated primary current. North America: NFPA 70, table 450.3(B); for the secondary of a
120 V control transformer NFPA 79, table 7.2.11.

Fires on fan-heater at T1
    F3.rating=3 A
Quiet
    F3.rating=1 A
Not judged
    A transformer whose primary nothing feeds, and one without any device behind it (see `conductor-unprotected`).
Known limits
    Several devices side by side on a secondary are judged one by one, not by their sum. Thermal links inside a
    transformer are not known to a plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf

from wiring.design.devices import device_at_most
from wiring.findings import Cause, Mend, Number
from wiring.parts.base import Part
from wiring.parts.elements import Input, Output
from wiring.parts.incoming import Transformer
from wiring.requirement import Quantity, Requirement, Requirements
from wiring.rulebooks.citation import Limit
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.transformers import (
    control_transformer_device,
    primary_device,
    secondary_device,
    standard_primary_device,
    transformer_current,
)
from wiring.rules.rule import Design, Judgement, Judgements, Rule, Signal, Standing, iec_60204, nfpa_70

RULE = Rule(
    slug="transformer-unprotected",
    title="Transformer is not protected against overload",
    signal=Signal.CAUTION,
    harm="An overloaded transformer chars its windings for hours and can catch fire.",
    sources=(("iec", iec_60204("7.2.7")), ("na", nfpa_70("table 450.3(B)", Standing.ONE_SOURCE))),
)
#: A primary device of that many times the rated primary current still protects a transformer.
_PRIMARY_MULTIPLE = tabled("common", "transformer_primary").value
#: Secondary voltages of control transformers that NFPA 79, table 7.2.11, is made for [V] (nominal 120 V, from memory).
_CONTROL_V = (110.0, 120.0)


def check(design: Design) -> Judgements:
    """Every transformer that is fed."""
    for part in design.parts.values():
        if isinstance(part.data, Transformer):
            finding = _judge(design, part, part.data)
            if finding is not None:
                yield finding


@dataclass(frozen=True, slots=True)
class _Guards:
    """The devices on both sides of a transformer, with what each side allows."""

    primary: list[str]
    secondary: list[str]
    first: Limit
    second: Limit
    smallest: float | None
    largest: float

    @property
    def first_ok(self) -> bool:
        return self.smallest is not None and self.smallest <= self.first.value * (1.0 + 1e-9)

    @property
    def second_ok(self) -> bool:
        return self.largest <= self.second.value * (1.0 + 1e-9)


def _guards(design: Design, part: Part, data: Transformer) -> _Guards | None:
    """None for a transformer that nothing feeds."""
    faults = design.short_circuits
    fed = next(
        (faults.paths.hot.get((part.name, e)) for e in _primary(part) if (part.name, e) in faults.paths.hot), None
    )
    if fed is None:
        return None
    primary = [name for name in fed.devices if name in faults.known]
    secondary = _secondary(design, part)
    first_a = transformer_current(data.rated, data.primary.volts)
    second_a = transformer_current(data.rated, data.secondary.volts)
    allowed_second = _secondary_limit(design, data, second_a)
    largest = max((faults.known[name].rating_a for name in secondary), default=inf)
    allowed_first = _primary_limit(design, first_a, largest <= allowed_second.value * (1.0 + 1e-9))
    smallest = min((faults.known[name].rating_a for name in primary), default=None)
    return _Guards(primary, secondary, allowed_first, allowed_second, smallest, largest)


def _judge(design: Design, part: Part, data: Transformer) -> Judgement | None:
    guards = _guards(design, part, data)
    if guards is None or guards.first_ok:
        return None
    if design.plan.rulebook == "na":
        with_second = _primary_limit(design, transformer_current(data.rated, data.primary.volts), True)
        would_do = guards.smallest is not None and guards.smallest <= with_second.value * (1.0 + 1e-9)
        if guards.second_ok or not guards.secondary or not would_do:
            return _finding(design, part, guards.primary, guards.smallest, guards.first, "primary")
    elif guards.second_ok:
        return None
    largest = guards.largest if guards.secondary else None
    return _finding(design, part, guards.secondary, largest, guards.second, "secondary")


def requirements(design: Design) -> Requirements:
    """The devices of the side that guards a transformer, those of the secondary where neither does."""
    for part in design.parts.values():
        guards = _guards(design, part, part.data) if isinstance(part.data, Transformer) else None
        if guards is not None:
            first = _asked(part.name, guards.primary[-1:], guards.first)
            second = _asked(part.name, guards.secondary, guards.second)
            with_second = design.plan.rulebook == "na" and guards.second_ok
            yield from first if guards.first_ok or not guards.secondary or with_second else second


def _asked(transformer: str, devices: Sequence[str], limit: Limit) -> tuple[Requirement, ...]:
    why = f"overload of {transformer}"
    return tuple(Requirement(RULE.slug, name, Quantity.RATING, most=limit.value, why=why) for name in devices)


def _primary(part: Part) -> tuple[str, str]:
    feed = next(e for e in part.elements if isinstance(e, Input))
    return feed.a, feed.b


def _secondary_limit(design: Design, data: Transformer, second_a: float) -> Limit:
    """That of the rulebook; in North America a control transformer of 120 V has a table of its own."""
    limit = secondary_device(design.plan.rulebook, second_a)
    if design.plan.rulebook == "na" and _CONTROL_V[0] <= data.secondary.volts <= _CONTROL_V[1]:
        control = control_transformer_device(data.rated)
        if isinstance(control, Limit) and control.value < limit.value:
            return control
    return limit


def _primary_limit(design: Design, first_a: float, second_ok: bool) -> Limit:
    if design.plan.rulebook == "na":
        alone = primary_device(first_a, secondary_protected=False)
        both = primary_device(first_a, secondary_protected=True)
        return both if second_ok and both.value > alone.value else alone
    source = RULE.source("iec")
    assert source is not None
    return Limit(_PRIMARY_MULTIPLE * first_a, "A", source)


def _secondary(design: Design, part: Part) -> list[str]:
    """The first devices that the current of the secondary meets: those in the one conductor of it, or in the other.

    Where both have some, those that allow less: the current passes either.
    """
    faults = design.short_circuits
    ends = next(((part.name, e.plus), (part.name, e.minus)) for e in part.of(Output) if isinstance(e, Output))
    sides = []
    for walk, end in zip((faults.paths.hot, faults.paths.returns), ends, strict=True):
        origins = [n for n, origin in enumerate(faults.paths.origins) if end in (origin.plus, origin.minus)]
        first = {reached.devices[0] for reached in walk.values() if reached.origin in origins and reached.devices}
        sides.append(sorted(name for name in first if name in faults.known))
    some = [names for names in sides if names]
    return min(some, key=lambda names: max(faults.known[name].rating_a for name in names), default=[])


def _finding(design: Design, part: Part, names: list[str], rating: float | None, limit: Limit, side: str) -> Judgement:
    inside = [name for name in names if name in design.parts]
    because = [Cause(design.place(name), str(design.short_circuits.known[name])) for name in inside[:3]]
    has = f"its {side} device of {rating:.3g} A is too large" if rating is not None else f"its {side} has no device"
    data = part.data
    assert isinstance(data, Transformer)
    most = _fitting(design, inside, limit, side)
    words = f"Put a fuse or breaker of {most:.3g} A or less in the {side} of {part.name}."
    return RULE.finding(
        (part.name, *inside),
        f"{part.name} of {data.rated:.4g} VA may be overloaded: {has} for {limit.value:.3g} A",
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
