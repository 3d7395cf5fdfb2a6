"""Every table of every rulebook: its columns, sources, keys; and the ways of looking a row up."""

import csv
from importlib.resources import files
from math import isnan

import pytest

from wiring.rulebooks.tables import BOOKS, SOURCE_COLUMNS, STANDINGS, TableError, load, unit_of

# Columns of text, each a word or a label; every other column must carry its unit in its name.
TEXT_SUFFIXES = ("note", "condition", "unit", "name", "role", "use", "strength", "colours", "words", "kind", "class")
ROOT = files("wiring.rulebooks") / "tables"
FILES = sorted(
    (book, path.name.removesuffix(".csv"))
    for book in BOOKS
    for path in (ROOT / book).iterdir()
    if path.name.endswith(".csv")
)


def records(book, name):
    header, *rows = csv.reader((ROOT / book / f"{name}.csv").read_text(encoding="utf-8").splitlines())
    return header, rows


def test_there_are_tables_of_every_book():
    assert {book for book, _ in FILES} == set(BOOKS)


@pytest.mark.parametrize(("book", "name"), FILES)
def test_header_ends_with_the_source_and_marks_a_key(book, name):
    header, rows = records(book, name)
    assert tuple(header[-4:]) == SOURCE_COLUMNS
    assert any(column.startswith("key:") for column in header)
    assert len(set(header)) == len(header)
    assert rows
    assert all(len(row) == len(header) for row in rows)


@pytest.mark.parametrize(("book", "name"), FILES)
def test_every_row_names_standard_clause_and_standing(book, name):
    header, rows = records(book, name)
    for row in rows:
        named = dict(zip(header, row, strict=True))
        assert named["standard"].strip()
        assert named["clause"].strip()
        assert named["standing"] in STANDINGS


@pytest.mark.parametrize(("book", "name"), FILES)
def test_columns_of_numbers_hold_numbers_and_columns_of_text_hold_words(book, name):
    """A column of text in which every cell is a number has lost its unit, unless it is a size or a class."""
    header, rows = records(book, name)
    for index, column in enumerate(header[:-4]):
        plain = column.removeprefix("key:")
        cells = [row[index] for row in rows if row[index]]
        if unit_of(plain) is not None:
            assert all(not isnan(float(cell)) for cell in cells), plain
        elif not plain.startswith("size") and not plain.endswith(TEXT_SUFFIXES):
            assert not cells or not all(_is_number(cell) for cell in cells), plain


def _is_number(text):
    try:
        float(text)
    except ValueError:
        return False
    return True


@pytest.mark.parametrize(("book", "name"), FILES)
def test_no_key_is_repeated_and_every_row_is_found_by_its_key(book, name):
    table = load(book, name)
    keys = [tuple(row.cells[key] for key in table.keys) for row in table.rows]
    assert len(set(keys)) == len(keys)
    assert all(table.row(*key) is row for key, row in zip(keys, table.rows, strict=True))


def test_numbers_and_words_of_one_row():
    row = load("iec", "ampacity_machine").row("1.5", "B2")
    assert row.number("ampacity_a") == 13.1  # IEC 60204-1 table 6, B2, read in two makers' manuals
    assert row.text("size_mm2") == "1.5"
    assert str(row.source) == "IEC 60204-1:2016, table 6"
    assert row.limit("ampacity_a").unit == "A"


def test_lookups():
    """Behind a 25 A device NFPA 70 table 250.122 asks for the row to 60 A; 40 °C lies in the band to 40 °C."""
    assert load("na", "protective_conductor_building").at_or_above("device_max_a", 25).text("size") == "10"
    assert load("na", "protective_conductor_building").at_or_above("device_max_a", 6001) is None
    assert load("na", "ambient").at_or_above("ambient_max_c", 40, insulation_c=75.0).number("factor") == 0.88
    assert load("na", "conductor_count").at_or_below("conductors_from_count", 8).number("ampacity_percent") == 70
    assert load("na", "conductor_count").at_or_below("conductors_from_count", 0) is None
    times = load("iec", "disconnection_times")
    assert times.band("u0", "v", 230, system="TN", current_kind="ac").number("time_s") == 0.4
    assert times.band("u0", "v", 231, system="TN", current_kind="ac").number("time_s") == 0.2
    assert times.band("u0", "v", 50, system="TN", current_kind="ac") is None


@pytest.mark.parametrize(
    "ask",
    [
        lambda: load("iec", "no_such_table"),
        lambda: load("no such book", "limits"),
        lambda: load("iec", "ampacity_machine").rows[0].number("no_such_column"),
        lambda: load("iec", "ampacity_machine").rows[0].number("method"),
        lambda: load("iec", "ampacity_machine").rows[0].text("ampacity_a"),
        lambda: load("iec", "protective_conductor").rows[0].number("minimum_mm2"),
    ],
)
def test_asking_for_what_is_not_there(ask):
    with pytest.raises(TableError):
        ask()
