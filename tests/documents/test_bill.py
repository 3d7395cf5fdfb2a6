"""The bill to order from against the text of its plan: what a shop asks, what merges, what each order costs."""

from __future__ import annotations

from io import BytesIO

import pytest
from openpyxl import load_workbook  # type: ignore[import-untyped]

from tests.drawing.drawn import spec_design
from tests.helpers import design
from wiring.documents.bill import _asked, bill_table
from wiring.documents.files import as_xlsx
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table, own_sheets
from wiring.parts.kinds import kind_model
from wiring.parts.passive import Metalwork

PARTS = """
parts:
  F1: {kind: breaker, poles: 2, rating: 6 A, curve: C, breaking: 6 kA, supplier: North, order: B-6, price: 12.50 EUR}
  F2: {kind: breaker, poles: 2, rating: 6 A, curve: C, breaking: 10 kA, supplier: North, order: B-6, price: 12.50 EUR}
  F3: {kind: motor-protector, setting: 1.1 A, range: 1..1.6 A, supplier: South, price: 30 EUR}
  F4: {kind: motor-protector, setting: 1.4 A, range: 1..1.6 A, supplier: South, price: 30 EUR}
  S1: {kind: push-button, contacts: {13-14: NO}, colour: GN, supplier: South, price: ask}
  S2: {kind: push-button, contacts: {23-24: NO}, colour: GN, supplier: South, price: ask}
  S3: {kind: push-button, contacts: {11-12: NC, 23-24: NO}, colour: RD}
  Q1: {kind: contactor, coil: 24 V DC 3 W, rated: 9 A, category: AC-3, rated_voltage: 400 V AC, suppressor: diode}
  M1: {kind: stepper-motor, phase_current: 4.2 A peak, load_inertia: 1 kg cm2}
  M2: {kind: stepper-motor, phase_current: 4.2 A peak, load_inertia: 2 kg cm2, phase_resistance: 0.5 ohm}
  X1: {kind: terminals, points: 6, bridged: [1-2]}
  X2: {kind: terminals, points: 6, bridged: [1-4]}
"""
SPECS = ("foam-gantry", "stone-engraver", "glue-robot")


def lines() -> dict[str, tuple[object, ...]]:
    return {str(row[3]): row for row in list_table(design(PARTS.replace("kg cm2", "kg·cm2")), ListName.PARTS).rows}


def test_a_row_says_what_a_shop_asks() -> None:
    found = lines()
    assert found["F1"][2] == "breaker, 2 poles, curve C, 6.0 A, breaking capacity 6.0 kA"
    assert found["S3"][2] == "push button, 1 NC + 1 NO, RD"
    contactor = str(found["Q1"][2])
    for word in ("3 poles", "9.0 A", "AC-3", "coil 24 V DC 3.0 W", "rated 400 V AC", "suppressor diode"):
        assert word in contactor


def test_a_make_and_a_break_contact_on_one_terminal_are_one_changeover() -> None:
    """EN 50005: 11-12 and 11-14 share terminal 11."""
    relay = "parts:\n  K1: {kind: relay, coil: 24 V DC 0.5 W, contacts: {11-12: NC, 11-14: NO, 23-24: NO}}\n"
    [row] = list_table(design(relay), ListName.PARTS).rows
    assert "1 NO + 1 changeover" in str(row[2])


def test_equal_things_merge_whatever_they_are_set_to_and_however_their_contacts_are_marked() -> None:
    found = lines()
    assert found["F3 F4"][1] == 2
    assert "dial 1.0 A to 1.6 A" in str(found["F3 F4"][2])
    assert found["S1 S2"][1] == 2


def test_different_things_show_the_difference() -> None:
    """The load of M1 is no part of it; the winding of M2 is, though no shop asks it first."""
    found = lines()
    assert "6.0 kA" in str(found["F1"][2])
    assert "10 kA" in str(found["F2"][2])
    assert "(phase resistance not given)" in str(found["M1"][2])
    assert "(phase resistance 0.50 ohm)" in str(found["M2"][2]) or "(phase resistance 0.5" in str(found["M2"][2])
    assert "bridges of 2" in str(found["X1"][2])
    assert "bridges of 4" in str(found["X2"][2])


