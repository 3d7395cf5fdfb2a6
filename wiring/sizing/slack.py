"""Slack of shared sums spent: conductors on the way to a load share what it may lose, and steps do not fit a sum.

What was rounded up on one conductor lets another be thinner; the thickest steps are tried first. What one cannot give,
for no terminal takes it so thick, the others make up for; where they cannot, that one is told and they are left alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.requirement import Requirement
from wiring.sizing.asked import Asked
from wiring.sizing.ladder import Key, Ladder, Step

#: A conductor grows to so many times its fair share for others that cannot grow, and no thicker (own choice).
_MADE_UP = 3.0


def with_caps(asked: Mapping[Key, Asked], steps: Mapping[Key, Step]) -> None:
    """Shares out anew what conductors of a shared sum are asked for that cannot be so thick, at the present steps."""
    for rows in _by_load(asked).values():
        if all(row.fits(1.0) for row in rows):
            continue
        factor = _made_up(rows, steps)
        worst = max(rows, key=lambda row: (not row.fits(1.0), row.lost_at(row.top, steps), row.key))
        for row in rows:
            row.asked.all = [ask for ask in row.asked.all if ask is not row.ask]
            if factor is not None:
                row.asked.all.append(replace(row.ask, least=min(factor * row.ask.least, row.top)))
            elif row is worst:
                row.asked.all.append(replace(row.ask, shared=None))


def _by_load(asked: Mapping[Key, Asked]) -> Mapping[str, list[_Row]]:
    """The shared sums: what each of their conductors is asked for, by the load."""
    found: dict[str, list[_Row]] = {}
    for key, one in asked.items():
        shared = [ask for ask in one.all if ask.shared is not None]
        top = _top(one) if shared else 0.0
        for ask in shared:
            assert ask.shared is not None
            found.setdefault(ask.shared.load, []).append(_Row(key, ask, one, top))
    return found


def _top(asked: Asked) -> float:
    """The thickest step that a conductor may have [mm2]."""
    most = asked.most() * (1 + 1e-6)
    return max((step.high for step in asked.ladder.steps if step.low <= most), default=asked.ladder.present.high)


class _Row(Struct):
    """A conductor's part of a shared sum; `top` is the thickest step that it may have [mm2]."""

    key: Key
    ask: Requirement
    asked: Asked
    top: float

    def lost_at(self, area_mm2: float, steps: Mapping[Key, Step]) -> float:
        """What it loses at another size [V]."""
        assert self.ask.shared is not None
        return self.ask.shared.own * steps[self.key].high / area_mm2

    def fits(self, factor: float) -> bool:
        """Whether it may be so many times its fair share."""
        return factor * self.ask.least <= self.top * (1 + 1e-6)


def _made_up(rows: Sequence[_Row], steps: Mapping[Key, Step]) -> float | None:
    """How many times their fair share the others are, None where that does not help or is too much."""
    shared = rows[0].ask.shared
    assert shared is not None
    factor, before = 1.0, 0.0
    while factor != before:
        before = factor
        capped_v = sum(row.lost_at(row.top, steps) for row in rows if not row.fits(factor))
        fair_v = sum(row.lost_at(row.ask.least, steps) for row in rows if row.fits(factor))
        if fair_v <= 0.0 or shared.left - capped_v <= fair_v / _MADE_UP:
            return None
        factor = max(factor, fair_v / (shared.left - capped_v))
    return factor


def spent(
    ladders: Mapping[Key, Ladder],
    asked: Mapping[Key, Asked],
    steps: Mapping[Key, Step],
    floors: Mapping[Key, float],
    share: float,
) -> dict[Key, Step]:
    """The steps with conductors that only a shared sum asks for made thinner as far as a share of the sum bears.

    `floors` is the least that each may come to for other reasons than its requirements [mm2].
    """
    found = dict(steps)
    lost = _sums(asked)
    loads = _loads_of(lost)
    for unit in sorted(units(ladders, steps), key=lambda unit: (-steps[unit[0].key].high, unit[0].name)):
        while (thinner := _thinner(unit, asked, found, floors)) is not None:
            factor = found[unit[0].key].high / thinner.high
            tried = _with(lost, loads, [one.key for one in unit], factor, share)
            if tried is None:
                break
            lost |= tried
            found |= {one.key: one.step_of(thinner.high) for one in unit}
    return found


def violated(asked: Mapping[Key, Asked], steps: Mapping[Key, Step]) -> set[tuple[str, ...]]:
    """What these steps do not meet: requirements by item and rule, shared sums by their load."""
    found = {
        (*key, ask.rule)
        for key, one in asked.items()
        for ask in one.all
        if ask.shared is None and not steps[key].meets(ask.least, ask.most)
    }
    return found | {(load,) for load, (left, lost) in _sums(asked).items() if sum(lost.values()) > left}


def units(ladders: Mapping[Key, Ladder], steps: Mapping[Key, Step]) -> list[list[Ladder]]:
    """What changes together: all conductors of one type that have one size, or one thing by itself."""
    found: dict[tuple[str | Key, float], list[Ladder]] = {}
    for key, ladder in ladders.items():
        found.setdefault((ladder.type or key, steps[key].high), []).append(ladder)
    return list(found.values())


_Sums = dict[str, tuple[float, dict[Key, float]]]


def _sums(asked: Mapping[Key, Asked]) -> _Sums:
    """What every load may lose, and what it loses in each of the conductors that have steps."""
    found: _Sums = {}
    for key, one in asked.items():
        for ask in one.all:
            if ask.shared is not None:
                left, lost = found.setdefault(ask.shared.load, (ask.shared.left, {}))
                lost[key] = lost.get(key, 0.0) + ask.shared.own
                found[ask.shared.load] = (min(left, ask.shared.left), lost)
    return found


def _loads_of(sums: _Sums) -> Mapping[Key, list[str]]:
    """The loads in the sums of which each conductor has a part."""
    found: dict[Key, list[str]] = {}
    for load, (_, lost) in sums.items():
        for key in lost:
            found.setdefault(key, []).append(load)
    return found


def _with(
    sums: _Sums, loads: Mapping[Key, Sequence[str]], keys: Sequence[Key], factor: float, share: float
) -> _Sums | None:
    """The sums in which some conductors have a part, with so much more lost there; None where a load loses too much."""
    found: _Sums = {}
    for load in {load for key in keys for load in loads.get(key, ())}:
        left, lost = sums[load]
        more = {key: volts * (factor if key in keys else 1.0) for key, volts in lost.items()}
        if sum(more.values()) > share * left:
            return None
        found[load] = (left, more)
    return found


def _thinner(
    unit: Sequence[Ladder], asked: Mapping[Key, Asked], steps: Mapping[Key, Step], floors: Mapping[Key, float]
) -> Step | None:
    """The next thinner step of a unit, where nothing but shared sums asks for more."""
    first = unit[0]
    place = next(n for n, step in enumerate(first.steps) if step.high == steps[first.key].high)
    if not place or not any(one.shared for ladder in unit for one in _asks(asked, ladder)):
        return None
    least = max(max(floors.get(ladder.key, 0.0), _least(_asks(asked, ladder))) for ladder in unit)
    step = first.steps[place - 1]
    fits = all(any(one.high == step.high for one in ladder.steps) for ladder in unit)
    return step if fits and step.meets(least, step.high) else None


def _asks(asked: Mapping[Key, Asked], ladder: Ladder) -> Sequence[Requirement]:
    return asked[ladder.key].all if ladder.key in asked else ()


def _least(asks: Iterable[Requirement]) -> float:
    return max((ask.least for ask in asks if ask.shared is None), default=0.0)
