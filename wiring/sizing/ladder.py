"""A ladder: the steps that the size of one thing is sold in, and the one that the plan has."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from enum import StrEnum
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from wiring.parts.base import PartModel
from wiring.parts.price import Price, cheapest
from wiring.plan.edits import Edit
from wiring.quantities import WireSize
from wiring.requirement import Quantity, Requirement

#: Two figures count as one step within this share, as sizes are written with few digits.
_SAME = 1e-6


Key = tuple[Quantity, str]


class Sort(StrEnum):
    """What has a ladder, in the order in which it is told."""

    SUPPLY = "supply"
    TRANSFORMER = "transformer"
    DEVICE = "device"
    PROTECTOR = "protector"
    DRIVE = "drive"
    CONTACT = "contact"
    TERMINALS = "terminals"
    CONDUCTOR = "conductor"
    FAN = "fan"
    DUCT = "duct"
    CABINET = "cabinet"

    @property
    def shrinks(self) -> bool:
        """Whether a smaller one saves anything: what is chosen for more than its size, or set, is left alone."""
        return self not in (Sort.CONTACT, Sort.TERMINALS, Sort.DRIVE, Sort.PROTECTOR, Sort.DUCT, Sort.CABINET)


class Step(Struct, frozen=True):
    """One step: what it is enough for up to `high`, and from `low` on (a single figure but for terminals).

    `made` is what stands in the plan then, with its `library` key where it is a part of the library; `edits` write it.
    Conductors are written otherwise, see `written`. `power_w` is the rated power of an inverter, which is bought by
    both.
    """

    low: float
    high: float
    words: str
    made: PartModel | WireSize | None = None
    library: str = ""
    edits: tuple[Edit, ...] = ()
    price: Price | None = None
    power_w: float | None = None

    def meets(self, least: float, most: float) -> bool:
        """Whether the step lies between two bounds."""
        return self.high >= least * (1.0 - _SAME) and self.low <= most * (1.0 + _SAME)


class Ladder(Struct, frozen=True):
    """The steps of one thing, rising; `now` is the place of the one that the plan has.

    `name` is what the plan calls it, `subjects` the ids of parts or conductors that it stands for. Of a conductor
    `path` is where its own size is written, and `type` the wire type that gives it ("" where it has its own). `misfits`
    are what cannot stand in its place: how large each is, and why not.
    """

    sort: Sort
    quantity: Quantity
    name: str
    subjects: tuple[str, ...]
    steps: tuple[Step, ...]
    now: int
    path: tuple[str | int, ...] = ()
    type: str = ""
    misfits: tuple[tuple[float, str], ...] = ()

    @property
    def key(self) -> Key:
        """What it is found by in another design of the same plan."""
        return self.quantity, self.name

    @property
    def present(self) -> Step:
        """The step that the plan has."""
        return self.steps[self.now]

    @property
    def quantities(self) -> tuple[Quantity, ...]:
        """What can be asked of it."""
        by_power = any(step.power_w is not None for step in self.steps)
        return (self.quantity, Quantity.POWER) if by_power else (self.quantity,)

    def step_of(self, high: float) -> Step:
        """The step of exactly that figure."""
        return next(step for step in self.steps if step.high == high)

    def misfit(self, least: float) -> str:
        """Why the smallest misfit of that size cannot stand in its place, "" where there is none."""
        return min((one for one in self.misfits if one[0] >= least), default=(0.0, ""))[1]

    def in_its_quantity(self, ask: Requirement) -> Requirement:
        """A requirement of power as one of the quantity that its steps rise in; any other as it is."""
        if ask.quantity is self.quantity:
            return ask
        enough = [step.high for step in self.steps if (step.power_w or 0.0) >= ask.least * (1.0 - _SAME)]
        return replace(ask, quantity=self.quantity, least=min(enough, default=inf))


def by_item(ladders: Iterable[Ladder]) -> dict[Key, Ladder]:
    """The ladders by everything that a requirement may name."""
    return {(quantity, name): one for one in ladders for quantity in one.quantities for name in one.subjects}


def ladder_of(
    sort: Sort, quantity: Quantity, name: str, now: Step, others: Iterable[Step], subjects: tuple[str, ...] = ()
) -> Ladder:
    """The ladder with the present step among the others; a step of the same figures gives way to it."""
    rest = [step for step in others if not _same(step, now)]
    steps = sorted([*rest, now], key=lambda step: (step.high, step.low))
    return Ladder(sort, quantity, name, subjects or (name,), tuple(steps), steps.index(now))


def _same(one: Step, other: Step) -> bool:
    return abs(one.high - other.high) <= _SAME * other.high and abs(one.low - other.low) <= _SAME * other.low


def best(steps: Iterable[Step], fits: Callable[[Step], bool]) -> Step | None:
    """Of the rising steps that fit the cheapest where prices are known, else the first."""
    return cheapest(filter(fits, steps), lambda step: step.price)
