"""Constants stand in tables: each with a source, asked by the code, and in step with the words of the plan language."""

from __future__ import annotations

import re
from math import isclose
from pathlib import Path

import pytest

import wiring
from wiring.plan.insulation import INSULATION
from wiring.quantities import parse_wire_size
from wiring.rulebooks.citation import Standing
from wiring.rulebooks.insulation import ASSUMED, highest_temperature
from wiring.rulebooks.limits import tabled
from wiring.rulebooks.provenance import table_names
from wiring.rulebooks.tables import BOOKS, TableError, load

CODE = "\n".join(path.read_text(encoding="utf-8") for path in sorted(Path(wiring.__file__).parent.rglob("*.py")))


def test_every_insulation_of_the_plan_language_has_its_row() -> None:
    """NFPA 70 table 310.4(1): MTW 90 °C and THWN 75 °C dry; IEC 60364-5-52 table 52.1: PVC 70 °C, XLPE 90 °C."""
    assert set(INSULATION) == {row.text("insulation") for row in load("common", "insulation").rows}
    for word in INSULATION:
        stated = word.rpartition("-")[2]
        if stated.isdigit() and int(stated) > 10:
            assert highest_temperature(word).value == float(stated)
    printed = {"MTW": 90, "TW": 60, "THW": 75, "THHN": 90, "THWN": 75, "THWN-2": 90, "XHHW": 90, "RHW-2": 90}
    assert {word: highest_temperature(word).value for word in printed} == printed
    assert {book: highest_temperature(word).value for book, word in ASSUMED.items()} == {"iec": 70.0, "na": 60.0}
    with pytest.raises(TableError):
        highest_temperature("felt")


# Printed elsewhere: c min of IEC 60909-0 for low voltage 0.95, lines at 20 °C; 30 conductors of NFPA 70 376.22(B) and
# 24 in of 310.15(C)(1); 800 A of 240.4(B); 125 % of 210.20(A) and 430.22; 115 % of
# 430.110; 40 ms at 5 times of 61008-1.
@pytest.mark.parametrize(
    ("book", "name", "printed"),
    [
        ("common", "mains_lowest_in_fault", 0.95),
        ("common", "conductor_cold", 20),
        ("common", "lets_pass_for_ever", 1.45),
        ("common", "residual_opens_at", 5),
        ("na", "wireway_count_free", 30),
        ("na", "next_standard_to", 800),
        ("na", "continuous_margin", 1.25),
        ("na", "motor_conductor_margin", 1.25),
        ("na", "motor_switch_margin", 1.15),
        ("iec", "ac_supply_voltage_max", 1.1),
    ],
)
def test_the_constants_are_those_of_their_clauses(book: str, name: str, printed: float) -> None:
    assert tabled(book, name).value == printed


def test_constants_that_follow_from_others() -> None:
    assert isclose(tabled("na", "bundle_length_free").value, 24 * 0.0254, rel_tol=1e-3)
    assert isclose(tabled("na", "parallel_smallest").value, parse_wire_size("1/0 AWG").area_mm2, rel_tol=1e-2)
    zero_c = tabled("common", "copper_zero").value
    assert isclose(tabled("common", "copper_coefficient_75c").value, 1 / (zero_c + 75), rel_tol=1e-3)
    assert isclose(tabled("common", "strand_lay").value, 7.95 / 7.77, rel_tol=5e-3)
    assert isclose(tabled("common", "cold_loop").value, 2 / 3)


def test_practice_without_a_source_says_so() -> None:
    rows = load("common", "limits").rows
    practice = {row.text("name") for row in rows if row.source.standard == "common practice"}
    assert practice == {row.text("name") for row in rows if row.source.standing is Standing.COMMON_PRACTICE}


def _asked(name: str) -> bool:
    """Whether the code asks for a row by its name, or by a name that is put together from two."""
    if f'"{name}"' in CODE:
        return True
    made = re.findall(r'f"([a-z0-9_]*)\{[^}]*\}([a-z0-9_]*)(?:\{[^}]*\})?([a-z0-9_]*)"', CODE)
    return any(name.startswith(first) and middle + end in name for first, middle, end in made if len(first) > 2)


def test_no_limit_waits_in_a_table_that_no_code_asks() -> None:
    prefixes = ("elv_", "pelv_")
    names = [(book, row.text("name")) for book in BOOKS for row in load(book, "limits").rows]
    left = [(book, name) for book, name in names if not name.startswith(prefixes) and not _asked(name)]
    assert left == []


def test_every_table_is_read_by_the_code() -> None:
    left = [(book, name) for book in BOOKS for name in table_names(book) if f'"{name}"' not in CODE]
    assert left == []
