"""Lists against the text of the plan, read a second time without the project's own reader."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.helpers import design
from wiring.design.load import load
from wiring.documents.ends import Ends
from wiring.documents.labels import labels
from wiring.documents.list_names import ListName
from wiring.documents.lists import list_table
from wiring.documents.table import Table

GANTRY = Path(__file__).parents[2] / "specs" / "foam-gantry.yaml"
PLAN: dict[str, Any] = yaml.load(GANTRY.read_text("utf-8"), Loader=yaml.BaseLoader)


def pieces() -> dict[str, tuple[str, str]]:
    """Every piece of wire of the gantry with its ends, from the bare YAML."""
    found = {}
    for wire in PLAN["wires"]:
        name = wire["wire"]
        if "through" in wire:
            found |= {f"{name}.{n}": ends for n, ends in enumerate(pairwise(wire["through"]), 1)}
        elif "star" in wire:
            found |= {f"{name}.{n}": (wire["star"]["from"], to) for n, to in enumerate(wire["star"]["to"], 1)}
        else:
            found[name] = (wire["from"], wire["to"])
    return found


def cores() -> dict[str, tuple[str, str]]:
    """Every joined core of the gantry with its ends."""
    return {
        f"{cable['cable']}.{core}": (ends[0], ends[1])
        for cable in PLAN["cables"]
        for core, ends in cable["join"].items()
    }


def shields() -> list[str]:
    """Every bonded end of a shield."""
    return [end for cable in PLAN["cables"] for end in cable.get("shield", {}).get("ends", [])]


@pytest.fixture(scope="module")
def gantry():  # type: ignore[no-untyped-def]
    found = load(GANTRY).design
    assert found is not None
    return found


def column(table: Table, heading: str) -> list[Any]:
    place = table.headings.index(heading)
    return [row[place] for row in table.rows]


def test_the_wire_list_has_every_piece_with_its_ends_once(gantry) -> None:  # type: ignore[no-untyped-def]
    table = list_table(gantry, ListName.WIRES)
    listed = dict(zip(column(table, "Wire"), zip(column(table, "From"), column(table, "To"), strict=True), strict=True))
    assert len(table.rows) == len(listed)
    assert listed == pieces()


def test_the_wire_list_gives_size_colour_and_length_of_the_type_unless_the_wire_says_otherwise(gantry) -> None:  # type: ignore[no-untyped-def]
    """Size and colour of the wire's type in the bare YAML; 200 shortens its type's length to 0.2 m."""
    table = list_table(gantry, ListName.WIRES)
    types = PLAN["wire_types"]
    of_wire = {wire["wire"]: wire for wire in PLAN["wires"]}
    rows = zip(*(column(table, h) for h in ("Wire", "Size", "Colour", "Length")), strict=True)
    for name, size, colour, length in rows:
        wire = of_wire[name.partition(".")[0]]
        kind = types[wire["type"]]
        assert (size, colour) == (wire.get("size", kind["size"]), wire.get("colour", kind["colour"]))
        assert f"{length:g} m" == wire.get("length", kind["length"])


def test_the_cable_list_has_every_core_and_shield_end(gantry) -> None:  # type: ignore[no-untyped-def]
    table = list_table(gantry, ListName.CABLES)
    names = [f"{cable}.{core}" for cable, core in zip(column(table, "Cable"), column(table, "Core"), strict=True)]
    ends = dict(zip(names, zip(column(table, "From"), column(table, "To"), strict=True), strict=True))
    assert {name: ends[name] for name in cores()} == cores()
    bonded = [to for core, to in zip(column(table, "Core"), column(table, "To"), strict=True) if "shield" in core]
    assert sorted(bonded) == sorted(shields())


def test_the_terminal_plan_has_every_point_and_every_conductor_end_at_a_strip_once(gantry) -> None:  # type: ignore[no-untyped-def]
    table = list_table(gantry, ListName.TERMINALS)
    points = {
        f"{name}:{n}"
        for name, part in PLAN["parts"].items()
        if part["kind"] in ("terminals", "earth-bar")
        for n in range(1, int(part["points"]) + 1)
    }
    at = [f"{strip}:{point}" for strip, point in zip(column(table, "Strip"), column(table, "Point"), strict=True)]
    assert set(at) == points
    listed = Counter(
        (point, conductor)
        for heading in ("Inner conductor", "Outer conductor")
        for point, conductor in zip(at, column(table, heading), strict=True)
        if conductor and "shield" not in conductor
    )
    wanted = Counter((end, name) for name, ends in (pieces() | cores()).items() for end in ends if end in points)
    assert listed == wanted


def test_both_sides_of_a_point_stand_in_one_row(gantry) -> None:  # type: ignore[no-untyped-def]
    """X4:1 of the gantry takes wire 400 from the cabinet and core 1 of C31 to the limits; bridge 1-8."""
    table = list_table(gantry, ListName.TERMINALS, Ends({("C31.1", "B1:11"): "7/B2"}))
    row = next(row for row in table.rows if row[:2] == ("X4", "1"))
    assert row == ("X4", "1", "400", "X1:9", "1-8", "C31.1", "B1:11 7/B2", "")


def test_spares_are_the_points_that_no_conductor_names(gantry) -> None:  # type: ignore[no-untyped-def]
    table = list_table(gantry, ListName.SPARES)
    used = {end for ends in (pieces() | cores()).values() for end in ends} | set(shields())
    free = {
        (name, str(n))
        for name, part in PLAN["parts"].items()
        if part["kind"] in ("terminals", "earth-bar")
        for n in range(1, int(part["points"]) + 1)
        if f"{name}:{n}" not in used
    }
    rows = {row[:2] for row in table.rows if str(row[2]).startswith("point")}
    assert rows == free


SMALL = """
parts:
  X1: {kind: terminals, points: 6, bridged: [1-2], order: T-6, price: 2.50 EUR}
  X2: {kind: terminals, points: 6, bridged: [1-2], order: T-6, price: 2.50 EUR}
  X3: {kind: terminals, points: 4, price: ask}
  K1: {kind: relay, coil: 24 V DC 0.5 W, contacts: {11-14: NO, 21-22: NC}, price: 4 EUR}
