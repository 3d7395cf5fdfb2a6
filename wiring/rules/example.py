"""The examples on a rule's page, as plans that can be judged."""

from __future__ import annotations

import re
from dataclasses import dataclass

from wiring.design.load import Loaded, load_text
from wiring.findings import Finding
from wiring.rules.page import rule_page
from wiring.rules.run import told_alone

#: What is put before an example, whose body names its rulebook in a line of its own where it is not IEC.
_HEAD = "format: 1\nmachine: Example\nrulebook: {book}\n"
_BOOK = re.compile(r"^rulebook: *(iec|na) *\n", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Worked:
    """An example, its rulebook, and what the rule says of it."""

    loaded: Loaded
    book: str
    findings: tuple[Finding, ...]


def example_text(slug: str, section: str) -> tuple[str, str]:
    """The whole plan of an example and its rulebook; `section` "Fires" or "Quiet".

    Raises KeyError for a slug that no rule has, and for a page without that section.
    """
    body = rule_page(slug).sections[section]
    named = _BOOK.search(body)
    book = named[1] if named else "iec"
    return _HEAD.format(book=book) + _BOOK.sub("", body) + "\n", book


def worked(slug: str, section: str = "Fires") -> Worked:
    """The example read, solved and judged by its rule alone.

    Raises KeyError as `example_text`, and ValueError for an example that is no plan: an error in the page.
    """
    text, book = example_text(slug, section)
    loaded = load_text(text, "example")
    if loaded.design is None:
        raise ValueError("; ".join(str(fault) for fault in loaded.faults))
    said = told_alone(loaded.design, slug)
    return Worked(loaded, book, tuple(item for item in said if isinstance(item, Finding)))
