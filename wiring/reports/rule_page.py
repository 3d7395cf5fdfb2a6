"""The page of a rule, read from its documentation: sections of words, and an example as edits of a plan that is there.

`Fires on PLAN at NAME` names one of the plans in `wiring/rules/examples/`, and what the finding speaks of first. It
holds the changes that make the rule fire, one a line as `wiring change` takes them; `Quiet` those that put it right.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache
from importlib.resources import files
from itertools import groupby
from operator import attrgetter
from textwrap import dedent

from msgspec import Struct

from wiring.changes.lines import edits_of
from wiring.changes.text_edits import apply
from wiring.design.load import Loaded, load_text
from wiring.findings import Finding
from wiring.plan.edits import Edit
from wiring.rules import rule_module
from wiring.rules.rule import Rule
from wiring.rules.run import told_alone

SECTIONS = ("Fires", "Quiet", "Not judged", "Known limits")
_HEADING = re.compile(rf"^({'|'.join(SECTIONS)})(?: on ([a-z-]+) at (\S+))?$", re.MULTILINE)
#: The first line of an entry in a section of a plan: `G1: …`, `- {wire: 7, …`, `- {cable: C1, …`.
_ENTRY = re.compile(r"  (?:- \{(?:wire|cable): ([^,]+),|([^\s#:-][^:]*):)")


class Page(Struct, frozen=True):
    """What a rule's documentation says. `about` are paragraphs; `sections` hold the rest by heading; `plan` names the
    plan of the example, `at` what its finding speaks of first."""

    rule: Rule
    headline: str
    about: str
    sections: dict[str, str]
    plan: str
    at: str

    def changes(self, section: str) -> list[str]:
        """The changes of an example, one a line; an indented line goes on with the one before."""
        return re.sub(r"\n +", " ", self.sections[section]).split("\n")


class Example(Struct, frozen=True):
    """A plan with the changes of an example: its text, the plan read, and the changes as edits."""

    text: str
    loaded: Loaded
    edits: tuple[Edit, ...] = ()

    @property
    def book(self) -> str:
        """The rulebook of the plan."""
        assert self.loaded.design is not None
        return self.loaded.design.plan.rulebook

    def findings(self, slug: str) -> list[Finding]:
        """What one rule finds in it."""
        assert self.loaded.design is not None
        return [item for item in told_alone(self.loaded.design, slug) if isinstance(item, Finding)]


@cache
def rule_page(slug: str) -> Page:
    """The page of a rule.

    Raises KeyError for a slug that no rule has.
    """
    module = rule_module(slug)
    opening, *pieces = _HEADING.split(module.__doc__ or "")
    headline, _, about = opening.strip().partition("\n")
    bodies = [dedent(text.strip("\n")).rstrip() for text in pieces[3::4]]
    sections = dict(zip(pieces[::4], bodies, strict=True))
    return Page(module.RULE, headline, about.strip(), sections, pieces[1], pieces[2])


@cache
def example_plan(name: str) -> Example:
    """A plan that examples change; all rules are quiet on it.

    Raises FileNotFoundError for a name that none has.
    """
    text = (files("wiring.rules") / "examples" / f"{name}.yaml").read_text(encoding="utf-8")
    return Example(text, load_text(text, f"{name}.yaml"))


@cache
def example(slug: str, section: str = "Fires") -> Example:
    """The plan in which a rule fires, or the same plan put right (`section` "Quiet").

    Raises KeyError for a slug that no rule has, Refusal for a change that does not read, and ValueError for an example
    that is no plan: errors in the page.
    """
    page = rule_page(slug)
    base = example_plan(page.plan) if section == "Fires" else example(slug)
    assert base.loaded.design is not None
    edits = [edit for line in page.changes(section) for edit in edits_of(base.loaded.design, line)[0]]
    text = apply(base.text, edits)
    loaded = load_text(text, f"{page.plan}.yaml")
    if loaded.design is None:
        raise ValueError("; ".join(str(fault) for fault in loaded.faults))
    return Example(text, loaded, tuple(edits))


def shown(example: Example, findings: Sequence[Finding]) -> Iterator[str]:
    """The lines of the entries that an example changes, or that a finding names, under their sections."""
    names = {str(step) for edit in example.edits for step in edit.path[:2]}
    names |= {name.split(".")[0] for finding in findings for name in finding.subjects}
    marks = [mark for finding in findings for mark in (finding.place, *(cause.place for cause in finding.because))]
    at = {mark.line for mark in marks if mark is not None}
    wanted = [one for one in _entries(example.text) if one.name in names or at & one.numbers]
    for section, entries in groupby(wanted, key=attrgetter("section")):
        if section:
            yield f"{section}:"
        for entry in entries:
            yield from entry.lines


class _Entry(Struct, frozen=True):
    """A key of a section or an item of it, or a whole section on one line, whose `section` is ""."""

    section: str
    name: str
    first: int
    lines: list[str]

    @property
    def numbers(self) -> set[int]:
        return set(range(self.first, self.first + len(self.lines)))


def _entries(text: str) -> list[_Entry]:
    found: list[_Entry] = []
    section = ""
    for number, line in enumerate(text.splitlines(), 1):
        if line[:1].isalpha():
            section, _, rest = line.partition(":")
            if rest:
                found.append(_Entry("", section, number, [line]))
        elif entry := _ENTRY.match(line):
            found.append(_Entry(section, entry[1] or entry[2], number, [line]))
        elif line.strip() and found:
            found[-1].lines.append(line)
    return found
