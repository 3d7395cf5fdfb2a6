"""Stripping and tightening against torques and lengths that makers print, and against the plan."""

from __future__ import annotations

import pytest

from tests.helpers import design
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table
from wiring.documents.table import Table
from wiring.rulebooks.tables import load

PLAN = """
parts:
  F1: {kind: breaker, poles: 1, rating: 6 A, curve: C, sizes: 1..16 mm2}
  F2: {kind: breaker, poles: 1, rating: 6 A, curve: C}
  X1: {kind: terminals, points: 3, sizes: 0.2..4 mm2}
wires:
  - {wire: 1, from: F1:2, to: X1:1, size: 1 mm2}
  - {wire: 2, from: F2:2, to: X1:2, size: 1 mm2}
"""


TWO = """
parts:
  K1: {kind: contactor, coil: 24 V DC 3 W, rated: 9 A, sizes: {1 2: 1..6 mm2, A1 A2: 0.5..2.5 mm2}}
  X1: {kind: metalwork}
wires:
  - {wire: 1, from: K1:1, to: K1:A1, size: 1 mm2}
"""


@pytest.mark.parametrize(("size_mm2", "torque_nm"), [(1.5, 0.5), (2.5, 0.5), (4, 0.8), (6, 1.2), (10, 1.2)])
def test_torques_that_screw_terminals_are_tried_with(size_mm2: float, torque_nm: float) -> None:
    """EN 60999-1, moments of torque for testing by wire gauge, as a catalogue of industrial connectors prints them."""
    row = load("common", "terminations").at_or_above("largest_mm2", size_mm2)
    assert row is not None
    assert row.number("torque_low_nm") <= torque_nm <= row.number("torque_high_nm")


@pytest.mark.parametrize(("size_mm2", "length_mm"), [(2.5, 7.5), (4, 9), (6, 11.5), (16, 14)])
def test_lengths_that_makers_strip(size_mm2: float, length_mm: float) -> None:
    """Stripped lengths in the same catalogue (2.5, 6, 16 mm2) and in the manual of a protection relay (4 mm2)."""
    row = load("common", "terminations").at_or_above("largest_mm2", size_mm2)
    assert row is not None
    assert row.number("strip_low_mm") <= length_mm <= row.number("strip_high_mm")


def told(book: str = "iec") -> Table:
    return list_table(design(PLAN, book), ListName.TERMINATIONS)


def test_it_goes_by_the_terminal_and_not_by_the_conductor_in_it() -> None:
    rows = {row[0]: row[1:] for row in told().rows}
    assert rows["16 mm2"] == ("12 to 14 mm", "1.2 to 2 N·m", "typical; common practice", "F1")
    assert rows["4 mm2"][1] == "0.5 to 0.8 N·m"
    assert rows["4 mm2"][-1] == "X1"


def test_terminals_of_two_sizes_of_one_part_are_told_apart() -> None:
    rows = {row[0]: row[-1] for row in list_table(design(TWO), ListName.TERMINATIONS).rows}
    assert rows == {"2.5 mm2": "K1:A1", "6 mm2": "K1:1"}


def test_what_is_not_known_is_told() -> None:
    table = told()
    assert not any("F2" in str(row[-1]) for row in table.rows)
    assert table.notes[-1].endswith("(`sizes`): F2.")


def test_north_american_units() -> None:
    """1 N·m is 8.851 lb·in (NIST SP 811): 0.5 N·m 4.4, 0.8 N·m 7.1. 12 AWG, 3.31 mm2, is the thickest in 4 mm2."""
    rows = {row[0]: row for row in told("na").rows}
    assert rows["12 AWG"][2] == "4.4 to 7.1 lb·in"
    gauges = list_table(design(PLAN.replace("0.2..4 mm2", "24..12 AWG"), "na"), ListName.TERMINATIONS)
    assert {row[0]: row[-1] for row in gauges.rows} == {"12 AWG": "X1", "6 AWG": "F1"}


OWN = """
parts:
  K1: {kind: contactor, coil: 24 V DC 3 W, rated: 9 A, sizes: 1..6 mm2, tightening: {1 2: 1.2 N·m, A1: 0.5 N·m}}
  F1: {kind: breaker, poles: 1, rating: 6 A, curve: C, tightening: 2 N·m, stripping: 12 mm}
wires:
  - {wire: 1, through: [F1:2, K1:1, K1:A1, K1:A2], size: 1 mm2}
"""


def test_what_the_plan_says_goes_before_what_is_typical() -> None:
    rows = {row[-1]: row[:-1] for row in list_table(design(OWN), ListName.TERMINATIONS).rows}
    assert rows["F1"] == (None, "12 mm", "2 N·m", "plan")
    assert rows["K1:1"][2:] == ("1.2 N·m", "torque from the plan; rest typical; common practice")
    assert rows["K1:A1"][2] == "0.5 N·m"
    assert str(rows["K1:A2"][-1]).startswith("typical")
    assert list_table(design(OWN, "na"), ListName.TERMINATIONS).rows[0][2] == "18 lb·in"  # 2 N·m x 8.851
