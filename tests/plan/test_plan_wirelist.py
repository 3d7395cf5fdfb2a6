"""Wires and cables from CSV and spreadsheet: the same as from the plan, with the place of every cell."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest
from press import PRESS

from wiring.plan.listwriter import write_cables, write_wires
from wiring.plan.read import Reading, read, read_text
from wiring.plan.whereabouts import Whereabouts

WINDER = Path(__file__).parents[2] / "specs" / "coil-winder.yaml"
HEAD = PRESS[: PRESS.index("wires:")]


def press_with(folder: Path, wires: str = "", cables: str = "") -> Reading:
    text = HEAD + (f"wires: {wires}\n" if wires else "") + (f"cables: {cables}\n" if cables else "")
    return read_text(text, "plan.yaml", folder)


def write(path: Path, text: str, encoding: str = "utf-8") -> str:
    path.write_bytes(text.encode(encoding))
    return path.name


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_round_trip_of_the_coil_winder(tmp_path: Path, suffix: str) -> None:
    plan = read(WINDER).plan_or_raise()
    write_wires(tmp_path / f"wires{suffix}", plan.wires)
    write_cables(tmp_path / f"cables{suffix}", plan.cables)
    text = WINDER.read_text(encoding="utf-8")
    start, end = text.index("\nwires:"), text.index("\n# A finding")
    again = read_text(f"{text[:start]}\nwires: wires{suffix}\ncables: cables{suffix}\n{text[end:]}", "plan", tmp_path)
    assert [str(fault) for fault in again.faults] == []
    assert again.plan is not None
    assert again.plan.wires == plan.wires
    assert again.plan.cables == plan.cables


ALL_FORMS = """\
  - {wire: 1, star: {from: X0:L, to: [M1:U, S1:11]}, size: 16 AWG, ferrule: true, conductor_class: 5,
     title: "a, \\"b\\""}
  - {wire: 2.10, through: [X0:N, S1:12, M1:V], rated: 0.6 kV, length: 333.3 mm}
"""
ALL_CABLE = """\
  - {cable: C1, cores: 3, sizes: {2: 2.5 mm2}, size: 1.5 mm2, colours: [BN, BU, GNYE], flexing: true, diameter: 8.1 mm,
     join: {1: [X0:L, M1:U], 2: [X0:N, M1:V]}, shield: {ends: [X0:PE, M1:PE], method: clamp}}
