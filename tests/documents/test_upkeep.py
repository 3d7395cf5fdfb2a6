"""The list of upkeep against the parts of plans; intervals with their source or as common practice."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from typer.testing import CliRunner

import wiring.documents
from tests.drawing.drawn import spec_design
from tests.helpers import design
from wiring.cli import app
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table
from wiring.documents.table import Table

SPECS = Path(__file__).parents[2] / "specs"
PARTS = """
parts:
  F1: {kind: fuse, poles: 3, rating: 10 A, class: gG, rated_voltage: 400 V AC, breaking: 50 kA}
  F2: {kind: fuse, rating: 10 A, class: gG, rated_voltage: 400 V AC, breaking: 50 kA}
  F3: {kind: fuse, rating: 1 A, class: T}
  F4: {kind: rcd, poles: 2, rated: 25 A, residual: 30 mA, type: A}
  X0: {kind: inlet, poles: [L, N, PE], rated: 10 A, fuse: {rating: 6.3 A, class: T}}
  S1: {kind: emergency-stop, contacts: {11-12: NC direct}}
  S2: {kind: push-button, contacts: {11-12: NC}}
  B1: {kind: limit-switch, contacts: {11-12: NC}, purpose: home}
  B2: {kind: limit-switch, contacts: {11-12: NC}}
  Q1: {kind: contactor, coil: 24 V DC 3 W}
stops:
  stop: {devices: [S1, S2], category: 0}
"""


def of(table: Table, words: str) -> list[tuple[object, ...]]:
    return [row for row in table.rows if words in str(row[2])]


def test_spare_fuses_are_counted_by_what_they_are() -> None:
    """Three and one of gG 10 A make four links; one of 1 A asks for two; the fuse inside the inlet counts too."""
    rows = of(list_table(design(PARTS), ListName.UPKEEP), "Keep")
    assert {(row[2], row[3]) for row in rows} == {
        ("Keep 4 of fuse gG 10 A 400 V AC, breaking 50 kA; 4 in use", "F1 F2"),
        ("Keep 2 of fuse T 1.0 A; 1 in use", "F3"),
        ("Keep 2 of fuse T 6.3 A; 1 in use", "X0"),
    }


def test_what_stops_the_machine_is_tried_and_a_home_switch_is_not_run_into() -> None:
    table = list_table(design(PARTS), ListName.UPKEEP)
    assert [row[3] for row in of(table, "Press each emergency stop")] == ["S1 S2"]
    assert [row[3] for row in of(table, "limit switch")] == ["B2"]
    assert not of(table, "guard")
    assert not of(table, "battery")


# DGUV Vorschrift 3 asks for the test button every 6 months; ISO 13849-1:2015, table C.1: 1.3 million operations of a
# contactor at nominal load, 100 000 of an emergency stop device, 20 years of mission time. All from memory.
@pytest.mark.parametrize(
    ("words", "part", "when", "source"),
    [
        ("test button", "F4", "every 6 months", "DGUV Vorschrift 3"),
        ("Renew each contactor", "Q1", "after 1 300 000 operations at rated load, or 20 years", "ISO 13849-1:2015"),
        ("Renew each emergency stop", "S1", "after 100 000 operations, or 20 years", "ISO 13849-1:2015"),
    ],
)
def test_intervals_of_standards(words: str, part: str, when: str, source: str) -> None:
    [row] = of(list_table(design(PARTS), ListName.UPKEEP), words)
    assert (row[0], row[3]) == (when, part)
    assert str(row[5]).startswith(source)
    assert str(row[5]).endswith("(from memory)")


def test_each_rulebook_has_its_own_words() -> None:
    iec, na = (list_table(design(PARTS, book), ListName.UPKEEP) for book in ("iec", "na"))
    assert [row[0] for row in of(na, "test button")] == ["every month"]
    assert "60204" not in str(na.rows)
    assert "NFPA" not in str(iec.rows)


@pytest.mark.parametrize("spec", sorted(path.stem for path in SPECS.glob("*.yaml")))
def test_every_row_is_for_parts_of_this_machine_and_says_where_its_interval_is_from(spec: str) -> None:
    made = spec_design(spec)
    table = list_table(made, ListName.UPKEEP)
    known = {*made.parts, *(cable.cable for cable in made.plan.cables), "cabinet"}
    for row in table.rows:
        assert set(str(row[3]).split()) <= known
        assert row[3]
        assert row[1] in ("on", "off")
        assert str(row[5]).endswith(("(from memory)", "common practice, no source"))


def test_every_row_of_the_table_has_its_standing() -> None:
    path = Path(wiring.documents.__file__).parent / "tables" / "upkeep.csv"
    rows = list(csv.DictReader(path.read_text(encoding="utf-8").splitlines()))
    assert {row["rulebook"] for row in rows} == {"iec", "na", "both"}
    assert all(row["standing"] in ("from memory", "common practice, no source") for row in rows)
    assert all(bool(row["source"]) == (row["standing"] == "from memory") for row in rows)


def test_a_machine_without_such_parts_has_no_list_and_the_command_ends_with_cautions() -> None:
    table = list_table(design("parts:\n  H1: {kind: lamp, rated: 24 V DC 20 mA}\n"), ListName.UPKEEP)
    assert (table.rows, table.notes) == ((), ())
    result = CliRunner().invoke(app, ["list", "upkeep", str(SPECS / "drum-sander.yaml")])
    assert result.exit_code == 0
    assert " ".join(result.output.split()).endswith("prove every conductor dead.")
