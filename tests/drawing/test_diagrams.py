"""diagrams/ holds the sheets of every plan in specs/ as they are drawn now."""

from __future__ import annotations

from tests.drawing.update_diagrams import DIAGRAMS, diagram_files


def test_diagrams_are_current() -> None:
    wanted = diagram_files()
    there = set(DIAGRAMS.rglob("*.svg"))
    how = "run `python -m tests.drawing.update_diagrams`"
    assert there == set(wanted), f"files are missing or left over; {how}"
    stale = [str(path.relative_to(DIAGRAMS)) for path, data in wanted.items() if path.read_bytes() != data]
    assert not stale, f"{stale} are not current; {how}"
