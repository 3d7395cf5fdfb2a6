"""Plans that carry their own answer: `#! slug` behind a line means that this rule must point there, and no other."""

from __future__ import annotations

import re

from helpers import HEAD

from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.findings import Finding, NotJudged, Signal
from wiring.rules.run import judge, told_alone

_MARK = re.compile(r"#! ([a-z0-9-]+)\s*$")


def marks(text: str) -> list[tuple[int, str]]:
    """Line and slug of every mark, in the order of the lines; line 1 is the first."""
    found = [(n, _MARK.search(line)) for n, line in enumerate(text.splitlines(), 1)]
    return [(n, match.group(1)) for n, match in found if match]


def findings(design: Design) -> list[tuple[int, str]]:
    """Line and rule of every finding above NOTICE that no other explains, in the order of the lines; line 0 where one
    has no place."""
    report = judge(design)
    assert report.crashed == ()
    standing = [f for f in report.findings if f.signal is not Signal.NOTICE and not f.explained_by]
    return sorted((f.place.line if f.place else 0, f.rule) for f in standing)


def read(text: str) -> Design:
    """The design of a whole plan; fails with its faults when it has any."""
    loaded = load_text(text, "test.yaml")
    assert loaded.design is not None, "\n".join(str(fault) for fault in loaded.faults)
    return loaded.design


def assert_marked(body: str, book: str = "iec") -> None:
    """The findings above NOTICE of a body are its marks, and nothing else."""
    text = HEAD.format(book=book) + body
    assert findings(read(text)) == sorted(marks(text))


def results(slug: str, design: Design) -> list[Finding | NotJudged]:
    """What one rule says of a design."""
    return told_alone(design, slug)


def fired(slug: str, design: Design) -> list[Finding]:
    """The findings of one rule."""
    return [item for item in results(slug, design) if isinstance(item, Finding)]


def folded_under(slug: str, design: Design) -> set[str]:
    """The rules whose findings explain all that one rule finds; none where one of these stands, or there is nothing."""
    found = [finding for finding in judge(design).findings if finding.rule == slug]
    if not all(finding.explained_by for finding in found):
        return set()
    return {root.rule for finding in found for root in finding.explained_by}


def open_questions(slug: str, design: Design) -> list[NotJudged]:
    """What one rule could not judge."""
    return [item for item in results(slug, design) if isinstance(item, NotJudged)]
