"""A plan's text, solved and judged: what a change starts from and what it comes to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property
from pathlib import Path

from msgspec import Struct, field
from msgspec.structs import replace

from wiring.changes.text_edits import apply
from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.findings import Finding, NotJudged, Signal
from wiring.plan.edits import AddItem, Edit, SetValue, scalar
from wiring.plan.fault import Fault, Refusal
from wiring.plan.source import Source
from wiring.plan.syntax import decode, read_bytes, shown_name
from wiring.rules import SLUGS, is_about_stops, rule_module
from wiring.rules.run import tell

#: The sections of a plan that may stand in lists of their own.
_LISTED = ("wires", "cables")
Key = tuple[str, tuple[str, ...]]


class Unreadable(Exception):  # noqa: N818 - the plan is at fault, not the program
    """The plan cannot be read: its faults, and the files that they stand in. `noun` is what it is."""

    def __init__(self, faults: Sequence[Fault], sources: Mapping[str, Source], name: str, noun: str = "plan") -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults, self.sources, self.name, self.noun = tuple(faults), sources, name, noun


class Judged(Struct, frozen=True):
    """What the rules say of a plan, without the figures that a report carries; findings that are accepted left out.

    `folded` are those that follow from one of `findings`.
    """

    findings: tuple[Finding, ...]
    not_judged: tuple[NotJudged, ...]
    folded: tuple[Finding, ...] = ()


def judged(design: Design, slugs: Sequence[str] = SLUGS, *, starts: bool = False) -> Judged:
    """The findings of these rules at or above CAUTION, worst first. A rule that fails itself is one of them.

    With `starts` those on what opens at a start count at any signal word.
    """
    told = tell(design, slugs)
    standing = [finding for finding in told.findings if _stands(finding, starts)]
    standing.sort(key=lambda finding: (finding.signal.rank, finding.rule, finding.subjects))
    unknown = sorted(told.not_judged, key=lambda one: (one.rule, one.subjects, one.missing))
    apart = [[one for one in standing if bool(one.explained_by) is folded] for folded in (False, True)]
    return Judged(tuple(apart[0]), tuple(unknown), tuple(apart[1]))


def _stands(finding: Finding, starts: bool) -> bool:
    if finding.accepted is not None:
        return False
    return finding.signal.rank <= Signal.CAUTION.rank or (starts and _tells_of_size(finding))


def _tells_of_size(finding: Finding) -> bool:
    return finding.rule in SLUGS and rule_module(finding.rule).RULE.notice_of_size


def is_new(finding: Finding, known: Iterable[Finding]) -> bool:
    """Whether no known finding of the same rule covers all that this one speaks of.

    What is lost on a way is told at its worst conductor, which may be another one after a change: its loads count.
    """
    same = [set(other.subjects) for other in known if other.rule == finding.rule]
    if finding.rule in SLUGS and rule_module(finding.rule).RULE.told_at_worst:
        return not set(finding.subjects[1:]) <= set().union(*same)
    return not any(set(finding.subjects) <= one for one in same)


class Outcome(Struct, frozen=True, dict=True):
    """A plan's text with its design; it is judged when that is asked for.

    `lists` are the lists of wires and cables that changed, by their path, with what they hold now.
    """

    text: str
    file: str
    folder: Path
    design: Design
    sources: Mapping[str, Source]
    lists: Mapping[str, bytes] = field(default_factory=dict)
    slugs: Sequence[str] = SLUGS

    @cached_property
    def judged(self) -> Judged:
        """What the rules of `slugs` say: all of them, where nothing else is asked."""
        return judged(self.design, self.slugs)

    @cached_property
    def standing(self) -> Mapping[Key, Finding]:
        """The findings at or above CAUTION that nobody has accepted, by rule and subjects."""
        return {(finding.rule, finding.subjects): finding for finding in self.judged.findings}

    def judged_beside(self, after: Outcome) -> Outcome:
        """This plan, judged by what it takes to tell what `after`, which only adds to it, brings anew.

        The rules about stops take longest. What is added mends no stop, so where they say nothing of `after` they are
        not asked about this plan.
        """
        spoken = {finding.rule for finding in after.judged.findings}
        spoken |= {entry.rule for entry in after.judged.not_judged}
        return replace(self, slugs=[slug for slug in SLUGS if slug in spoken or not is_about_stops(slug)])

    def changed(self, edits: Sequence[Edit]) -> Outcome:
        """The plan with the edits made, and the lists that it names where they speak of those.

        Raises Unreadable where what comes out is no plan, Refusal for an edit that cannot be made.
        """
        apart = {section: path for section in _LISTED if (path := self.list_of(section))}
        own = [edit for edit in edits if not _of_list(edit, apart)]
        lists = dict(self.lists)
        for section, path in apart.items():
            wanted = [edit for edit in edits if edit.path[0] == section and _of_list(edit, apart)]
            if wanted:
                from wiring.changes.list_edits import apply_to_list

                lists[path] = apply_to_list(Path(path), self.list_bytes(path), section, wanted)
        try:
            return outcome_of(apply(self.text, own), self.file, self.folder, lists)
        except Unreadable as error:
            raise Unreadable(error.faults, error.sources, error.name, "changed plan") from None

    def list_of(self, section: str) -> str:
        """The path of the list that holds the wires or cables, "" where they stand in the plan."""
        node = self.design.reading.node(section)
        return "" if node is None or node.file == self.design.reading.source.file else node.file

    def list_bytes(self, path: str) -> bytes:
        """What a list holds, with its changes. Raises Refusal where it cannot be read any more."""
        if path in self.lists:
            return self.lists[path]
        data = read_bytes(Path(path))
        if isinstance(data, Fault):
            raise Refusal(f"{path}: {data.summary}", data.expected, complete=True)
        return data


def new_findings(before: Outcome, after: Outcome) -> tuple[Finding, ...]:
    """What stands in the changed plan and did not in the first one."""
    return brought(before.judged, after.judged)


def brought(before: Judged, after: Judged) -> tuple[Finding, ...]:
    """What the second judgement tells and the first did not, also where it follows from what stood before."""
    new = [finding for finding in after.findings if is_new(finding, before.findings)]
    roots = {(finding.rule, finding.subjects) for finding in new}
    for finding in after.folded:
        told = any((root.rule, root.subjects) in roots for root in finding.explained_by)
        if not told and is_new(finding, (*before.findings, *before.folded)):
            new.append(finding)
    return tuple(new)


def _of_list(edit: Edit, apart: Mapping[str, str]) -> bool:
    """Whether an edit speaks of what stands in a list; where the list lies is said in the plan."""
    return edit.path[0] in apart and (len(edit.path) > 1 or isinstance(edit, AddItem))


def outcome_of(text: str, file: str, folder: Path, lists: Mapping[str, bytes] | None = None) -> Outcome:
    """The outcome of a text; `file` is what reports call it, `folder` where files that it names lie.

    `lists` are lists of wires or cables by their path, in place of what the files there hold.
    """
    loaded = load_text(text, file, folder, lists)
    if loaded.design is None:
        raise Unreadable(loaded.faults, loaded.sources, loaded.name)
    return Outcome(text, file, folder, loaded.design, loaded.sources, lists or {})


def open_plan(path: Path) -> Outcome:
    """The plan of a file. Raises Unreadable with its faults."""
    data = read_bytes(path)
    name = shown_name(path)
    text = data if isinstance(data, Fault) else decode(name, data)
    if isinstance(text, Fault):
        raise Unreadable((text,), {}, name)
    return outcome_of(text, name, path.parent)


def written_at(outcome: Outcome, path: Path) -> tuple[str, dict[Path, bytes]]:
    """The text of a plan as it stands at a path, and the lists that changed, each with its own path beside it.

    In the place of the plan itself the lists keep theirs; anywhere else they get the new plan's name before their own.
    Raises Refusal where the plan cannot be read there, for want of other files that it names.
    """
    text, files = outcome.text, {}
    same = path.absolute() == Path(outcome.file).absolute()
    for section in _LISTED:
        old = outcome.list_of(section)
        if old not in outcome.lists:
            continue
        new = Path(old) if same else path.parent / f"{path.stem}-{Path(old).name}"
        files[new] = outcome.lists[old]
        if not same:
            text = apply(text, [SetValue((section,), scalar(new.name))])
    try:
        outcome_of(text, str(path), path.parent, {str(place): data for place, data in files.items()})
    except Unreadable as error:
        problem = f"the plan cannot be read as {path}: {error.faults[0].summary}"
        raise Refusal(problem, "a place beside the files that the plan names", complete=True) from None
    return text, files