wire_types:
  thin: {size: 0.5 mm2, colour: BU, insulation: pvc-70, ferrule: true}
wires:
  - {wire: 1, from: X1:1, to: X2:1, type: thin, length: 0.4 m}
  - {wire: 2, through: [X1:2, X2:2, X3:1], type: thin, length: 0.4 m}
  - {wire: 3, from: X1:3, to: K1:11, type: thin, length: 1.2 m}
  - {wire: 4, from: X3:2, to: K1:14, type: thin}
cables:
  - {cable: C1, cores: 5, size: 1 mm2, length: 3 m, join: {1: [X1:5, X3:3], 2: [X1:6, X3:4]}}
"""


def test_cut_lengths_add_up() -> None:
    """0.5 mm2 blue: 1.2 m once, 0.4 m three times = 2.4 m; waste 4 x 0.1 m; 2.8 m, so 3 m to buy; wire 4 has no length.

    Cable: 3 m + 0.3 m = 3.3 m, so 4 m to buy.
    """
    table = list_table(design(SMALL), ListName.LENGTHS)
    wire, cable = "wire 0.5 mm2 BU pvc-70", "cable 5 x 1 mm2"
    assert [row[:3] for row in table.rows] == [
        (wire, 1.2, 1),
        (wire, 0.4, 3),
        (wire, None, 1),
        (wire, "", 5),
        (cable, 3.0, 1),
        (cable, "", 1),
    ]
    total = next(row for row in table.rows if row[:2] == (wire, ""))
    assert total[3] == pytest.approx(2.4)
    assert total[4] == pytest.approx(0.4)
    assert total[5] == 3
    assert table.rows[-1][5] == 4
    assert table.rows[1][6] == "1 2.1 2.2"
    assert "not counted: 4." in table.notes[1]


def test_the_bill_counts_equal_parts_and_adds_prices() -> None:
    """Two strips at 2.50 and a relay at 4.00 make 9.00 EUR; "ask" is no price. Ferrules: 5 pieces x 2 ends."""
    table = list_table(design(SMALL), ListName.PARTS)
    lines = {row[3]: row for row in table.rows}
    assert lines["X1 X2"][1] == 2
    assert lines["X1 X2"][4:] == ("T-6", "2.50 EUR", "5.00 EUR")
    assert lines["X3"][4:] == ("", "ask", "")
    assert lines["K1"][6] == "4.00 EUR"
    assert lines["wire ends"][1:3] == (10, "ferrule 0.5 mm2")
    assert "Parts with a price: 9.00 EUR. Lines without a price that can be counted: 1" in table.notes[0]


def test_spares_of_cards_contacts_and_cables() -> None:
    """The relay's break contact 21-22 is free, its make contact is not; 3 of 5 cores of C1 are free."""
    rows = [row[:3] for row in list_table(design(SMALL), ListName.SPARES).rows]
    assert ("K1", "21-22", "break contact") in rows
    assert not any(row[1] == "11-14" for row in rows)
    assert ("C1", "3 of 5", "cores") in rows
    assert ("X1", "4", "point") in rows


def test_every_wire_end_gets_a_label_that_names_its_terminal() -> None:
    found = [(one.what, one.text, one.below) for one in labels(design(SMALL))]
    for name in ("2.1", "2.2"):  # the pieces of a chain are called on their ferrules as in the wire list and drawing
        assert found.count(("wire end", name, "X2:2")) == 1
    assert found.count(("wire end", "2.2", "X3:1")) == 1
    assert found.count(("cable end", "C1", "X1")) == 1
    assert found.count(("cable end", "C1", "X3")) == 1
    ends = [one for one in found if one[0] == "wire end"]
    assert len(ends) == 2 * 5
    assert len([one for one in found if one[0] == "part"]) == 4


FEET = """
parts:
  X1: {kind: terminals, points: 4}
wires:
  - {wire: 1, from: X1:1, to: X1:2, size: 16 AWG, length: 18 in}
  - {wire: 2, from: X1:3, to: X1:4, size: 16 AWG, length: 3.5 ft}
"""


def test_people_read_feet_under_the_north_american_rulebook_and_metres_under_iec() -> None:
    """18 in are 1.5 ft or 0.4572 m (1 ft = 0.3048 m exactly); 5 ft and two times 0.1 m of waste need 6 ft."""
    made = design(FEET, "na")
    wires = list_table(made, ListName.WIRES)
    at = wires.headings.index("Length")
    assert [row[at] for row in wires.words()] == ["1.5 ft", "3.5 ft"]
    *_, total = list_table(made, ListName.LENGTHS).words()
    assert "6 ft" in total
    metric = list_table(design(FEET), ListName.WIRES)
    assert [row[at] for row in metric.words()] == ["0.457 m", "1.07 m"]


def test_columns_that_no_row_fills_are_said_in_a_note() -> None:
    wires = list_table(design(FEET, "na"), ListName.WIRES)
    assert not {"Ferrules", "Route", "Title"} & set(wires.headings)
    assert any("ferrules" in note for note in wires.notes)
    with_one = list_table(design(FEET.replace("length: 18 in", "length: 18 in, ferrule: true"), "na"), ListName.WIRES)
    at = with_one.headings.index("Ferrules")
    assert [row[at] for row in with_one.words()] == ["yes", "not given"]
