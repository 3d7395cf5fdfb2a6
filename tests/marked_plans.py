"""Plans that carry their own answer: `#! slug` behind a line means that this rule must point there, and no other."""

from __future__ import annotations

import re

from helpers import HEAD

from wiring.design.design import Design
from wiring.design.load import load_text
from wiring.findings import Finding, NotJudged, Signal
from wiring.rules import rule_module
from wiring.rules.run import judge

_MARK = re.compile(r"#! ([a-z0-9-]+)\s*$")


def marks(text: str) -> list[tuple[int, str]]:
    """Line and slug of every mark, in the order of the lines; line 1 is the first."""
    found = [(n, _MARK.search(line)) for n, line in enumerate(text.splitlines(), 1)]
    return [(n, match.group(1)) for n, match in found if match]


def findings(design: Design) -> list[tuple[int, str]]:
    """Line and rule of every finding above NOTICE, in the order of the lines; line 0 where one has no place."""
    report = judge(design)
    assert report.crashed == ()
    standing = [f for f in report.findings if f.signal is not Signal.NOTICE]
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
    return list(rule_module(slug).check(design))


def fired(slug: str, design: Design) -> list[Finding]:
    """The findings of one rule."""
    return [item for item in results(slug, design) if isinstance(item, Finding)]


def open_questions(slug: str, design: Design) -> list[NotJudged]:
    """What one rule could not judge."""
    return [item for item in results(slug, design) if isinstance(item, NotJudged)]
