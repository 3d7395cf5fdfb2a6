"""Mends of the examples of all pages: a change that is printed puts its own finding right, whatever the limit is."""

from __future__ import annotations

from pathlib import Path

import pytest
from marked_plans import fired

from wiring.changes.outcome import outcome_of
from wiring.reports.rule_page import example
from wiring.rules import SLUGS


@pytest.mark.parametrize("slug", SLUGS)
def test_a_change_that_is_printed_mends_its_own_finding(slug: str) -> None:
    made = example(slug)
    told = made.findings(slug)[0]
    for mend in told.mends:
        if mend.edits:
            after = outcome_of(made.text, slug, Path()).changed(mend.edits).design
            left = [one for one in fired(slug, after) if one.signal.rank <= told.signal.rank]
            assert told.subjects[0] not in {name for one in left for name in one.subjects}, mend.words
