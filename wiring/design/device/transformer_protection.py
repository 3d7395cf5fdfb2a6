"""The protective devices on both sides of a transformer, and what each side allows."""

from __future__ import annotations

from math import inf

from msgspec import Struct

from wiring.design.design import Design
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Input, Output
from wiring.parts.incoming import Transformer
from wiring.parts.switching import Contactor
from wiring.rulebooks.citation import Limit, iec_60204
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.transformers import (
    control_transformer_device,
    primary_device,
    secondary_device,
    transformer_current,
)

#: A primary device of that many times the rated primary current still protects a transformer.
_PRIMARY_MULTIPLE = tabled("common", "transformer_primary").value


#: Secondary voltages of control transformers that NFPA 79, table 7.2.11, is made for [V] (nominal 120 V, from memory).
_CONTROL_V = (110.0, 120.0)


class _TransformerDevices(Struct, frozen=True):
    """The devices on both sides of a transformer, with what each side allows; `widest` is the most that the
    secondary of a control transformer may have, whatever protects its primary, None for another one."""

    primary: list[str]
    secondary: list[str]
    first: Limit
    second: Limit
    smallest: float | None
    largest: float
    widest: Limit | None

    @property
    def second_idle(self) -> bool:
        """Whether the device in the secondary of a control transformer is too large to open on any overload of it."""
        return self.widest is not None and bool(self.secondary) and self.largest > self.widest.value * (1.0 + 1e-9)

    @property
    def first_ok(self) -> bool:
        return self.smallest is not None and self.smallest <= self.first.value * (1.0 + 1e-9)

    @property
    def second_ok(self) -> bool:
        return self.largest <= self.second.value * (1.0 + 1e-9)


def transformer_devices(design: Design, part: Part, data: Transformer) -> _TransformerDevices | None:
    """None for a transformer that nothing feeds."""
    faults = design.short_circuits
    fed = next(
        (faults.paths.hot.get((part.name, e)) for e in _primary_ends(part) if (part.name, e) in faults.paths.hot), None
    )
    if fed is None:
        return None
    primary = [name for name in fed.devices if name in faults.known]
    secondary = _secondary_devices(design, part)
    first_a = transformer_current(data.rated, data.primary.volts)
    second_a = transformer_current(data.rated, data.secondary.volts)
    allowed_second = _secondary_limit(design, data, second_a)
    largest = max((faults.known[name].rating_a for name in secondary), default=inf)
    wide = secondary_device(design.plan.rulebook, second_a)
    control = largest <= wide.value * (1.0 + 1e-9) and _feeds_contactors(design, part)
    allowed_first = primary_limit(design, first_a, largest <= allowed_second.value * (1.0 + 1e-9), control=control)
    smallest = min((faults.known[name].rating_a for name in primary), default=None)
    widest = wide if allowed_second.value < wide.value else None
    return _TransformerDevices(primary, secondary, allowed_first, allowed_second, smallest, largest, widest)


def _primary_ends(part: Part) -> tuple[str, str]:
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


def _feeds_contactors(design: Design, transformer: Part) -> bool:
    """Whether a coil of a contactor hangs on it: it is then the control transformer of a motor circuit."""
    reached = (
        design.nets.reach((part.name, coil.a)).sources
        for part in design.parts.values()
        if isinstance(part.data, Contactor)
        for coil in part.of(Coil)
    )
    return any(one.pole.source == transformer.name for sources in reached for one in sources)


def primary_limit(design: Design, first_a: float, second_ok: bool, *, control: bool = False) -> Limit:
    """The largest device in the primary of a transformer [A]; of a `control` transformer of motors 500 % below 2 A.

    Source: NFPA 70, 430.72(C)(4), from memory; table 450.3(B) for any other.
    """
    if design.plan.rulebook == "na":
        if control:
            return primary_device(first_a, secondary_protected=True, control=True)
        alone = primary_device(first_a, secondary_protected=False)
        both = primary_device(first_a, secondary_protected=True)
        return both if second_ok and both.value > alone.value else alone
    return Limit(_PRIMARY_MULTIPLE * first_a, "A", iec_60204("7.2.7"))


def _secondary_devices(design: Design, part: Part) -> list[str]:
    """The first devices that the current of the secondary meets: those in the one conductor of it, or in the other.

    Where both have some, those that allow less: the current passes either.
    """
    faults = design.short_circuits
    ends = next(((part.name, e.plus), (part.name, e.minus)) for e in part.of(Output))
    sides = []
    for walk, end in zip((faults.paths.hot, faults.paths.returns), ends, strict=True):
        origins = [n for n, origin in enumerate(faults.paths.origins) if end in (origin.plus, origin.minus)]
        first = {reached.devices[0] for reached in walk.values() if reached.origin in origins and reached.devices}
        sides.append(sorted(name for name in first if name in faults.known))
    some = [names for names in sides if names]
    return min(some, key=lambda names: max(faults.known[name].rating_a for name in names), default=[])
