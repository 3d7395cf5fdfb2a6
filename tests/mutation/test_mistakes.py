"""Every common mistake of the list, made in a plan, is named by a rule that is about it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from mutants import Mutant, all_mutants, judged, loud

from wiring.findings import Report
from wiring.rules import SLUGS

TABLE = Path(__file__).parents[1] / "data" / "mistakes.csv"
MARKED = sorted((Path(__file__).parent / "marked").glob("*.yaml"))
#: Mutants tried for a row before it counts as unseen, at most; they stand in the order of the ways.
MOST = 12
#: Rows whose rule speaks as a NOTICE only: fed in a chain, drives may lose steps, and nobody is hurt.
AS_NOTICE = (25,)


def rows() -> dict[int, tuple[str, ...]]:
    """Rank of every mistake and the rules that are about it."""
    with TABLE.open(encoding="utf-8", newline="") as lines:
        return {int(row["rank"]): tuple(row["rules"].split(";")) for row in csv.DictReader(lines)}


def _plans(rank: int) -> list[tuple[str, str]]:
    plans = [(path.stem, path.read_text(encoding="utf-8")) for path in MARKED if path.stem.startswith(f"{rank:02d}-")]
    made: dict[str, list[Mutant]] = {}
    for mutant in all_mutants():
        if rank in mutant.way.rows:
            made.setdefault(mutant.way.name, []).append(mutant)
    one_each = [pile[n] for n in range(3) for pile in made.values() if n < len(pile)]
    return plans + [(mutant.machine.name, mutant.text()) for mutant in one_each[:MOST]]


def test_the_table_is_whole_and_names_rules_that_exist() -> None:
    assert list(rows()) == list(range(1, 31))
    assert {slug for slugs in rows().values() for slug in slugs} <= set(SLUGS)


@pytest.mark.parametrize("rank", sorted(rows()))
def test_the_mistake_is_named(rank: int) -> None:
    said: list[tuple[str, ...]] = []
    for name, text in _plans(rank):
        report = judged(text, name)
        assert isinstance(report, Report), report
        said.append(tuple(f.rule for f in report.findings) if rank in AS_NOTICE else loud(report))
        if set(said[-1]) & set(rows()[rank]):
            return
    pytest.fail(f"none of {rows()[rank]} spoke: {said}")