"""


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_round_trip_of_every_column(tmp_path: Path, suffix: str) -> None:
    plan = read_text(f"{HEAD}wires:\n{ALL_FORMS}cables:\n{ALL_CABLE}").plan_or_raise()
    write_wires(tmp_path / f"w{suffix}", plan.wires)
    write_cables(tmp_path / f"c{suffix}", plan.cables)
    again = press_with(tmp_path, f"w{suffix}", f"c{suffix}").plan_or_raise()
    assert again.wires == plan.wires
    assert again.cables == plan.cables


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
def test_delimiters_and_places(tmp_path: Path, delimiter: str, encoding: str) -> None:
    rows = [["wire", "from", "to", "size"], ["1", "X0:L", "M1:U", "1.5 mm2"], ["2", "X0:N", "M1:V", "4 V"]]
    name = write(tmp_path / "w.csv", "\n".join(delimiter.join(row) for row in rows), encoding)
    reading = press_with(tmp_path, name)
    [fault] = reading.faults
    assert fault.summary == "`size`: 4 V is a voltage"
    # "2" "X0:N" "M1:V" with one delimiter behind each: 1 + 1 + 4 + 1 + 4 + 1 = 12 characters before the cell.
    assert (fault.place.file, fault.place.line, fault.place.column, fault.place.length) == (
        str(tmp_path / name),
        3,
        13,
        3,
    )  # type: ignore[union-attr]
    [source] = [one for one in reading.sources.values() if one.file == fault.place.file]  # type: ignore[union-attr]
    assert source.lines[2][12:15] == "4 V"
    assert Whereabouts(reading.sources).words(fault.place) == "wire 2 › size"  # type: ignore[arg-type]


def test_quoted_cells_keep_their_place(tmp_path: Path) -> None:
    name = write(tmp_path / "w.csv", 'wire,title,from,to\n1,"a, ""b""\nc",X0:L,M1:U\n2,"x,y",X0:L,M9:U\n')
    [fault] = press_with(tmp_path, name).faults
    assert fault.summary == "there is no part 'M9'"
    assert (fault.place.line, fault.place.column, fault.place.length) == (4, 14, 2)  # type: ignore[union-attr]


def test_places_of_a_spreadsheet_are_row_and_column(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.append(["wire", "from", "to", "size"])
    book.active.append([100, "X0:L", "M1:U", "1.5 mm2"])
    book.active.append([101.0, "X0:N", "M1:V", 1.5])
    book.save(tmp_path / "w.xlsx")
    reading = press_with(tmp_path, "w.xlsx")
    [fault] = reading.faults
    assert fault.summary == "`size`: '1.5' needs a unit"
    assert (fault.place.line, fault.place.column) == (3, 4)  # type: ignore[union-attr]
    assert reading.node("wires", 0, "wire").data == "100"  # type: ignore[union-attr]
    assert reading.node("wires", 1, "wire").data == "101"  # type: ignore[union-attr]
    whereabouts = Whereabouts(reading.sources)
    assert whereabouts.line(fault.place) is None  # type: ignore[arg-type]
    assert whereabouts.words(fault.place) == "wire 101 › size"  # type: ignore[arg-type]


def test_numbers_of_a_plan_survive_a_spreadsheet_that_turns_them_into_numbers(tmp_path: Path) -> None:
    plan = read(WINDER).plan_or_raise()
    path = tmp_path / "w.csv"
    write_wires(path, plan.wires)
    book = openpyxl.Workbook()
    with path.open(encoding="utf-8", newline="") as file:
        for row in csv.reader(file):
            book.active.append([int(cell) if cell.isdigit() else cell for cell in row])
    book.save(tmp_path / "wires.xlsx")
    text = WINDER.read_text(encoding="utf-8")
    start, end = text.index("\nwires:"), text.index("\ncables:")
    again = read_text(f"{text[:start]}\nwires: wires.xlsx\n{text[end:]}", "plan", tmp_path).plan_or_raise()
    assert again.wires == plan.wires


@pytest.mark.parametrize(
    ("text", "line", "column", "summary"),
    [
        ("", 1, 1, "the list is empty"),
        ("wire,form,to\n1,X0:L,M1:U", 1, 6, "'form' is not a column"),
        ("wire,from,to,to\n1,X0:L,M1:U,M1:V", 1, 14, "column 'to' is there twice"),
        ("wire,from,to\n1,X0:L,M1:U,black", 2, 13, "'black' stands in a column without a heading"),
        ("wire,from,to\n1,X0:L,M9:U", 2, 8, "there is no part 'M9'"),
        ("wire,from,to\n1,X0:L,M1:U\n1,X0:N,M1:V", 3, 1, "the id '1' stands for a wire already"),
        ("wire,from,to\n,X0:L,M1:U", 2, 2, "item 1 of `wires` has no `wire`"),
        ("wire,through\n1,X0:L", 2, 3, "`through`: a chain of fewer than two terminals joins nothing"),
        ("wire,star\n1,X0:L", 2, 3, "`to` has 0 items"),
        ('wire,from,to\n1,"X0:L,M1:U', 2, 1, "this line is not a row of a table"),
        ("wire,from,to\n1,X0:L\x00,M1:U", 2, 7, "character U+0000 cannot be printed"),
        ("wire;from;to;length\n1;X0:L;M1:U;0,5 m", 2, 13, "`length`: '0,5 m' has a comma in its number"),
    ],
)
def test_faulty_lists(tmp_path: Path, text: str, line: int, column: int, summary: str) -> None:
    found = [
        (fault.place.line, fault.place.column, fault.summary)
        for fault in press_with(tmp_path, write(tmp_path / "w.csv", text)).faults
        if fault.place and fault.place.file.endswith("w.csv")
    ]
    assert (line, column, summary) in found


@pytest.mark.parametrize(
    ("text", "line", "column", "summary"),
    [
        ("cable,core,from,to\nC1,1,X0:L,M1:U\nC1,1,X0:N,M1:V", 3, 4, "core '1' is there twice"),
        ("cable,core,from,to\n,1,X0:L,M1:U", 2, 2, "this row names no cable"),
        ("cable,core,from,to\nC1,,X0:L,M1:U", 2, 1, "this row has ends and no core"),
        (
            "cable,length,core,from,to\nC1,1 m,1,X0:L,M1:U\nC1,2 m,2,X0:N,M1:V",
            3,
            4,
            "length of cable 'C1' differs from its first row",
        ),
        ("cable,core,from,to\nC1,1,X0:L,M9:U", 2, 11, "there is no part 'M9'"),
    ],
)
def test_faulty_cable_lists(tmp_path: Path, text: str, line: int, column: int, summary: str) -> None:
    faults = press_with(tmp_path, cables=write(tmp_path / "c.csv", text)).faults
    assert (line, column, summary) in [
        (fault.place.line, fault.place.column, fault.summary) for fault in faults if fault.place
    ]


def test_files_that_are_no_lists(tmp_path: Path) -> None:
    (tmp_path / "broken.xlsx").write_bytes(b"PK\x03\x04 nonsense")
    (tmp_path / "latin.csv").write_bytes(b"wire,title\n1,gr\xfcn\n")
    found = {name: press_with(tmp_path, name).faults for name in ("broken.xlsx", "latin.csv", "none.csv", "w.pdf")}
    assert [fault.summary for fault in found["broken.xlsx"]] == ["this is not a spreadsheet that can be read"]
    assert [fault.summary for fault in found["latin.csv"]] == ["byte 0xfc is not UTF-8"]
    assert [fault.summary for fault in found["none.csv"]] == [f"{tmp_path / 'none.csv'}: there is no such file"]
    assert [fault.summary for fault in found["w.pdf"]] == ["'w.pdf' is no list of wires"]
    missing = found["none.csv"][0].place
    assert missing is not None
    assert (missing.file, missing.line, missing.column) == ("plan.yaml", 18, 8)


def test_columns_in_brackets_are_for_people(tmp_path: Path) -> None:
    text = "wire,from,[Sheet],to,[Sheet]\n1,X0:L,1/A1,M1:U,2/B2\n"
    (wire,) = press_with(tmp_path, write(tmp_path / "w.csv", text)).plan_or_raise().wires
    assert (str(wire.start), str(wire.to)) == ("X0:L", "M1:U")


#: A title may begin with what a spreadsheet program takes for a formula; IEC 81346 has such signs before designations.
SIGNS = ("=M1+A2", "+24 V", "-K1", "@door")


@pytest.mark.parametrize("suffix", [".csv", ".xlsx"])
def test_signs_of_formulas_survive_and_are_none(tmp_path: Path, suffix: str) -> None:
    rows = "".join(f'  - {{wire: {n}, from: X0:L, to: M1:U, title: "{sign}"}}\n' for n, sign in enumerate(SIGNS, 1))
    plan = read_text(f"{HEAD}wires:\n{rows}").plan_or_raise()
    write_wires(tmp_path / f"w{suffix}", plan.wires)
    assert press_with(tmp_path, f"w{suffix}").plan_or_raise().wires == plan.wires
    if suffix == ".xlsx":
        sheet = openpyxl.load_workbook(tmp_path / "w.xlsx").active
        assert {cell.data_type for row in sheet.iter_rows() for cell in row if cell.value} == {"s"}


def test_an_apostrophe_before_such_a_sign_is_no_part_of_the_cell(tmp_path: Path) -> None:
    text = "wire,from,to,title\n1,X0:L,M1:U,'-K1\n2,X0:N,M1:V,'tis\n"
    wires = press_with(tmp_path, write(tmp_path / "w.csv", text)).plan_or_raise().wires
    assert [wire.title for wire in wires] == ["-K1", "'tis"]
