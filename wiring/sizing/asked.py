"""What all limits together ask of every ladder: the requirements of the rules, and what sizing keeps besides."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from math import inf

from msgspec import Struct, field

from wiring.design.design import Design
from wiring.design.device.flow import device_loads
from wiring.design.fault.paths import MAINS
from wiring.design.supply.supplies import needed_rating
from wiring.parts.incoming import Inlet
from wiring.parts.protection import MotorProtector
from wiring.requirement import Quantity, Requirement
from wiring.rules import SLUGS, rule_module
from wiring.sizing.ladder import Key, Ladder, Sort

#: What asks for a share that stays free, and for no more than the building gives, beside the rules.
HEADROOM, BUILDING = "headroom", "building"
#: A device at its very limit passes: its own resistance moves the load that it is judged by.
_SLACK = 1.0 - 1e-3
ByItem = Mapping[Key, Ladder]


@cache
def _rules() -> tuple[Callable[[Design], Iterator[Requirement]], ...]:
    """The rules of size."""
    modules = (rule_module(slug) for slug in SLUGS)
    return tuple(module.requirements for module in modules if hasattr(module, "requirements"))


def requirements(design: Design, free: float) -> Iterator[Requirement]:
    """Everything that is asked of sizes; `free` is the share of supplies and devices that stays free."""
    for asks in _rules():
        yield from asks(design)
    yield from _headroom(design, free)
    yield from _building(design)


def _headroom(design: Design, free: float) -> Iterator[Requirement]:
    words = f"with {100 * free:.3g} % kept free"
    for name, rows in design.power.budgeted.items():
        state, row = max(rows.items(), key=lambda one: (one[1].current_a, one[0]))
        least = needed_rating(design.parts[name], row.current_a, design.inside.device_c, free)
        why = f"{row.current_a:.3g} A in state {state} {words}"
        yield Requirement(HEADROOM, name, Quantity.RATING, least, why=why, firm=False)
    for name, load_a in device_loads(design.machine, design.operation).items():
        if isinstance(design.parts[name].data, MotorProtector):
            continue  # it carries what it is set to
        why = f"{load_a:.3g} A {words}"
        least = _SLACK * load_a / (1.0 - free)
        yield Requirement(HEADROOM, name, Quantity.RATING, least, why=why, firm=False)


def _building(design: Design) -> Iterator[Requirement]:
    """No device on the mains is larger than that of the building, or than the inlet in front of it."""
    mains, paths = design.plan.mains, design.short_circuits.paths
    upstream = mains.upstream if mains else None
    limits = [(upstream.rating, f"the {upstream.kind} of the building, {upstream.rating:.3g} A")] if upstream else []
    for part in design.parts.values():
        if isinstance(part.data, Inlet) and part.data.rated is not None:
            limits.append((part.data.rated, f"{part.name} of {part.data.rated:.3g} A"))
    if not limits:
        return
    most, why = min(limits)
    on_mains = (one for one in paths.hot.values() if paths.origins[one.origin].part == MAINS)
    for name in dict.fromkeys(device for one in on_mains for device in one.devices):
        if name in design.parts:
            yield Requirement(BUILDING, name, Quantity.RATING, most=most, why=why, firm=False)


class Asked(Struct):
    """What is asked of one ladder."""

    ladder: Ladder
    all: list[Requirement] = field(default_factory=list)

    @property
    def is_sized(self) -> bool:
        """Whether anything asks for a size of it; terminals only say what fits them."""
        return any(ask.least > 0.0 and ask.most == inf for ask in self.all) or self.ladder.sort is Sort.FAN

    def least(self, *, firm: bool = False) -> float:
        """The least that it may be; only what is `firm` where that is wanted."""
        return max((ask.least for ask in self.all if ask.firm or not firm), default=0.0)

    def most(self, *, firm: bool = False) -> float:
        """The most that it may be."""
        return min((ask.most for ask in self.all if ask.firm or not firm), default=inf)

    def by_least(self, *, firm: bool = False) -> Requirement | None:
        """What asks for the least."""
        asks = [ask for ask in self.all if ask.least > 0.0 and (ask.firm or not firm)]
        return max(asks, key=lambda ask: ask.least, default=None)

    def by_most(self, *, firm: bool = False) -> Requirement | None:
        """What asks for the most."""
        asks = [ask for ask in self.all if ask.most < inf and (ask.firm or not firm)]
        return min(asks, key=lambda ask: ask.most, default=None)


def sorted_by_ladder(asks: Iterable[Requirement], ladders: ByItem) -> dict[Key, Asked]:
    """The requirements by the ladder of their item; what has no ladder is left out.

    A terminal that has one grows with its conductor; a protective conductor that has its size together with the line
    that it follows is as thick as that.
    """
    found: dict[Key, Asked] = {}
    for ask in asks:
        for one in _meant(ask, ladders):
            ladder = ladders.get((one.quantity, one.item))
            if ladder is not None and not _is_own(one, ladder, ladders):
                found.setdefault(ladder.key, Asked(ladder)).all.append(ladder.in_its_quantity(one))
    return found


def _meant(ask: Requirement, ladders: ByItem) -> tuple[Requirement, ...]:
    clamps = [other for other in ask.instead if other.quantity is Quantity.CLAMP]
    return tuple(clamps) if clamps and all((c.quantity, c.item) in ladders for c in clamps) else (ask,)


def _is_own(ask: Requirement, ladder: Ladder, ladders: ByItem) -> bool:
    return bool(ask.reference) and ladders.get((ask.quantity, ask.reference)) is ladder
