"""Wires and cables in lists of their own: changes reach the rows that they speak of, and nothing else."""

from __future__ import annotations

import difflib
from io import BytesIO
from pathlib import Path

import pytest
from openpyxl import Workbook, load_workbook
from openpyxl.styles import Font
from typer.testing import CliRunner

from wiring.changes.add_axes import add_axes
from wiring.changes.axis import find_axis, parts_of
from wiring.changes.lines import make_changes
from wiring.changes.list_edits import apply_to_list
from wiring.changes.outcome import open_plan
from wiring.changes.room import room
from wiring.changes.wanted import Wanted
from wiring.cli import app
from wiring.plan.edits import AddItem, RemoveEntry, SetValue
from wiring.plan.fault import Refusal
from wiring.plan.listwriter import write_cables, write_wires
from wiring.plan.read import read

SPECS = Path(__file__).parents[2] / "specs"
PLANS = [("foam-gantry", "M1"), ("bench-press-feeder", "M1"), ("stone-engraver", "M3"), ("coil-winder", "M2")]
SUFFIXES = [".csv", ".xlsx"]


def with_lists(folder: Path, plan: str, suffix: str) -> Path:
    """The plan of a spec whose wires and cables stand in lists beside it."""
    text = (SPECS / f"{plan}.yaml").read_text(encoding="utf-8")
    model = read(SPECS / f"{plan}.yaml").plan
    write_wires(folder / f"w{suffix}", model.wires)
    write_cables(folder / f"c{suffix}", model.cables)
    lines: list[str] = []
    section = ""
    for line in text.splitlines():
        if line and line[0] not in " #-":
            section = line.partition(":")[0]
            if section in ("wires", "cables"):
                lines.append(f"{section}: {section[0]}{suffix}")
        if section not in ("wires", "cables"):
            lines.append(line)
    path = folder / "plan.yaml"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def added(path: Path, like: str):
    before = open_plan(path)
    axis = parts_of(before.design, find_axis(before.design, like))
    return before, before.changed(add_axes(before.design, axis, 1, Wanted()).edits)


def network(design):
    return {
        one.id: (one.ends, one.size and one.size.area_mm2, one.length_m, one.route, one.colour, one.insulation)
        for one in design.circuit.conductors
    }


@pytest.mark.parametrize("suffix", SUFFIXES)
@pytest.mark.parametrize(("plan", "like"), PLANS)
def test_an_axis_more_is_the_same_as_in_a_plan_of_one_file(tmp_path, plan, like, suffix):
    _, by_lists = added(with_lists(tmp_path, plan, suffix), like)
    _, by_plan = added(SPECS / f"{plan}.yaml", like)
    assert network(by_lists.design) == network(by_plan.design)


@pytest.mark.parametrize(("plan", "like"), PLANS)
def test_only_lines_of_a_csv_that_must_change_do(tmp_path, plan, like):
    before, after = added(with_lists(tmp_path, plan, ".csv"), like)
    for path, data in after.lists.items():
        old = Path(path).read_text(encoding="utf-8").splitlines()
        diff = [line for line in difflib.ndiff(old, data.decode("utf-8").splitlines()) if line[0] in "+-"]
        gone = [line[2:] for line in diff if line[0] == "-"]
        came = [line[2:] for line in diff if line[0] == "+"]
        ids = {line.partition(",")[0] for line in gone}
        new = set(network(after.design)) - set(network(before.design))
        for line in came:  # a chain that grew, or a new wire or cable
            name = line.partition(",")[0]
            assert name in ids or any(one == name or one.startswith(f"{name}.") for one in new), line
        assert ids <= {line.partition(",")[0] for line in came}


CSV = "\ufeffwire;from;[sheet];to;note_is_quoted\r\n".replace(";note_is_quoted", ";title") + (
    '1;X1:1;1/A2;X2:1;"a ""quoted"" title"\r\n\r\n  2 ;X1:2;1/A3;X2:2\r\n3;\'-X1:3;;X2:3;end'
)


def edited(text: str, *edits, name: str = "w.csv") -> str:
    return apply_to_list(Path(name), text.encode("utf-8"), "wires", edits).decode("utf-8")


