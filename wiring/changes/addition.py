"""One change from the plan's file to everything that is told of it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from msgspec import Struct

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import AxisParts, find_axis, parts_of
from wiring.changes.compare import Comparison, compare
from wiring.changes.lines import lines_in, make_changes
from wiring.changes.outcome import Outcome, open_plan
from wiring.changes.proposals import Proposal, proposals
from wiring.changes.tried_mends import with_tried_mends
from wiring.changes.wanted import Addition, Wanted, without_place
from wiring.findings import Finding
from wiring.plan.fault import Refusal, nearest
from wiring.rules.run import judge

Progress = Callable[[str], None]


class Change(Struct, frozen=True):
    """All that is told of a change. `headline` says what was asked, `added` what came to the plan for it, or what was
    changed in it where `only_changed`.

    `unplaced` found no place, `remarks` are to be noted; `mends` clear what is new in the comparison.
    """

    headline: str
    comparison: Comparison
    mends: Sequence[Proposal] = ()
    added: Sequence[str] = ()
    unplaced: Sequence[str] = ()
    remarks: Sequence[str] = ()
    only_changed: bool = False

    @property
    def new(self) -> tuple[Finding, ...]:
        """What is new in the changed plan, and what is missing for what was added."""
        return (*self.comparison.new, *map(without_place, self.unplaced))

    @property
    def outcome(self) -> Outcome:
        """The changed plan."""
        return self.comparison.after


def _added_words(addition: Addition, axis: AxisParts, on: str) -> list[str]:
    drive = axis.axis.drive.name
    drives = [new for old, new in addition.parts if old == drive]
    rest = [new for old, new in addition.parts if new not in (*addition.motors, *drives)]
    behind = f", {', '.join(rest)}" if rest else ""
    fed = on or axis.supply or "the mains"
    words = [f"{', '.join(addition.motors)} on {', '.join(drives)}{behind}, fed by {fed}"]
    if addition.conductors:
        words.append(f"wires and cables {', '.join(addition.conductors)}")
    return words


def add_motor(
    plan: Path,
    like: str,
    *,
    on: str = "",
    motor: str = "",
    count: int = 1,
    progress: Progress = lambda _: None,
) -> Change:
    """`count` axes more like the one of a motor or drive, solved, with the least changes that clear what they bring.

    `on` is another supply than that of the first, `motor` a library part. Raises Unreadable for a plan that is none,
    Refusal for a wish that cannot be met.
    """
    before = open_plan(plan)
    axis = parts_of(before.design, find_axis(before.design, like))
    wanted = Wanted(motor, on)
    addition = add_axes(before.design, axis, count, wanted)
    after = before.changed(addition.edits)
    before = before.judged_beside(after)
    comparison = compare(before, after)
    mends = proposals(before, after, addition, axis, wanted, count, progress)
    noun = "axis" if count == 1 else "axes"
    return Change(
        f"{count} {noun} more like {like} in {plan}",
        comparison,
        mends,
        _added_words(addition, axis, on),
        addition.unplaced,
        addition.remarks,
    )


def change_plan(
    plan: Path,
    lines: Sequence[str],
    source: Path | None = None,
    mend: tuple[str, str] | None = None,
    *,
    progress: Progress = lambda _: None,
) -> Change:
    """The changes that the lines write, those of a file first, solved; `source` is a YAML list of lines.

    Raises Unreadable for a plan that is none, before or after, Refusal for a line that does not read.
    """
    wanted = [*(lines_in(source) if source else ()), *lines]
    if mend is not None:
        return _mended(plan, wanted, *mend)
    if not wanted:
        raise Refusal("no change is given", 'for example "M1.work.torque=2.5 N·m", or --from FILE', complete=True)
    before = open_plan(plan)
    after, remarks = make_changes(before, wanted)
    comparison = compare(before, after)
    noun = "change" if len(wanted) == 1 else "changes"
    return Change(
        f"{len(wanted)} {noun} of {plan}",
        comparison,
        proposals(before, after, progress=progress),
        wanted,
        (),
        remarks,
        only_changed=True,
    )


def _mended(plan: Path, lines: Sequence[str], rule: str, part: str) -> Change:
    """The plan with the first mend of a finding that is an edit; Refusal where there is none."""
    if lines:
        raise Refusal("--mend and other changes cannot go together", "one of the two", complete=True)
    before = open_plan(plan)
    report = judge(before.design)
    found = [one for one in report.roots if one.rule == rule and part in one.subjects]
    if not found:
        near = nearest(rule, [one.rule for one in report.roots])
        expected = "the rule of a finding that `check` prints, and a name that it speaks of"
        raise Refusal(f"the plan has no finding {rule[:60]} about {part[:60]}", expected, "", near, complete=True)
    tried = with_tried_mends(before.design, report, found)
    names = {one.reference for one in found}
    ways = [way for one in tried.roots if one.reference in names for way in one.mends if way.edits]
    if not ways:
        raise Refusal(f"no mend of {rule} about {part} is a change of the plan", "a change of your own", complete=True)
    comparison = compare(before, before.changed(ways[0].edits))
    return Change(f"A mend of {rule} in {plan}", comparison, (), [ways[0].words.rstrip(".")], only_changed=True)
