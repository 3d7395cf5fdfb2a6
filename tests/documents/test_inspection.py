"""The sheet of the inspection asks for nothing that the machine has not."""

from __future__ import annotations

import pytest

from tests.helpers import design
from wiring.documents.coverage import manual_items
from wiring.documents.inspection import inspection_rows

LAMP = "parts:\n  H1: {kind: lamp, rated: 24 V DC 20 mA}\nwires: []\n"
BRAKE = "parts:\n  Y1: {kind: brake, rated: 24 V DC 12 W}\nwires: []\n"


def clauses(body: str, book: str) -> set[str]:
    return {row["clause"] for row in inspection_rows(design(body, book))}


@pytest.mark.parametrize(("book", "of_lamps"), [("iec", "10.3.2"), ("na", "10.3")])
def test_lines_follow_the_parts(book: str, of_lamps: str) -> None:
    """Clauses on indicator lights: IEC 60204-1:2016, 10.3; NFPA 79:2018, 10.3. Continuity is for every machine."""
    assert of_lamps in clauses(LAMP, book)
    assert of_lamps not in clauses(BRAKE, book)
    assert {"18.1", "18.2.2" if book == "iec" else "18.2"} <= clauses(BRAKE, book)


def test_a_brake_brings_its_clause() -> None:
    """Protective devices for mechanical brakes: IEC 60204-1:2016, 14.6."""
    assert "14.6" in clauses(BRAKE, "iec")
    assert "14.6" not in clauses(LAMP, "iec")
    assert "14.6" in {item.clause for item in manual_items("iec")}
