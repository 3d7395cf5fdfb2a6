"""What a rule says: a finding, or that it could not judge and what is missing. Data only; printers are in reports."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum
from typing import Any

from msgspec import Struct, field

from wiring.plan.edits import Edit
from wiring.plan.source import Place
from wiring.requirement import Requirement
from wiring.rulebooks.citation import Limit, Source


class Signal(StrEnum):
    """Signal words as ANSI Z535.4 defines them; the order of the members is worst first."""

    DANGER = "DANGER"  # will kill or seriously injure
    WARNING = "WARNING"  # could kill or seriously injure
    CAUTION = "CAUTION"  # could injure lightly
    NOTICE = "NOTICE"  # harm to things only

    @property
    def rank(self) -> int:
        """0 for the worst."""
        return list(Signal).index(self)


class Number(Struct, frozen=True):
    """One figure of a finding, `value` in the SI `unit` named; `remark` says where it stands or in which state.

    `source` is that of the table row on which the figure rests, None for one that is given or solved.
    """

    name: str
    value: float
    unit: str
    remark: str = ""
    source: Source | None = None


class Cause(Struct, frozen=True):
    """Another place in the plan that takes part in the fault, with what it is there."""

    place: Place
    remark: str


#: What a finding answers for or rests on: a kind of scope ("part", "conductor", "supply" …) and an id within it.
Atom = tuple[str, str]
#: A set of atoms any one of which serves.
Scope = frozenset[Atom]


class Reference(Struct, frozen=True):
    """A finding named from elsewhere: by its rule and its whole list of subjects."""

    rule: str
    subjects: tuple[str, ...]


class Mend(Struct, frozen=True):
    """A way to mend, in one sentence with its numbers.

    `edits` of the plan carry it out; `asks` are what it wants of sizes. With neither a person must decide how. One that
    is `tried` was made on the plan that it is told of, and all rules judged that again.
    """

    words: str
    edits: tuple[Edit, ...] = ()
    asks: tuple[Requirement, ...] = ()
    tried: bool = False


class Finding(Struct, frozen=True):
    """One fault of the plan.

    `subjects` are ids of parts, conductors, stops or states, the one to change first. `summary` is one sentence.
    `mends` are ways to mend, the least change first. `accepted` is the builder's reason, or None. `clause`
    is what its rule rests on under the rulebook of the plan.

    `holds` are the atoms that it answers for as a root, and `rests` the items it rests on as an effect, each a scope;
    None stands for its subjects. `explained_by` names the roots under which it is folded.
    """

    rule: str
    signal: Signal
    subjects: tuple[str, ...]
    summary: str
    place: Place | None = None
    because: tuple[Cause, ...] = ()
    numbers: tuple[Number, ...] = ()
    limit: Limit | None = None
    harm: str = ""
    mends: tuple[Mend, ...] = ()
    accepted: str | None = None
    clause: Source | None = None
    holds: Scope | None = None
    rests: tuple[Scope, ...] | None = None
    explained_by: tuple[Reference, ...] = ()

    @property
    def mend(self) -> tuple[str, ...]:
        """The ways to mend, each a sentence."""
        return tuple(mend.words for mend in self.mends)

    @property
    def reference(self) -> Reference:
        """What names this finding."""
        return Reference(self.rule, self.subjects)


class NotJudged(Struct, frozen=True):
    """A check that could not be made: `missing` says which value is needed, in words for the builder.

    `signal` is the gravest word of a finding that may hide behind it, so that the gravest questions come first.
    `accepted` is the builder's reason to leave it open, or None.
    """

    rule: str
    subjects: tuple[str, ...]
    missing: str
    place: Place | None = None
    signal: Signal = Signal.NOTICE
    accepted: str | None = None


class Verdict(StrEnum):
    """The whole plan in a word: stop (a DANGER or WARNING stands), mend (a CAUTION stands), ask (a question is open
    behind which one of the first two may hide), clear."""

    STOP = "stop"
    MEND = "mend"
    ASK = "ask"
    CLEAR = "clear"


class Report(Struct, frozen=True):
    """Everything that `check` found, ready for any printer.

    `figures` is the computed part of the JSON report (supplies, conductors, protection, stops, enclosure), plain data.
    `crashed` names the rules that failed themselves; `quiet` counts the rules that ran and found nothing.
    """

    plan: str
    rulebook: str
    findings: tuple[Finding, ...]
    not_judged: tuple[NotJudged, ...]
    figures: Mapping[str, Any] = field(default_factory=dict)
    crashed: tuple[str, ...] = ()
    quiet: int = 0

    @property
    def standing(self) -> tuple[Finding, ...]:
        """The findings that the builder has not accepted; those that another one explains are among them."""
        return tuple(finding for finding in self.findings if finding.accepted is None)

    @property
    def roots(self) -> tuple[Finding, ...]:
        """Those of them that no other finding explains."""
        return tuple(finding for finding in self.standing if not finding.explained_by)

    def effects_of(self, root: Finding) -> tuple[Finding, ...]:
        """What a finding explains, itself or through what it explains, in the order of the report."""
        names = {root.reference}
        found: list[Finding] = []
        while more := [one for one in self.findings if names & set(one.explained_by) and one not in found]:
            found += more
            names |= {one.reference for one in more}
        return tuple(one for one in self.findings if one in found)

    @property
    def untried(self) -> int:
        """How many of the changes that are named as mends above NOTICE were not tried on the plan."""
        grave = (root for root in self.roots if root.signal is not Signal.NOTICE)
        return sum(bool(mend.edits) and not mend.tried for root in grave for mend in root.mends)

    @property
    def open_questions(self) -> tuple[NotJudged, ...]:
        """What was not judged and nobody accepted, where a DANGER or WARNING may hide behind it."""
        return tuple(one for one in self.not_judged if one.accepted is None and one.signal.rank <= Signal.WARNING.rank)

    @property
    def verdict(self) -> Verdict:
        """The verdict over what is not accepted. A crashed rule judges nothing, so it cannot leave a plan clear."""
        worst = min((finding.signal.rank for finding in self.standing), default=len(Signal))
        if worst <= Signal.WARNING.rank:
            return Verdict.STOP
        if worst == Signal.CAUTION.rank or self.crashed:
            return Verdict.MEND
        return Verdict.ASK if self.open_questions else Verdict.CLEAR
