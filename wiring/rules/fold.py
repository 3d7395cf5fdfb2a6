"""The one pass of causes: what is accepted, what then folds under what, and what is told together.

Acceptances come first, so that accepting a root brings back all that it explained. Folding comes before grouping, so
that a group never stands for one half that is explained.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable, Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.findings import Atom, Finding, Reference, Scope, Signal
from wiring.plan.models import Acceptance
from wiring.rules.causes import TABLE
from wiring.rules.rule import Item


class Claim(Struct, frozen=True):
    """One thing found, as the pass sees it: its rule, how bad it is, what it answers for and what it rests on."""

    rule: str
    signal: Signal
    holds: Scope
    rests: tuple[Scope, ...]


def _rows() -> Mapping[str, tuple[tuple[str, str], ...]]:
    """By effect its roots, each with the kind of scope they share."""
    found: defaultdict[str, list[tuple[str, str]]] = defaultdict(list)
    for root, kind, effects in TABLE:
        for effect in effects:
            found[effect].append((root, kind))
    return {effect: tuple(roots) for effect, roots in found.items()}


_ROOTS_OF = _rows()


def explained(claims: Sequence[Claim], accepted: Collection[int]) -> dict[int, tuple[int, ...]]:
    """The claims that others explain: by their place in `claims`, the places of their roots.

    A root may itself be explained; one that is accepted, or that is less grave than the effect, explains nothing.
    """
    held: defaultdict[tuple[str, Atom], list[int]] = defaultdict(list)
    for n, claim in enumerate(claims):
        if n not in accepted:
            for atom in claim.holds:
                held[claim.rule, atom].append(n)
    found = {n: _roots(n, claim, claims, held) for n, claim in enumerate(claims) if n not in accepted}
    return {n: roots for n, roots in found.items() if roots}


def _roots(
    n: int, claim: Claim, claims: Sequence[Claim], held: Mapping[tuple[str, Atom], Iterable[int]]
) -> tuple[int, ...]:
    roots: set[int] = set()
    for item in claim.rests:
        near = {
            other
            for root, kind in _ROOTS_OF.get(claim.rule, ())
            for atom in item
            if atom[0] == kind
            for other in held.get((root, atom), ())
            if other != n and claims[other].signal.rank <= claim.signal.rank
        }
        if not near:
            return ()
        roots |= near
    return tuple(sorted(roots))


class Found(Struct, frozen=True):
    """One thing found, what is told of it alone, and its part in the pass."""

    item: Item
    alone: Finding
    claim: Claim


class Fold:
    """Things found under acceptances: `accepted` names the entry by which each is, `explained` the roots of each."""

    def __init__(self, found: Sequence[Found], acceptances: Sequence[Acceptance] = ()) -> None:
        self.found, self.acceptances = found, acceptances
        self.accepted: dict[int, int] = {}
        self.explained = explained([one.claim for one in found], ())
        while acceptances and self._accept_shown():
            self.explained = explained([one.claim for one in found], self.accepted)

    @property
    def unmatched(self) -> list[int]:
        """The acceptances that match nothing, by their place."""
        return sorted(set(range(len(self.acceptances))) - set(self.accepted.values()))

    def findings(self) -> list[Finding]:
        """Everything found, what shares its fate within a group told as one finding."""
        groups = [(members, self._told(members)) for members in self._groups()]
        told_in = {n: finding.reference for members, finding in groups for n in members}
        return [replace(finding, explained_by=self._roots_of(members, told_in)) for members, finding in groups]

    def _accept_shown(self) -> bool:
        """Accept what the report would show now; the effects of that are shown, and may be accepted, only then."""
        entries = {(entry.finding, frozenset(entry.part)): n for n, entry in enumerate(self.acceptances)}
        new: dict[int, int] = {}
        for members in self._groups():
            if members[0] in self.accepted or members[0] in self.explained:
                continue
            finding = self._told(members)
            entry = entries.get((finding.rule, frozenset(finding.subjects)))
            new |= {} if entry is None else dict.fromkeys(members, entry)
        self.accepted |= new
        return bool(new)

    def _groups(self) -> Iterator[list[int]]:
        groups: dict[Hashable, list[int]] = {}
        for n, one in enumerate(self.found):
            fate = self.accepted.get(n), n in self.explained
            groups.setdefault((one.claim.rule, one.item.group, fate), []).append(n)
        yield from groups.values()

    def _told(self, members: Sequence[int]) -> Finding:
        first = self.found[members[0]]
        entry = self.accepted.get(members[0])
        together = first.item.tell([self.found[n].item.detail for n in members]) if members[1:] else first.alone
        return together if entry is None else replace(together, accepted=self.acceptances[entry].reason)

    def _roots_of(self, members: Iterable[int], told_in: Mapping[int, Reference]) -> tuple[Reference, ...]:
        roots = sorted({root for n in members for root in self.explained.get(n, ())})
        return tuple(dict.fromkeys(told_in[root] for root in roots))
