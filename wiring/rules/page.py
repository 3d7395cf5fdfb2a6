"""The page of a rule, read from its documentation: sections of words, examples, and what is not judged."""

from __future__ import annotations

import re
from dataclasses import dataclass
from textwrap import dedent

from wiring.rules import rule_module
from wiring.rules.rule import Rule

SECTIONS = ("Fires", "Quiet", "Not judged", "Known limits")
_HEADING = re.compile(rf"^({'|'.join(SECTIONS)})$", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Page:
    """What a rule's documentation says. `about` are paragraphs; `sections` hold the rest by heading."""

    rule: Rule
    headline: str
    about: str
    sections: dict[str, str]


def rule_page(slug: str) -> Page:
    """The page of a rule.

    Raises KeyError for a slug that no rule has.
    """
    module = rule_module(slug)
    pieces = _HEADING.split(module.__doc__ or "")
    headline, _, about = pieces[0].strip().partition("\n")
    sections = {pieces[n]: dedent(pieces[n + 1].strip("\n")).rstrip() for n in range(1, len(pieces) - 1, 2)}
    return Page(module.RULE, headline, about.strip(), sections)
