"""The least standard sizes that pass, all at once, with what asks for each; all rules judge the plan with them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence

from msgspec import Struct

from wiring.changes.outcome import Outcome
from wiring.plan.fault import Refusal, nearest
from wiring.sizing.engine import Sizing, Wish, ladders_of, settle
from wiring.sizing.ladder import Key, Ladder, Step
from wiring.sizing.written import is_of_type, size_edits

Progress = Callable[[str], None]


class Suggestion(Struct, frozen=True):
    """One thing: its present step, the least that passes, and the next smaller one with the reason why it fails.

    `after` is "" where no step passes, `why` then the reason; `below` is "" where there is no smaller step.
    """

    sort: str
    name: str
    before: str
    after: str
    below: str
    why: str

    @property
    def changed(self) -> bool:
        """Whether another step than the present one is suggested."""
        return self.after not in ("", self.before)


class Suggestions(Struct, frozen=True):
    """All things that have steps, and the plan with every suggestion in it, solved and judged by all rules."""

    base: Outcome
    result: Outcome
    rows: tuple[Suggestion, ...]
    headroom: float

    @property
    def clear(self) -> bool:
        """Whether nothing at or above CAUTION stands in the resulting plan."""
        return not self.result.standing


def suggest(
    base: Outcome, headroom: float, names: Sequence[str] = (), progress: Progress = lambda _: None
) -> Suggestions:
    """The least standard steps of everything that has steps, or of what is named and what that asks of others.

    `headroom` is the share of a supply, transformer, fuse or breaker that stays free, 0 to below 1. Raises Refusal
    for a name without steps.
    """
    chosen = _chosen(ladders_of(base.design).values(), names)
    found = settle(base.design, Wish(headroom, anew=chosen or True), progress)
    edits = size_edits(found)
    rows = [row for key, row in _rows(found) if not chosen or key in chosen or row.changed]
    return Suggestions(base, base.changed(edits) if edits else base, tuple(rows), headroom)


def _chosen(ladders: Collection[Ladder], names: Sequence[str]) -> set[Key]:
    """The ladders of parts, conductors, wire types, or the cabinet's fan, by their names."""
    found: set[Key] = set()
    for name in names:
        keys = {one.key for one in ladders if name in (one.name, one.type, *one.subjects)}
        if not keys:
            known = [text for one in ladders for text in (one.name, one.type, *one.subjects) if text]
            expected = "a supply, transformer, fuse, breaker, conductor, wire type, or `enclosure`"
            raise Refusal(f"{name[:60]!r} has no steps of size", expected, "", nearest(name, known), complete=True)
        found |= keys
    return found


def _rows(found: Sizing) -> Iterator[tuple[Key, Suggestion]]:
    """One row for each ladder; wires that have the size of their type are one row together."""
    unmet = {one.ladder.key: one for one in found.unmet}
    heirs: dict[str, list[Ladder]] = {}
    for ladder in found.ladders.values():
        if is_of_type(found, ladder) and ladder.key not in unmet:
            heirs.setdefault(ladder.type, []).append(ladder)
    for key, ladder in found.ladders.items():
        members = heirs.get(ladder.type, []) if ladder.type else []
        if key in unmet:
            words = str(unmet[key])
            yield key, Suggestion(ladder.sort.value, ladder.name, ladder.present.words, "", "", words)
        elif not ladder.sort.shrinks and found.steps[key] is ladder.present:
            continue
        elif ladder not in members:
            yield key, _row(found, ladder.name, [ladder])
        elif ladder is members[0]:
            yield key, _row(found, f"type {ladder.type}", members)


def _row(found: Sizing, name: str, members: Sequence[Ladder]) -> Suggestion:
    first = members[0]
    step = found.steps[first.key]
    below, why = _below(found, members, step)
    return Suggestion(first.sort.value, name, first.present.words, step.words, below, why)


def _below(found: Sizing, members: Sequence[Ladder], step: Step) -> tuple[str, str]:
    """The next smaller step, and what it does not meet."""
    first = members[0]
    place = first.steps.index(step)
    if not place or not first.sort.shrinks:
        return "", ""
    asks = [ask for one in members if one.key in found.asked for ask in found.asked[one.key].all]
    binding = max(asks, key=lambda ask: ask.least, default=None)
    smaller = first.steps[place - 1]
    if binding is None or smaller.meets(binding.least, binding.most):
        return smaller.words, ""
    return smaller.words, f"{binding.rule}: {binding.why}"
