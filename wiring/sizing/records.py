"""What sizing is asked for, and what it finds."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from math import inf

from msgspec import Struct

from wiring.design.design import Design
from wiring.requirement import Quantity, Requirement
from wiring.sizing.asked import Asked
from wiring.sizing.ladder import Key, Ladder, Sort, Step

UNITS = {
    Quantity.RATING: "A",
    Quantity.AREA: "mm2",
    Quantity.CLAMP: "mm2",
    Quantity.SECTION: "mm2",
    Quantity.AIRFLOW: "m3/h",
    Quantity.SPACE: "",
}
#: What feeds others.
SOURCES = (Sort.SUPPLY, Sort.TRANSFORMER)


class Wish(Struct, frozen=True):
    """What sizing is asked for.

    What is `anew` is sized from nothing: all of it, none, or the ladders of these keys; what else passes stays as it
    is. `free` is the share of supplies and devices that stays free of what is sized. `extra` is asked besides; `only`
    the ladders that may move, None for all of them. `nearly` says that the present sizes were sized already for a
    machine that hardly differs: its supplies are enough, so that the search begins with them. It ends at once where the
    largest of a supply in `shared` is far too small, as another one will then stand beside it.
    """

    free: float
    anew: bool | Collection[Key] = False
    extra: tuple[Requirement, ...] = ()
    only: Collection[Key] | None = None
    nearly: bool = False
    shared: Collection[str] = ()

    def sizes_anew(self, ladder: Ladder) -> bool:
        """Whether a ladder begins from nothing."""
        chosen = self.anew if isinstance(self.anew, bool) else ladder.key in self.anew
        return chosen and ladder.sort.shrinks


class Unmet(Struct, frozen=True):
    """Something that no step helps: what is asked of it, and what it may not be more than, None where steps end."""

    ladder: Ladder
    need: Requirement
    cap: Requirement | None

    def is_short_supply(self, share: float) -> bool:
        """Whether it is a supply that is asked for more than such a share of its largest step."""
        return self.ladder.sort is Sort.SUPPLY and self.need.least > share * self.ladder.steps[-1].high

    def __str__(self) -> str:
        name, beyond = self.ladder.name, self.ladder.misfit(self.need.least)
        unit = "VA" if self.ladder.sort is Sort.TRANSFORMER else UNITS[self.ladder.quantity]
        asked = f"{name} should be {self.need.least:.3g} {unit} or more ({self.need.why})"
        if self.need.least == inf:
            asked = f"no size of {name} is enough ({self.need.why})" + (f"; {beyond}" if beyond else "")
        if self.need.most < inf:
            asked = f"{name} should be {self.need.most:.3g} {unit} or less ({self.need.why})"
        if self.cap is not None:
            return f"{asked}, and at most {self.cap.most:.3g} {unit} ({self.cap.why})"
        last = self.ladder.steps[-1]
        return f"{asked}; {beyond or f'the last step is {last.words}'}" if self.need.least < inf else asked


class Sizing(Struct, frozen=True):
    """Where sizing ended: the step of every ladder by its key, what asked for each, and what is unmet.

    `design` is the machine at these steps; `types` the step of every wire type that has a size.
    """

    design: Design
    ladders: Mapping[Key, Ladder]
    steps: Mapping[Key, Step]
    types: Mapping[str, Step]
    asked: Mapping[Key, Asked]
    unmet: tuple[Unmet, ...]
    rounds: int

    @property
    def moved(self) -> tuple[Ladder, ...]:
        """The ladders whose step is another one than that of the plan."""
        return tuple(ladder for key, ladder in self.ladders.items() if self.steps[key] is not ladder.present)
