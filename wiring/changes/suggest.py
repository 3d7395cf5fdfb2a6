"""The least standard sizes that pass, all at once, with what asks for each; all rules judge the plan with them."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from wiring.changes.outcome import Outcome, new_findings
from wiring.design.design import Design
from wiring.findings import Finding
from wiring.plan.fault import Refusal, nearest
from wiring.requirement import Requirement
from wiring.rules import cabinet_too_small
from wiring.sizing.cabinet_ladder import CABINET_KEY, cabinet_asked
from wiring.sizing.engine import ladders_of, settle
from wiring.sizing.ladder import Key, Ladder, Sort, Step
from wiring.sizing.records import SOURCES, Sizing, Unmet, Wish
from wiring.sizing.written import first_of, is_of_type, size_edits
from wiring.wording import listed

#: What asks that a thing stays as large as it is.
KEPT = "kept"
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
    wish = Wish(headroom, anew=chosen or True, extra=cabinet_asked(base.design) if CABINET_KEY in chosen else ())
    found, result = _proved(base, wish, progress)
    if not chosen and _speaks_of_cabinet(result) and (box := cabinet_asked(base.design)):
        found, result = _proved(base, replace(wish, extra=box), progress)
    rows = [row for key, row in _rows(found) if not chosen or key in chosen or row.changed]
    return Suggestions(base, result, tuple(rows), headroom)


def _speaks_of_cabinet(result: Outcome) -> bool:
    """Whether parts are said, or asked, not to go into the cabinet: only then it is laid out once more."""
    judged = result.judged
    rules = {finding.rule for finding in judged.findings} | {entry.rule for entry in judged.not_judged}
    return cabinet_too_small.RULE.slug in rules


def _proved(base: Outcome, wish: Wish, progress: Progress) -> tuple[Sizing, Outcome]:
    """The sizing with the plan that it comes to, which brings nothing that the plan does not have already.

    What shrinks may bring what no rule of size asks for. Where it does, some of it stays as large as it is: sources;
    or what a new finding speaks of, and the conductors there; or both; or everything that has shrunk.
    """
    first = best = _sized(base, wish, progress)
    new = least = _brought(base, first[1])
    found = first[0]
    smaller = [ladder for ladder in found.moved if found.steps[ladder.key].high < ladder.present.high]
    sources = [ladder for ladder in smaller if ladder.sort in SOURCES]
    beside = [ladder for ladder in smaller if _is_beside(found.design, ladder, new)]
    for held in (sources, beside, [*sources, *beside], smaller):
        if not least:
            break
        floors = tuple(_kept(ladder, new) for ladder in held)
        trial = _sized(base, replace(wish, extra=(*wish.extra, *floors)), progress) if floors else first
        brought = _brought(base, trial[1])
        if len(brought) < len(least):
            best, least = trial, brought
    return best


def _sized(base: Outcome, wish: Wish, progress: Progress) -> tuple[Sizing, Outcome]:
    found = settle(base.design, wish, progress)
    edits = size_edits(found)
    return found, base.changed(edits) if edits else base


def _brought(base: Outcome, result: Outcome) -> tuple[Finding, ...]:
    return new_findings(base.judged_beside(result), result) if result.standing else ()


def _kept(ladder: Ladder, new: Sequence[Finding]) -> Requirement:
    why = f"kept, for smaller sizes together bring {listed(sorted({finding.rule for finding in new}))}"
    return Requirement(KEPT, ladder.subjects[0], ladder.quantity, ladder.present.high, why=why)


def _is_beside(design: Design, ladder: Ladder, new: Sequence[Finding]) -> bool:
    """Whether findings speak of a thing, or it is a conductor at a part of which they do."""
    ends = (end for name in ladder.subjects for end in _ends(design, name))
    return bool({name for finding in new for name in finding.subjects} & {*ladder.subjects, *ends})


def _ends(design: Design, name: str) -> Sequence[str]:
    conductor = design.circuit.conductor.get(name)
    return [part for part, _ in conductor.ends] if conductor else ()


def _chosen(ladders: Collection[Ladder], names: Sequence[str]) -> set[Key]:
    """The ladders of parts, conductors, wire types, or the cabinet's fan, by their names."""
    found: set[Key] = set()
    for name in names:
        keys = {one.key for one in ladders if name in (one.name, one.type, *one.subjects)}
        if not keys:
            known = [text for one in ladders for text in (one.name, one.type, *one.subjects) if text]
            expected = "a supply, transformer, fuse, breaker, conductor, wire type, duct, or `enclosure`"
            raise Refusal(
                f"{name[:60]!r} is nothing in this plan, or has no steps of size",
                expected,
                "",
                nearest(name, known),
                complete=True,
            )
        found |= keys
    return found


def _rows(found: Sizing) -> Iterator[tuple[Key, Suggestion]]:
    """One row for each ladder; wires that have the size of their type are one row together."""
    unmet = {one.ladder.key: one for one in found.unmet}
    heirs: dict[str, list[Ladder]] = {}
    for ladder in found.ladders.values():
        if is_of_type(found, ladder) and ladder.key not in unmet:
            heirs.setdefault(ladder.type, []).append(ladder)
    hopeless = [one for one in found.unmet if one.ladder.sort is Sort.CONDUCTOR and one.need.least == inf]
    for key, ladder in found.ladders.items():
        members = heirs.get(ladder.type, []) if ladder.type else []
        if len(hopeless) > 1 and unmet.get(key) in hopeless:
            if unmet[key] is hopeless[0]:
                yield key, _no_size(hopeless)
        elif key in unmet:
            words = str(unmet[key])
            yield key, Suggestion(ladder.sort.value, ladder.name, ladder.present.words, "", "", words)
        elif not ladder.sort.shrinks and found.steps[key] is ladder.present:
            continue
        elif ladder not in members:
            yield key, _row(found, ladder.name, [ladder])
        elif ladder is members[0]:
            yield key, _row(found, f"type {ladder.type}", members)


def _no_size(hopeless: Sequence[Unmet]) -> Suggestion:
    """Conductors that no size helps have one root, the place that they lie in: one row tells them all."""
    names = [one.ladder.name for one in hopeless]
    sizes = list(dict.fromkeys(one.ladder.present.words for one in hopeless))
    why = f"no size of them is enough ({hopeless[0].ladder.name}: {hopeless[0].need.why})"
    return Suggestion(Sort.CONDUCTOR.value, first_of(names), first_of(sizes), "", "", why)


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
    return smaller.words, binding.why if binding.rule == KEPT else f"{binding.rule}: {binding.why}"