def test_a_cell_changes_and_every_other_byte_stays():
    assert edited(CSV, SetValue(("wires", "2", "to"), "X2:9")) == CSV.replace("X2:2", "X2:9")
    assert edited(CSV, SetValue(("wires", "1", "title"), "new")) == CSV.replace('"a ""quoted"" title"', "new")


def test_a_column_that_is_not_there_comes_last():
    out = edited(CSV, SetValue(("wires", "2", "size"), "2.5 mm2"))
    assert out == CSV.replace(";title\r\n", ";title;size\r\n").replace("1/A3;X2:2\r\n", "1/A3;X2:2;;2.5 mm2\r\n")


def test_rows_come_and_go():
    row = '{wire: 4, from: "X1:4", to: "-X2:4", title: "a; b"}'
    assert edited(CSV, AddItem(("wires",), row)) == f'{CSV}\r\n4;X1:4;;-X2:4;"a; b"\r\n'
    first = '1;X1:1;1/A2;X2:1;"a ""quoted"" title"\r\n'
    behind = CSV.replace(first, f'{first}4;X1:4;;-X2:4;"a; b"\r\n')
    assert edited(CSV, AddItem(("wires",), row, "1")) == behind
    assert edited(CSV, RemoveEntry(("wires", "1"))) == CSV.replace(first, "")


def test_chains_and_fans_grow():
    text = "wire,through,star\n1,A:1 B:1 C:1,\n2,,A:2 B:2\n"
    out = edited(text, AddItem(("wires", "1", "through"), "D:1"), AddItem(("wires", "2", "star", "to"), "D:2"))
    assert out == "wire,through,star\n1,A:1 B:1 C:1 D:1,\n2,,A:2 B:2 D:2\n"
    out = edited(text, SetValue(("wires", "1", "through", 1), "E:1"), SetValue(("wires", "2", "star", "from"), "E:2"))
    assert out == "wire,through,star\n1,A:1 E:1 C:1,\n2,,E:2 B:2\n"


@pytest.mark.parametrize("path", [("wires", "9", "to"), ("wires", "1", "star", "x"), ("wires", "1", "colour", "x")])
def test_what_is_not_there_is_told(path):
    with pytest.raises(Refusal, match=r"w\.csv"):
        edited("wire,from,to\n1,A:1,B:1\n", SetValue(path, "1"))


def book() -> Workbook:
    made = Workbook()
    sheet = made.active
    for row in (("wire", "from", "to", "[checked by]"), (1, "=X1:1", "X2:1", "me"), ("2", "X1:2", "X2:2", None)):
        sheet.append(row)
    sheet["B2"].data_type = "s"
    sheet["C3"].font = Font(bold=True)
    made.create_sheet("mine")["B7"] = 12.5
    return made


def rewritten(made: Workbook, *edits):
    stream = BytesIO()
    made.save(stream)
    return load_workbook(BytesIO(apply_to_list(Path("w.xlsx"), stream.getvalue(), "wires", edits)))


def test_other_cells_and_sheets_of_a_workbook_stay():
    row = '{wire: "-3", from: "+X1:3", to: X2:3}'
    out = rewritten(book(), SetValue(("wires", "2", "to"), "X2:9"), AddItem(("wires",), row))
    sheet = out.worksheets[0]
    values = [[cell.value for cell in line] for line in sheet.iter_rows()]
    assert values == [
        ["wire", "from", "to", "[checked by]"],
        [1, "=X1:1", "X2:1", "me"],
        ["2", "X1:2", "X2:9", None],
        ["-3", "+X1:3", "X2:3", None],
    ]
    assert {cell.data_type for line in sheet.iter_rows() for cell in line} <= {"s", "n"}
    assert sheet["C3"].font.bold
    assert out["mine"]["B7"].value == 12.5


def test_a_workbook_that_would_lose_something_is_not_written():
    made = book()
    made["mine"]["A1"] = "=1+1"
    with pytest.raises(Refusal, match="formula in A1 of mine"):
        rewritten(made, SetValue(("wires", "2", "to"), "X2:9"))
    made = book()
    from openpyxl.chart import BarChart

    made["mine"].add_chart(BarChart(), "A1")
    with pytest.raises(Refusal, match="would be lost"):
        rewritten(made, SetValue(("wires", "2", "to"), "X2:9"))


