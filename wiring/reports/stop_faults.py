"""The faults of a stop for the terminal: gathered by what they lead to, or one by one with their stories."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from wiring.control.fault_record import Fault
from wiring.control.script import Moment
from wiring.control.verdicts import Verdict
from wiring.design.stop.account import StopAccount, Told
from wiring.design.stop.groups import FaultGroup
from wiring.reports.page import Page
from wiring.reports.stop_words import TITLES, released, stands
from wiring.wording import does

_LEFT_OUT = "Left out under the conditions of ISO 13849-2, but dangerous or open"
#: Wider tables of pairs are told in lines.
_WIDEST_MATRIX = 12


def print_groups(page: Page, groups: Sequence[FaultGroup]) -> None:
    """Every group: what it leads to, its members, how, and how to mend it."""
    for word in (Verdict.DANGEROUS, Verdict.UNDECIDED, Verdict.HIDDEN):
        _print_some(page, TITLES[word], [one for one in groups if one.verdict is word and not one.left_out])
    _print_some(page, _LEFT_OUT, [one for one in groups if one.left_out])


def _print_some(page: Page, title: str, groups: Sequence[FaultGroup]) -> None:
    if not groups:
        return
    page.blank()
    page.text(f"{title}:")
    for group in groups:
        members = ", ".join(fault.id for fault in group.members)
        if group.left_out:
            page.text(f"{members}: {_effect(group)} ({group.left_out})", 4, "  -")
            continue
        page.text(_effect(group), 4, "  -")
        if group.following:
            _print_pairs(page, group)
        else:
            page.text(members, 4)
        page.text("; ".join(group.how), 4)
        if group.mend:
            page.text(f"mend: {group.mend}", 4)


def _effect(group: FaultGroup) -> str:
    """What a group leads to, in half a sentence."""
    devices = " or ".join(group.devices)
    again = " or ".join(f"{name} is {'let go' if name in group.let_go else 'worked'}" for name in group.devices)
    standing = " or ".join(f"{name} {stands(name, group.let_go)}" for name in group.devices)
    stays = " or ".join(f"{name} {released(name, group.let_go)}" for name in group.devices)
    worked = f", {' and '.join(group.operators)} worked" if group.operators else ""
    race = "; the order of the contacts decides" if group.race else ""
    if group.reason:
        return f"{devices}{worked}: open because {group.reason}{race}"
    worked += ", the fault coming with the stop in" if group.while_stopped else ""
    verb = {
        Moment.DEMAND: (f"stays fed when {again} again", f"stay fed when {again} again"),
        Moment.RELEASE: (f"starts when {stays}", f"start when {stays}"),
        Moment.MAINS_ON: ("starts when the mains return", "start when the mains return"),
    }.get(group.moment or Moment.STOP, (f"stays fed while {standing}", f"stay fed while {standing}"))
    return f"{does(group.alive, *verb)}{worked}{race}"


def _print_pairs(page: Page, group: FaultGroup) -> None:
    """Which faults are dangerous together: once each, as a table where that is not too wide."""
    following = {fault.id: set(group.following[fault.id]) for fault in group.members}
    names = list(dict.fromkeys([*following, *(name for seconds in following.values() for name in sorted(seconds))]))
    if len(names) > _WIDEST_MATRIX or 2 * len(names) + max(map(len, names)) + 8 > page.width:
        for seconds, firsts in _alike(group.members, following).items():
            page.text(f"{', '.join(firsts)}; next {', '.join(seconds)}", 4)
        return
    wide = max(map(len, names))
    letters = [chr(ord("a") + n) for n in range(len(names))]
    page.lines([f"    {'':{wide + 2}} {' '.join(letters)}".rstrip()])
    for n, name in enumerate(names):
        marks = [
            "x" if other in following.get(name, ()) or name in following.get(other, ()) else "." for other in names
        ]
        page.lines([page.clean(f"    {letters[n]} {name:{wide}} {' '.join(marks)}")])


def _alike(members: Sequence[Fault], following: Mapping[str, set[str]]) -> dict[tuple[str, ...], list[str]]:
    """The faults that the same next ones make dangerous."""
    found: dict[tuple[str, ...], list[str]] = {}
    for fault in members:
        found.setdefault(tuple(sorted(following[fault.id])), []).append(fault.id)
    return found


def print_stories(page: Page, stop: StopAccount) -> None:
    """Every fault told step by step."""
    for word in (Verdict.DANGEROUS, Verdict.UNDECIDED, Verdict.HIDDEN, Verdict.SAFE):
        some = [one for one in stop.told if one.verdict.verdict is word and not one.verdict.fault.excluded]
        _print_told(page, TITLES[word], some)
    left_out = [one for one in stop.told if one.verdict.fault.excluded]
    _print_told(page, "Left out under the conditions of ISO 13849-2, but told", left_out)


def _print_told(page: Page, title: str, told: list[Told]) -> None:
    if not told:
        return
    page.blank()
    page.text(f"{title}:")
    for one in told:
        verdict = one.verdict
        worked = " and ".join(part for part, _ in verdict.operators)
        hands = f", {worked} worked" if worked else ""
        hands += ", coming with the stop in" if verdict.while_stopped else ""
        page.text(f"{verdict.fault.id} ({verdict.device}{hands}): {verdict.verdict}", 4, "  -")
        for number, step in enumerate(one.steps, 1):
            page.text(step, 9, f"    {number:>2}")
        if verdict.next:
            page.text(f"next: {', '.join(verdict.next[:3])}{' ...' if len(verdict.next) > 3 else ''}", 9)
        if verdict.race:
            page.text("race: the order of the contacts decides", 9)
        if verdict.reason:
            page.text(f"undecided because {verdict.reason}", 9)
        if verdict.fault.excluded:
            page.text(f"left out: {verdict.fault.excluded}", 9)
