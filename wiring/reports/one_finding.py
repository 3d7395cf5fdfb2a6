"""One finding on a page: hazard, places with their entries, numbers, harm, way to mend."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.findings import Finding
from wiring.reports.lines import cells, indented, shortened, wrapped
from wiring.reports.page import Page
from wiring.reports.words import figure, limit_words, number_words, source_words
from wiring.reports.written import Setting, Spot, told_places

_INDENT = 9
_TITLE_LEAST = 24
_LABEL_MOST = 20
_REMARK_LEAST = 20
_SUBJECT_ROOM = 40
_CAUSES_MOST = 8

#: Label, value, remark.
_Row = tuple[str, str, str]


def print_finding(page: Page, finding: Finding, title: str, setting: Setting, effects: Sequence[Finding] = ()) -> None:
    """The whole finding, and what follows from it in short; `title` names the fault in general, "" where it has no
    other name than its summary."""
    print_heading(page, finding, title or finding.summary)
    if title:
        page.text(finding.summary, _INDENT)
    page.blank()
    _print_body(page, finding, setting, effects)


def print_heading(page: Page, finding: Finding, title: str) -> None:
    """The signal word and the title, the rule's name at the right edge or, where that is too narrow, below."""
    page.signal(finding.signal, _heading(page, finding, title))


def subject_words(finding: Finding) -> str:
    """The subjects of a finding, long names shortened."""
    return ", ".join(shortened(name, _SUBJECT_ROOM) for name in finding.subjects)


def _heading(page: Page, finding: Finding, title: str) -> list[str]:
    title, slug = page.clean(title), page.clean(finding.rule)
    room = page.width - _INDENT - 2 - cells(slug)
    if room < _TITLE_LEAST:
        return [*indented(title, page.width, _INDENT, finding.signal), *indented(slug, page.width, _INDENT)]
    first, *rest = wrapped(title, room)
    lead = f"{finding.signal:<{_INDENT}}{first}"
    gap = page.width - cells(lead) - cells(slug)
    return [f"{lead}{' ' * gap}{slug}", *(" " * _INDENT + line for line in rest)]


def _spots(finding: Finding) -> list[Spot]:
    own = [Spot(finding.place)] if finding.place else []
    return own + [Spot(cause.place, cause.remark) for cause in finding.because[:_CAUSES_MOST]]


def _print_body(page: Page, finding: Finding, setting: Setting, effects: Sequence[Finding]) -> None:
    """Places, figures and advice, all behind labels of one width."""
    book = setting.book
    rows = [(number.name, figure(number.value, number.unit, book), number_words(number)) for number in finding.numbers]
    if finding.limit:
        rows.append(("Limit", figure(finding.limit.value, finding.limit.unit, book), limit_words(finding.limit)))
    rows = [(_label(page, label), page.clean(value), page.clean(remark)) for label, value, remark in rows]
    advice = _advice(finding, effects)
    label_room = max(cells(label) for label in ("Names", *(row[0] for row in rows), *(entry[0] for entry in advice)))
    value_room = max([0, *(cells(value) for _, value, _ in rows)])
    if finding.subjects:
        page.text(subject_words(finding), label_room + 4, "  Names")
    page.lines(told_places(_spots(finding), setting, label_room + 4, "  At"))
    for row in rows:
        _print_row(page, row, label_room, value_room)
    for label, text in advice:
        page.text(text, label_room + 4, f"  {label}")


def _label(page: Page, name: str) -> str:
    shown = shortened(page.clean(name), _LABEL_MOST)
    return shown[:1].upper() + shown[1:]


def _print_row(page: Page, row: _Row, label_room: int, value_room: int) -> None:
    """A row of the figures; the remark goes below where too little is left beside the value."""
    label, value, remark = row
    value_start = 2 + label_room + 2
    remark_start = value_start + value_room + 2
    lead = f"  {label}{' ' * (label_room - cells(label))}  {' ' * (value_room - cells(value))}{value}"
    if remark and page.width - remark_start >= _REMARK_LEAST:
        page.lines(indented(remark, page.width, remark_start, lead))
        return
    page.lines([lead] if cells(lead) <= page.width else indented(value, page.width, value_start, f"  {label}"))
    page.lines(indented(remark, page.width, value_start) if remark else [])


def _advice(finding: Finding, effects: Sequence[Finding]) -> list[tuple[str, str]]:
    clause = [("Clause", source_words(finding.clause))] if finding.clause and not finding.limit else []
    harm = [("Harm", finding.harm)] if finding.harm else []
    mend = [("Mend" if number == 0 else "or", way) for number, way in enumerate(finding.mend)]
    follows = [("Effects", effect_words(effects))] if effects else []
    return [*clause, *harm, *mend, *follows, ("Read", f"wiring rule {finding.rule}")]


def effect_words(effects: Sequence[Finding]) -> str:
    """What follows from a finding, each rule once with the names of all that it speaks of."""
    by_rule: dict[tuple[str, str], list[str]] = {}
    for one in effects:
        by_rule.setdefault((one.signal, one.rule), []).append(", ".join(one.subjects))
    return "; ".join(f"{signal} {rule} ({'; '.join(names)})" for (signal, rule), names in by_rule.items())