def test_orders_add_up_by_supplier() -> None:
    """North: 2 x 12.50 = 25.00 EUR. South: 2 x 30 = 60.00 EUR, and a button whose price must be asked."""
    made = design(PARTS.replace("kg cm2", "kg·cm2"))
    table = list_table(made, ListName.ORDERS)
    assert [(row[0], row[1], row[3]) for row in table.rows] == [
        ("North", 1, "F1"),
        ("North", 1, "F2"),
        ("South", 2, "F3 F4"),
        ("South", 2, "S1 S2"),
    ]
    assert table.notes[0] == "North: 2 lines, 25.00 EUR."
    assert table.notes[1] == "South: 2 lines, 60.00 EUR, 1 line without a price that can be counted."
    assert table.notes[2].startswith("6 lines of the bill have no `supplier`")
    book = load_workbook(BytesIO(as_xlsx(*own_sheets(made, ListName.ORDERS))))
    assert book.sheetnames == ["North", "South"]


def test_names_that_no_sheet_may_have_still_give_a_workbook() -> None:
    """A spreadsheet forbids []:*?/\\ in the name of a sheet, more than 31 letters, and two names alike but for case."""
    names = ["A/B: [parts]", "a?b* \\parts", "x" * 40, "X" * 41, "'", "History"]
    parts = "".join(
        f"  X{n}: {{kind: terminals, points: {n + 2}, supplier: '{name.replace(chr(39), chr(39) * 2)}'}}\n"
        for n, name in enumerate(names)
    )
    book = load_workbook(BytesIO(as_xlsx(*own_sheets(design(f"parts:\n{parts}"), ListName.ORDERS))))
    assert len({name.casefold() for name in book.sheetnames}) == len(names)


@pytest.mark.parametrize("spec", SPECS)
def test_no_two_rows_read_alike_and_every_part_is_in_one(spec: str) -> None:
    made = spec_design(spec)
    rows = [
        row
        for row in list_table(made, ListName.PARTS).rows
        if str(row[2]).split()[0] not in ("wire", "cable", "ferrule")
    ]
    assert len({row[2:3] + row[4:] for row in rows}) == len(rows)
    named = sorted(name for row in rows for name in str(row[3]).split())
    assert named == sorted(name for name, part in made.parts.items() if not isinstance(part.data, Metalwork))
    assert sum(int(str(row[1])) for row in rows) == len(named)


@pytest.mark.parametrize("spec", SPECS)
def test_the_plans_say_all_that_a_shop_asks(spec: str) -> None:
    assert "A shop asks" not in " ".join(bill_table(spec_design(spec)).notes)


def test_an_overload_relay_is_asked_for_no_breaking_capacity() -> None:
    """IEC 60947-4-1: an overload relay trips a contactor; what breaks a short circuit stands in front of it."""
    relay = "parts:\n  F1: {{kind: motor-protector, poles: 1, setting: 5 A, rated_voltage: 400 V AC, magnetic: {}}}\n"
    told = [" ".join(bill_table(design(relay.format(magnetic))).notes) for magnetic in ("false", "true")]
    assert ["breaking capacity of F1" in words for words in told] == [False, True]


def test_a_yes_is_said_by_its_words_alone() -> None:
    guard = "parts:\n  B1: {kind: guard-switch, contacts: {11-12: NC direct}, locking: true}\n"
    [row] = list_table(design(guard), ListName.PARTS).rows
    assert row[2] == "guard switch, 1 NC direct, with guard locking"


def test_what_a_shop_asks_and_the_plan_leaves_out_is_told() -> None:
    """IEC 60947-2, 5.2: rating, curve, voltage and breaking capacity stand on every breaker."""
    part = "parts:\n  F1: {{kind: breaker, poles: 1, rating: 6 A, curve: C{more}}}\nwires: []\n"
    told = " ".join(bill_table(design(part.format(more=", breaking: 6 kA"))).notes)
    assert "A shop asks, and the plan does not say: rated voltage of F1." in told
    full = part.format(more=", breaking: 6 kA, rated_voltage: 230 V AC")
    assert "A shop asks" not in " ".join(bill_table(design(full)).notes)


def test_every_key_that_a_shop_asks_is_one_of_its_kind() -> None:
    for kind, keys in _asked().items():
        assert set(keys) <= set(kind_model(kind).model_fields), kind
