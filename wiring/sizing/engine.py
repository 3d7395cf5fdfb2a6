"""The least sizes that meet all limits at once: a fixed point of solving, asking every rule, and stepping.

Supplies begin at their largest step, for one in overload hides what is asked of it. Then everything goes at once to the
step that meets what is asked of it, the machine is solved again, and so on until nothing moves. After some rounds sizes
only rise; what caps a size stays once it is found. What no step meets stays as it is and is told with what caps it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from math import inf

from msgspec import Struct, field
from msgspec.structs import replace

from wiring.design.design import Design
from wiring.design.supply.undervoltage import is_undecided
from wiring.requirement import Requirement
from wiring.sizing.asked import Asked, requirements, sorted_by_ladder
from wiring.sizing.cabinet_ladder import cabinet_ladder
from wiring.sizing.conductor_ladders import conductor_ladders
from wiring.sizing.duct_ladders import duct_ladders
from wiring.sizing.ladder import Key, Ladder, Sort, Step, best, by_item
from wiring.sizing.motor_ladders import motor_ladders
from wiring.sizing.part_ladders import part_ladders
from wiring.sizing.records import SOURCES, Sizing, Unmet, Wish
from wiring.sizing.slack import spent, units, violated, with_caps
from wiring.sizing.variant import variant
from wiring.sizing.wire_types import sized_by_type

#: Rounds in which sizes may fall, and all of them.
_FREE_ROUNDS, _ROUNDS = 4, 14
#: From this round on supplies have come down, and what a conductor cannot carry caps the device in front of it. Those
#: of a machine that was sized already have come down before.
_CAPS_FROM = 3
#: A supply that is short by more than this stays so, whatever becomes of the conductors behind it.
_FAR = 1.25
#: Shares up to which a sum is spent, the first that holds: resistances and currents move a little with each step.
_SPENT = (0.995, 0.97, 0.93)
Progress = Callable[[str], None]


def ladders_of(design: Design) -> dict[Key, Ladder]:
    """Everything that has steps."""
    sorts = (part_ladders, motor_ladders, conductor_ladders, duct_ladders, cabinet_ladder)
    found = (ladder for ladders in sorts for ladder in ladders(design))
    return {ladder.key: ladder for ladder in sorted(found, key=lambda ladder: list(Sort).index(ladder.sort))}


def settle(design: Design, wish: Wish, progress: Progress = lambda _: None) -> Sizing:
    """The least steps that meet all limits at once."""
    return _Settling(design, wish, progress).run()


class _Settling(Struct):
    """One search. `caps` are what a device may be at most because of something that cannot grow, kept once found."""

    design: Design
    wish: Wish
    progress: Progress
    ladders: dict[Key, Ladder] = field(default_factory=dict)
    items: dict[Key, Ladder] = field(default_factory=dict)
    steps: dict[Key, Step] = field(default_factory=dict)
    types: dict[str, Step] = field(default_factory=dict)
    caps: dict[Key, Requirement] = field(default_factory=dict)
    unmet: dict[Key, Unmet] = field(default_factory=dict)
    #: What stayed unmet once sizes only rise: it would come and go with what it asks of others.
    left: dict[Key, Unmet] = field(default_factory=dict)
    asked: dict[Key, Asked] = field(default_factory=dict)
    #: The steps that meet what is asked, were sizes free to fall.
    loose: dict[Key, Step] = field(default_factory=dict)
    #: Lower steps of everything at which something was not met: the same ones need no second solving.
    failed: set[tuple[float, ...]] = field(default_factory=set)
    round: int = 0

    def __post_init__(self) -> None:
        self.ladders = ladders_of(self.design)
        self.items = by_item(self.ladders.values())
        self.steps = {key: ladder.present for key, ladder in self.ladders.items()}
        self.types = {ladder.type: ladder.present for ladder in self.ladders.values() if ladder.type}

    def run(self) -> Sizing:
        now = self._fed()
        rounds = 0
        for rounds in range(1, _ROUNDS + 1):
            self.progress(f"round {rounds}")
            self.round = rounds
            capped = dict(self.caps)
            wanted = self._stepped(now, rising=rounds > _FREE_ROUNDS)
            if any(one.ladder.name in self.wish.shared and one.is_short_supply(_FAR) for one in self.unmet.values()):
                return self._ended(now, rounds)
            still = wanted == self.steps and capped == self.caps and (rounds > 1 or self.wish.nearly)
            self.steps = wanted
            if still:
                break
            now = self._at(wanted)
        return self._ended(self._spent(self._lowered(now)), rounds)

    def _ended(self, now: Design, rounds: int) -> Sizing:
        unmet = tuple(one for key, one in self.unmet.items() if not self._is_met(key))
        return Sizing(now, self.ladders, self.steps, self.types, self.asked, unmet, rounds)

    def _fed(self) -> Design:
        """The design with the largest sources, and with conductors through which every load gets its power.

        Where none help it is not known what anything carries, and nothing is made smaller.
        """
        now = self._at(self.steps if self.wish.nearly else self._with_large_sources())
        for _ in range(_FREE_ROUNDS):
            if not is_undecided(now):
                return now
            self.steps = self._stepped(now, rising=False)
            now = self._at(self._with_large_sources())
        self.wish = replace(self.wish, anew=False)
        return now

    def _lowered(self, now: Design) -> Design:
        """The design with what sizes only rose to brought down again: a thicker conductor lessens what is asked of it.

        Parts come before conductors, for thinner conductors ask more of them.
        """
        before: Mapping[Key, Step] = {}
        while before != self.steps and (held := [unit for unit in units(self.ladders, self.steps) if self._drop(unit)]):
            before = self.steps
            held.sort(key=lambda unit: (unit[0].sort is Sort.CONDUCTOR, -before[unit[0].key].high, unit[0].name))
            parts = [unit for unit in held if unit[0].sort is not Sort.CONDUCTOR]
            now = self._brought_down(self._brought_down(now, parts), held[len(parts) :])
            self.loose = self._picked()
        return now

    def _drop(self, unit: Sequence[Ladder]) -> dict[Key, Step]:
        """The lower steps that are enough for all of a unit; nothing where it cannot come down."""
        high, now = max(self.loose[one.key].high for one in unit), self.steps[unit[0].key].high
        free = all(one.key not in self.unmet and self.wish.sizes_anew(one) and self._movable(one.key) for one in unit)
        fits = all(any(step.high == high for step in one.steps) for one in unit)
        return {one.key: one.step_of(high) for one in unit} if high < now and free and fits else {}

    def _brought_down(self, now: Design, held: Sequence[Sequence[Ladder]]) -> Design:
        """The design with units brought down to what is asked of them: all at once, or as many and as far as pass."""
        drops = [drop for unit in held if (drop := self._drop(unit))]
        if not drops:
            return now
        found = self._kept({**self.steps, **{key: step for drop in drops for key, step in drop.items()}}, now)
        if found is not None:
            return found
        if len(held) > 1:
            middle = len(held) // 2
            return self._brought_down(self._brought_down(now, held[:middle]), held[middle:])
        self.loose |= {one.key: one.steps[one.steps.index(drops[0][one.key]) + 1] for one in held[0]}
        return self._brought_down(now, held)

    def _spent(self, now: Design) -> Design:
        """The design with the slack of shared sums spent, where everything still meets what is asked of it then."""
        floors = {
            key: 0.0
            if self.wish.sizes_anew(ladder) and self._movable(key)
            else min(ladder.present.high, self.steps[key].high)
            for key, ladder in self.ladders.items()
        }
        stuck = {key: self.steps[key].high for key in self.unmet}
        for share in _SPENT:
            steps = spent(self.ladders, self.asked, self.steps, floors | stuck, share)
            if steps == self.steps:
                break
            found = self._kept(steps, now)
            if found is not None:
                return found
        return now

    def _kept(self, steps: dict[Key, Step], now: Design) -> Design | None:
        """The design at some lower steps, which are kept; None where it does not meet then what it meets now."""
        highs = tuple(steps[key].high for key in self.ladders)
        if highs in self.failed:
            return None
        after = self._at(steps)
        asked = self._asked_of(after, steps)
        if not violated(asked, steps) <= violated(self.asked, self.steps):
            self.failed.add(highs)
            return None
        self.types |= {
            ladder.type: steps[key]
            for key, ladder in self.ladders.items()
            if ladder.type and self.steps[key].high == self.types[ladder.type].high
        }
        self.steps, self.asked = steps, asked
        return after

    def _asked_of(self, design: Design, steps: Mapping[Key, Step]) -> dict[Key, Asked]:
        """What is asked of every ladder at these steps, with what serves in the place of what cannot be."""
        asked = sorted_by_ladder(self._asks(design), self.items)
        self._take_instead(asked)
        with_caps(asked, steps)
        return asked

    def _asks(self, design: Design) -> list[Requirement]:
        return [*requirements(design, self.wish.free), *self.wish.extra, *self.caps.values()]

    def _is_met(self, key: Key) -> bool:
        """Whether a size that was left as it is has come to meet what is asked of it."""
        asked = self.asked.get(key)
        return key in self.left and (
            asked is None or self.steps[key].meets(asked.least(firm=True), asked.most(firm=True))
        )

    def _at(self, steps: Mapping[Key, Step]) -> Design:
        return variant(self.design, ((self.ladders[key], step) for key, step in steps.items()))

    def _movable(self, key: Key) -> bool:
        return self.wish.only is None or key in self.wish.only

    def _with_large_sources(self) -> dict[Key, Step]:
        largest = {
            key: ladder.steps[-1]
            for key, ladder in self.ladders.items()
            if ladder.sort in SOURCES and self._movable(key)
        }
        return {**self.steps, **largest}

    def _stepped(self, design: Design, *, rising: bool) -> dict[Key, Step]:
        """The steps that meet what the machine asks at the present ones."""
        self.asked = self._asked_of(design, self.steps)
        self.left |= self.unmet if rising else {}
        self.loose = self._picked()
        wanted = {key: self._risen(key, step) if rising else step for key, step in self.loose.items()}
        found, types = sized_by_type(self.ladders, self.asked, wanted, self.wish)
        self.types |= types
        return found

    def _picked(self) -> dict[Key, Step]:
        """The step of every ladder that meets what is asked of it."""
        self.unmet = dict(self.left)
        return {key: self._pick(self.asked.get(key, Asked(ladder))) for key, ladder in self.ladders.items()}

    def _take_instead(self, asked: dict[Key, Asked]) -> None:
        """Where a device would have to be both more and less, its conductors are asked for what serves in its place."""
        for key, device in list(asked.items()):
            if device.ladder.sort is not Sort.DEVICE or not self._movable(key):
                continue
            served = [ask for ask in device.all if ask.most < device.least(firm=True) and ask.instead]
            for ask in served:
                device.all.remove(ask)
                for one, more in sorted_by_ladder(ask.instead, self.items).items():
                    asked.setdefault(one, Asked(more.ladder)).all.extend(more.all)

    def _pick(self, asked: Asked) -> Step:
        """The step of one ladder; its present one where it may stay or where nothing helps."""
        ladder = asked.ladder
        if not self._movable(ladder.key) or ladder.key in self.left:
            return ladder.present
        anew = self.wish.sizes_anew(ladder) and asked.is_sized
        if not anew and ladder.present.meets(asked.least(firm=True), asked.most(firm=True)):
            return ladder.present
        most = asked.most()
        for least in (asked.least(), asked.least(firm=True)):
            found = self._nearest(ladder, least, most)
            if found is not None:
                return found
        return self._stuck(asked)

    def _nearest(self, ladder: Ladder, least: float, most: float) -> Step | None:
        """The first step that fits; without sizing anew the last one where the present one is too large."""
        if not self.wish.sizes_anew(ladder) and not ladder.present.meets(0.0, most):
            below = [step for step in ladder.steps[: ladder.now] if step.meets(least, most)]
            if below:
                return below[-1]
        fits = partial(Step.meets, least=least, most=most)
        above = (
            ladder.steps
            if self.wish.sizes_anew(ladder) or ladder.sort is Sort.TERMINALS
            else ladder.steps[ladder.now :]
        )
        return best(above, fits)

    def _stuck(self, asked: Asked) -> Step:
        """What no step helps stays as it is; a conductor that ends caps the device in front of it."""
        ladder, need, cap = asked.ladder, asked.by_least(firm=True), asked.by_most()
        top = next((step for step in reversed(ladder.steps) if step.low <= asked.most() * (1 + 1e-6)), ladder.present)
        devices = [one for ask in asked.all for one in ask.instead if ask.least > top.high and one.most < inf]
        helped = [one for one in devices if need is not None and self._can_be(one)]
        others = max((ask.least for ask in asked.all if not ask.instead and ask.firm), default=0.0)
        if helped and others <= top.high:
            for one in helped:
                key = self.items[one.quantity, one.item].key
                if (
                    (self.wish.nearly or self.round >= _CAPS_FROM)
                    and self.steps[ladder.key] is top
                    and one.most < self.caps.get(key, one).most * (1 + 1e-9)
                ):
                    self.caps[key] = one
            return top
        if need is None:
            need = cap
        if need is not None:
            self.unmet[ladder.key] = Unmet(ladder, need, cap if cap is not need else None)
        # what else is asked of it is met, where that is more than it is
        least = max((ask.least for ask in asked.all if ask.firm and ask.least <= top.high), default=0.0)
        rest = self._nearest(ladder, least, asked.most(firm=True)) if ladder.present.high < least else None
        return rest or ladder.present

    def _can_be(self, ask: Requirement) -> bool:
        """Whether something has a step as small as that."""
        ladder = self.items.get((ask.quantity, ask.item))
        return ladder is not None and any(step.meets(ask.least, ask.most) for step in ladder.steps)

    def _risen(self, key: Key, step: Step) -> Step:
        old = self.steps[key]
        if key in self.unmet or step.high >= old.high:
            return step
        most = self.asked[key].most() if key in self.asked else inf
        return old if old.meets(0.0, most) else step
