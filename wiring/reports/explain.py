"""Pages of rules for the terminal: one page, and the list of all."""

from __future__ import annotations

from wiring.reports.lines import clean, indented, wrapped
from wiring.rules import SLUGS, rule_module
from wiring.rules.page import rule_page

_TITLES = {
    "Fires": "A plan in which it fires",
    "Quiet": "The same plan put right",
    "Not judged": "Not judged",
    "Known limits": "Known limits",
}
_EXAMPLES = ("Fires", "Quiet")


def _paragraphs(text: str, width: int, indent: int = 0) -> list[str]:
    lines: list[str] = []
    for paragraph in text.split("\n\n"):
        words = " ".join(paragraph.split())
        lines += ["", *(indented(words, width, indent) if indent else wrapped(words, width))]
    return lines


def render_page(slug: str, width: int, encoding: str = "utf-8") -> str:
    """The page of a rule. Raises KeyError for a slug that no rule has."""
    page = rule_page(slug)
    rule = page.rule
    lines = [f"{rule.signal}  {rule.title}", rule.slug, *_paragraphs(page.headline, width)]
    if page.about:
        lines += _paragraphs(page.about, width)
    lines += ["", "Harm", *indented(rule.harm, width, 2)]
    lines += ["", "Rests on"]
    for book, source in rule.sources:
        where = {"iec": "IEC", "na": "North America", "both": "both rulebooks"}[book]
        lines += indented(f"{where}: {source}", width, 2)
    for heading, text in page.sections.items():
        lines += ["", _TITLES[heading]]
        if heading in _EXAMPLES:
            lines += [f"  {line}".rstrip() for line in text.splitlines()]
        else:
            lines += _paragraphs(text, width, 2)[1:]
    return "\n".join(clean(line, encoding) for line in lines) + "\n"


def render_list(width: int, encoding: str = "utf-8") -> str:
    """Every rule with its signal word and title."""
    room = max(len(slug) for slug in SLUGS) + 2
    lines = []
    for slug in SLUGS:
        rule = rule_module(slug).RULE
        lines += indented(f"{rule.signal:<8} {rule.title}", width, room, f"{slug:<{room}}")
    return "\n".join(clean(line, encoding) for line in lines) + "\n"
