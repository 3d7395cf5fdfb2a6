"""The table of fuses and breakers against the lines of a plan."""

from __future__ import annotations

from tests.drawing.drawn import spec_design
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table


def test_rows_say_what_the_plan_says() -> None:
    rows = {row[0]: row[1:] for row in list_table(spec_design("stone-engraver"), ListName.PROTECTION).rows}
    assert rows["F6"][:5] == ("coolant pump", "motor protector", "3", "", 1.0)
    assert rows["F6"][7:] == (50_000.0, "400 V AC")
    gantry = {row[0]: row[1:] for row in list_table(spec_design("foam-gantry"), ListName.PROTECTION).rows}
    assert gantry["F2"][1:6] == ("breaker", "2", 6.0, "", "C")
    assert gantry["F11"][1:6] == ("fuse", "1", 4.0, "", "gG")
    assert gantry["F1"][1:4] == ("rcd", "2", 25.0)
    assert gantry["F1"][6] == 0.03
    assert "Q1" not in gantry