def called(*words):
    return CliRunner(env={"COLUMNS": "200"}).invoke(app, [str(word) for word in words])


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_the_list_is_written_beside_the_new_plan(tmp_path, suffix):
    plan = with_lists(tmp_path, "coil-winder", suffix)
    kept = {path: path.read_bytes() for path in tmp_path.iterdir()}
    out = tmp_path / "more.yaml"
    result = called("change", plan, "C1.size=1.5 mm2", "--out", out)
    assert f"Written: {out}, {tmp_path / f'more-c{suffix}'}" in result.output
    assert f"cables: more-c{suffix}" in out.read_text(encoding="utf-8")
    assert {path: path.read_bytes() for path in kept} == kept
    assert open_plan(out).design.circuit.conductor["C1.1"].size.text == "1.5 mm2"


def test_in_the_place_of_the_plan_the_list_keeps_its_name(tmp_path):
    plan = with_lists(tmp_path, "coil-winder", ".csv")
    text = plan.read_text(encoding="utf-8")
    called("change", plan, "C1.size=1.5 mm2", "--in-place")
    assert plan.read_text(encoding="utf-8") == text
    assert sorted(path.name for path in tmp_path.iterdir()) == ["c.csv", "c.csv.old", "plan.yaml", "w.csv"]
    assert open_plan(plan).design.circuit.conductor["C1.1"].size.text == "1.5 mm2"


def test_suggestions_reach_the_list_and_room_is_measured(tmp_path):
    plan = with_lists(tmp_path, "bench-press-feeder", ".csv")
    result = called("suggest", plan, "--write", tmp_path / "small.yaml")
    assert result.exit_code == 0, result.output
    assert open_plan(tmp_path / "small.yaml").standing == {}
    here, there = room(open_plan(plan)), room(open_plan(SPECS / "bench-press-feeder.yaml"))
    assert [(row.name, row.left_w) for row in here.feeds] == [(row.name, row.left_w) for row in there.feeds]


def test_a_change_of_a_chain_in_a_list(tmp_path):
    base = open_plan(with_lists(tmp_path, "coil-winder", ".csv"))
    chain = next(wire for wire in base.design.plan.wires if wire.through)
    after, _ = make_changes(base, [f"{chain.wire}.title=new words"])
    assert next(wire for wire in after.design.plan.wires if wire.wire == chain.wire).title == "new words"


def test_a_workbook_that_takes_no_trial_load_is_told(tmp_path):
    plan = with_lists(tmp_path, "bench-press-feeder", ".xlsx")
    made = load_workbook(tmp_path / "w.xlsx")
    made.create_sheet("mine")["A1"] = "=1+1"
    made.save(tmp_path / "w.xlsx")
    result = called("room", plan)
    assert "Supplies and feeds could not be loaded: w.xlsx has a formula in A1 of mine" in result.output


HOSTILE = [
    "1.title={a",
    "1.title=[a, {b: c}]",
    "1.title=*x",
    "1.from=",
    "1.wire=",
    "1=",
    "1.star.to.9=x",
    "wires+=x",
    "wires+={wire: 77}",
    "wires+={wire: 77, star: x}",
    "wires+={wire: 77, colour: [}",
    "wires+={foo: 1}",
    "cables+={cable: C9, join: {1: [a]}}",
    "cables+={cable: C9, shield: 5}",
    "C1.join.1=[]",
    "C1.join.9.0=X",
    "C1.sizes.1=lots",
    "C1.cable=C2",
]


@pytest.mark.parametrize("line", HOSTILE)
@pytest.mark.parametrize("suffix", SUFFIXES)
def test_no_line_breaks_the_program(tmp_path, suffix, line):
    plan = with_lists(tmp_path, "bench-press-feeder", suffix)
    base = open_plan(plan)
    line = line.replace("1.", f"{base.design.plan.wires[0].wire}.", 1) if line.startswith("1") else line
    kept = {path: path.read_bytes() for path in tmp_path.iterdir()}
    result = called("change", plan, line, "--out", tmp_path / "new.yaml")
    assert isinstance(result.exception, SystemExit | None), result.exception
    assert {path: path.read_bytes() for path in kept} == kept
    assert (result.exit_code < 2) == (tmp_path / "new.yaml").exists()
