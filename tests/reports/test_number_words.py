"""A figure that rests on a table row says how sure that row is, whatever clause its rule stands under."""

from __future__ import annotations

import pytest

from wiring.findings import Number
from wiring.reports.rule_page import example
from wiring.reports.words import number_words
from wiring.rulebooks.fuses import fuse_band


def test_a_time_from_memory_says_so() -> None:
    """UL 248, class CC: within an hour at 135 %, from memory as the table says."""
    source = fuse_band("CC", 2, 2.8).max_source
    assert number_words(Number("latest", 3600.0, "s", "F5, fuse CC 2 A", source)).endswith("(from memory)")


def test_a_solved_figure_has_its_remark_alone() -> None:
    assert number_words(Number("load", 1.0, "A", "state work")) == "state work"


#: What the figures of these rules are called that rest on a row of a table, solved and given ones left out.
TABLED = {
    "conductor-overloaded": {"ampacity"},
    "protection-above-conductor": {"lets pass", "allowed"},
    "motor-conductor-margin-small": {"full load", "ampacity"},
    "motor-disconnect-too-small": {"full load"},
    "building-feed-too-small": {"ampacity"},
    "supplementary-protector-alone": {"allowed"},
    "conductor-burns-before-device-opens": {"let through"},
    "earth-fault-not-cleared": {"fault current", "needed"},
    "not-selective": {"latest"},
    "rail-too-high-at-no-load": {"at no load"},
    "cabinet-too-hot": {"inside"},
    "duct-overfilled": {"conductors"},
    "supply-headroom-small": {"available"},
}


@pytest.mark.parametrize("slug", TABLED)
def test_every_figure_that_rests_on_a_table_says_so(slug: str) -> None:
    """In the example of its page; a figure that no rule of these calls so rests on what is given or solved."""
    found = [number for finding in example(slug).findings(slug) for number in finding.numbers]
    assert TABLED[slug] <= {number.name for number in found}
    assert {number.name for number in found if number.source} == TABLED[slug]


def test_the_standing_stands_in_the_report_of_a_machine() -> None:
    """A duct is judged by outer diameters from memory, whatever clause its filling stands under."""
    [finding] = example("duct-overfilled").findings("duct-overfilled")
    assert "from memory" in " ".join(number_words(number) for number in finding.numbers)
