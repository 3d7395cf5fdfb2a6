"""How sure the tables are: the shares by standing of the rows that a finding can rest on."""

from __future__ import annotations

import csv
from collections import Counter
from importlib.resources import files

from wiring.rulebooks.tables import BOOKS

#: Lists of clauses and words for reading, on which no limit of a finding rests.
NO_LIMITS = {"clauses", "symptoms", "power_up", "power_up_tests"}


def standings() -> Counter[str]:
    found: Counter[str] = Counter()
    for book in BOOKS:
        for path in (files("wiring.rulebooks") / "tables" / book).iterdir():
            if path.name.endswith(".csv") and path.name.removesuffix(".csv") not in NO_LIMITS:
                records = csv.DictReader(path.read_text(encoding="utf-8").splitlines())
                found.update(record["standing"] for record in records)
    return found


def test_at_most_a_fifth_is_from_memory() -> None:
    """It was 31 % before the look-ups of 2026; each row that leaves memory names clause or page of what was read."""
    found = standings()
    assert found["from-memory"] <= 0.20 * found.total()
    assert found["confirmed"] + found["one-source"] >= 0.75 * found.total()
