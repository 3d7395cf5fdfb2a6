"""A report in one screen: the verdict, what to do first, one block a rule as deep as there is room, all counts.

Every DANGER and WARNING is named whatever the room; what is left out is counted, and `--all` prints it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from wiring.findings import Finding, NotJudged, Report, Signal, Verdict
from wiring.plan.source import Source
from wiring.plan.whereabouts import Whereabouts
from wiring.reports import figures
from wiring.reports.blocks import DEEPEST, Block, blocks_of, command_of, print_block
from wiring.reports.lines import shortened
from wiring.reports.order import merged, worst_first
from wiring.reports.page import Grid, Page
from wiring.reports.rule_text import RuleText, titles
from wiring.reports.terminal import missing_in_short, print_cautions, print_crashed, print_measured, summary_words
from wiring.reports.words import reference_words, verdict_words
from wiring.reports.written import Setting, place_words
from wiring.wording import counted

#: Lines of a page that a person sees at once, more or less.
SCREEN = 60
_SUPPLIES_MOST = 3
_ACCEPTED_MOST = 3
#: Lines for open questions while findings stand beside them.
_OPEN_BESIDE = 6


def render_screen(
    report: Report,
    sources: Mapping[str, Source],
    *,
    width: int,
    colour: bool,
    rules: Iterable[RuleText] = (),
    encoding: str = "utf-8",
) -> str:
    """The report in about 60 lines of at most `width` columns (32 at the least), escapes only with `colour`."""
    setting = Setting(Whereabouts(sources), report.plan, max(width, 32), encoding, report.rulebook)

    def page() -> Page:
        return Page(width, encoding)

    head, foot = page(), page()
    ordered = worst_first(report.roots)
    _print_head(head, report, ordered, setting)
    print_crashed(foot, report.crashed)
    _print_untried(foot, report.untried)
    _print_supplies(foot, report)
    print_measured(foot, report)
    _print_counts(foot, report)
    print_cautions(foot)
    blocks = blocks_of(report, ordered)
    beside = report.verdict is not Verdict.ASK
    questions = page()
    _print_open(questions, report.open_questions, _OPEN_BESIDE if beside else SCREEN - head.height - foot.height)
    room = SCREEN - head.height - foot.height - questions.height - 2
    names = titles(rules)

    grave = sum(block.signal is not Signal.NOTICE for block in blocks)
    first = sum(block.signal.rank <= Signal.WARNING.rank for block in blocks)

    def told(block: Block, depth: int) -> Page:
        one = page()
        print_block(one, block, depth, names, setting)
        return one

    pages = _fitted(blocks, told, room, grave)
    for part in (pages[:first], [questions], pages[first:], [foot]):
        for one in part:
            head.append(one)
        head.blank()
    return head.render(colour).rstrip("\n") + "\n"


def render_short(report: Report, *, width: int, colour: bool, encoding: str = "utf-8") -> str:
    """The verdict, and a line for each rule above NOTICE, for a report among others."""
    page = Page(width, encoding)
    page.text(f"Verdict: {str(report.verdict).upper()}")
    grave = [one for one in worst_first(report.roots) if one.signal is not Signal.NOTICE]
    setting = Setting(Whereabouts({}), report.plan, page.width, encoding)
    for block in blocks_of(report, grave):
        print_block(page, block, 0, {}, setting)
    print_crashed(page, report.crashed)
    page.blank()
    return page.render(colour)


def _fitted(blocks: Sequence[Block], told: Callable[[Block, int], Page], room: int, grave: int) -> list[Page]:
    """The page of every block: all above NOTICE grow by one depth, the worst first, as long as the room lasts; what is
    left goes to the notices."""
    pages = [told(block, 0) for block in blocks]
    used = sum(page.height for page in pages)
    steps = [(depth, n) for depth in range(1, DEEPEST + 1) for n in range(grave)]
    for depth, n in [*steps, *((1, n) for n in range(grave, len(blocks)))]:
        deeper = told(blocks[n], depth)
        if used - pages[n].height + deeper.height > room:
            if n < grave:
                break
            continue
        used += deeper.height - pages[n].height
        pages[n] = deeper
    return pages


def _print_head(page: Page, report: Report, ordered: Sequence[Finding], setting: Setting) -> None:
    page.text(f"Verdict: {verdict_words(report)}")
    page.text(summary_words(report))
    if ordered and ordered[0].signal is not Signal.NOTICE:
        first = ordered[0]
        where = place_words(first.place, setting) if first.place else ", ".join(first.subjects)
        page.text(f"Do first: {first.rule}, {where}.")
        if command := command_of(first, report.plan):
            page.text(command, 4)
    page.blank()


def _print_open(page: Page, questions: tuple[NotJudged, ...], most: int) -> None:
    """The questions that must be answered, or accepted, before a verdict can be clear, in about so many lines."""
    if not questions:
        return
    page.text("Open, and a DANGER or WARNING may hide behind each:")
    entries = merged(questions)
    for number, entry in enumerate(entries):
        if page.height >= most - 1 and number < len(entries) - 1:
            page.text(f"and {counted(len(entries) - number, 'question')} more: list with --all", 2)
            break
        page.text(f"{missing_in_short(entry)} ({entry.rule})", 4, "  -")
    page.blank()


def _print_untried(page: Page, untried: int) -> None:
    """That a change made by hand may harm where nobody has tried it."""
    if untried:
        noun, verb = ("change", "was") if untried == 1 else ("changes", "were")
        page.text(f"{untried} {noun} under Mend {verb} not tried yet; change --mend RULE PART tries it first.")
        page.blank()


def _print_supplies(page: Page, report: Report) -> None:
    """Every supply in its hardest state, those with the least headroom."""
    grid = figures.hardest(report.figures)
    if not grid.rows:
        return
    left = len(grid.rows) - _SUPPLIES_MOST
    more = f" ({left} more supplies have more headroom)" if left > 0 else ""
    page.text(f"Supplies, each in its hardest state{more}; every state: wiring budget")
    page.grid(Grid(grid.headings, grid.rows[:_SUPPLIES_MOST], grid.names))
    page.blank()


def _print_counts(page: Page, report: Report) -> None:
    """What was not judged and what was accepted, told in short."""
    rest = len(report.not_judged) - len(report.open_questions)
    if rest:
        page.text(f"Not judged for want of data: {counted(rest, 'check')}, which does not mean safe; --all lists them.")
    accepted = [one for one in worst_first(report.findings) if one.accepted is not None]
    if accepted:
        page.text("Accepted by the builder, not mended:")
    for finding in accepted[:_ACCEPTED_MOST]:
        reason = shortened(finding.accepted or "none given", 2 * page.width)
        page.text(f"{finding.signal} {reference_words(finding)}: {reason}", 4, "  -")
    if left := len(accepted[_ACCEPTED_MOST:]):
        page.text(f"and {left} more: list with --all", 4, "  -")
