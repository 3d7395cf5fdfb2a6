"""Mends that change how a plan is wired, tried on the plan itself: what does not mend it is not offered as a change.

A mend is kept where the plan with it no longer shows the root nor what the root explains, a milder notice apart, shows
nothing new at or above WARNING, and leaves no point with fewer protective devices in front of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cached_property

from msgspec.structs import replace

from wiring.changes.outcome import Outcome, Unreadable
from wiring.circuit.model import Node
from wiring.design.design import Design, in_state
from wiring.effort import TooMuchError, for_mends, limited
from wiring.findings import Finding, Mend, Report, Signal
from wiring.plan.edits import Edit
from wiring.plan.fault import Refusal
from wiring.rules import OF_LOADS, OF_STOPS
from wiring.sizing.mends import affordable, left_by_a_mend, remade, with_mends

#: So many are tried for one report, of its worst roots first: each costs about what a whole judgement does.
_MOST = 4


def with_tried_mends(design: Design, report: Report, roots: Sequence[Finding] | None = None) -> Report:
    """The report with mends worked out and tried on its plan: of the worst roots, or of all those that are given.

    One that fails is told as such where no other way is left.
    """
    if roots is None:
        with limited(for_mends(design.effort)):
            report = with_mends(design, report)
            return remade(report, _doubtful(report.roots), _Trials(design, report, affordable(design, _MOST)).mends)
    report = with_mends(design, report, roots)
    names = {root.reference for root in roots}
    wanted = _doubtful(root for root in report.roots if root.reference in names)
    return remade(report, wanted, _Trials(design, report, sum(len(root.mends) for root in wanted)).mends)


def _doubtful(roots: Iterable[Finding]) -> list[Finding]:
    """Those above NOTICE with a mend that was not tried."""
    grave = (root for root in roots if root.signal is not Signal.NOTICE)
    return [root for root in grave if any(one.edits and not one.tried for one in root.mends)]


class _Trials:
    """The trials of one report; the same edits are tried once for each root."""

    def __init__(self, design: Design, report: Report, tries: int) -> None:
        self.design, self.report, self.left = design, report, tries
        source, folder = design.reading.source, design.reading.folder
        self.base = Outcome("\n".join(source.lines), source.file, folder, design, design.reading.sources)

    def mends(self, root: Finding) -> Iterator[Mend]:
        """Those that hold, those in words, and those that are left untried; else what came of the first."""
        failed = ""
        kept = 0
        for mend in root.mends:
            if mend.edits and not mend.tried and self.left > 0:
                self.left -= 1
                try:
                    remains = self._remains(root, mend.edits)
                    mend = replace(mend, tried=True)
                except TooMuchError:
                    self.left, remains = 0, ""
                if remains:
                    failed = failed or f"Tried without success: {mend.words.rstrip('.')}; {remains}."
                    continue
            kept += 1
            yield mend
        if failed and not kept:
            yield Mend(failed)

    def _remains(self, root: Finding, edits: Sequence[Edit]) -> str:
        """What speaks against some edits as a mend of a root, "" where nothing does."""
        gone = (root, *self.report.effects_of(root))
        try:
            after = self._changed(edits)
        except (Refusal, Unreadable):
            return "the plan cannot be written so"
        own = dict.fromkeys(one.rule for one in gone)
        return (
            left_by_a_mend(after, tuple(own), self.report, gone)
            or self._bared(after, root)
            or left_by_a_mend(after, OF_LOADS, self.report, gone)
            or left_by_a_mend(after, OF_STOPS, self.report, gone)
        )

    def _changed(self, edits: Sequence[Edit]) -> Design:
        after = self.base.changed(edits).design
        state = self.design.operation.only_state
        return after if state is None else in_state(after, state)

    @cached_property
    def _fronts(self) -> Mapping[Node, frozenset[str]]:
        return devices_in_front(self.design)

    def _bared(self, after: Design, root: Finding) -> str:
        """A point that has lost a protective device in front of it."""
        fronts = devices_in_front(after)
        for node, devices in self._fronts.items():
            lost = sorted(devices - fronts.get(node, devices))
            if lost and node[0] not in root.subjects:
                return f"{', '.join(lost)} no longer in front of {node[0]}"
        return ""


def devices_in_front(design: Design) -> dict[Node, frozenset[str]]:
    """The protective devices in front of every point that a source reaches, over the way of least resistance."""
    hot = design.short_circuits.paths.hot
    return {node: frozenset(name for name in way.devices if name in design.parts) for node, way in hot.items()}
