"""A figure that rests on a table row says how sure that row is, whatever clause its rule stands under."""

from __future__ import annotations

from wiring.findings import Number
from wiring.reports.words import number_words
from wiring.rulebooks.fuses import fuse_band


def test_a_time_from_memory_says_so() -> None:
    """UL 248, class CC: within an hour at 135 %, from memory as the table says."""
    source = fuse_band("CC", 2, 2.8).max_source
    assert number_words(Number("latest", 3600.0, "s", "F5, fuse CC 2 A", source)).endswith("(from memory)")


def test_a_solved_figure_has_its_remark_alone() -> None:
    assert number_words(Number("load", 1.0, "A", "state work")) == "state work"
