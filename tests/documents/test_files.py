"""Files of lists: nothing in them is run by a spreadsheet program, and they are there whole or not at all."""

from __future__ import annotations

import csv
import json
from contextlib import chdir
from dataclasses import dataclass
from io import BytesIO, StringIO
from pathlib import Path

import pytest
from openpyxl import load_workbook
from typer.testing import CliRunner

from tests.helpers import design
from wiring.cli import app
from wiring.documents.files import as_csv, as_xlsx
from wiring.documents.list_names import ListName
from wiring.documents.lists import file_table
from wiring.documents.table import Column, Table
from wiring.wording import spreadsheet_text

ROOT = Path(__file__).parents[2]
#: What a spreadsheet program takes for a formula: the list of OWASP, "CSV Injection".
FORMULAS = ["=1+1", "+1", "-1+2", "@SUM(A1)", "\t=1", "\r=1", "=cmd|' /C calc'!A0"]
HOSTILE = Table("Hostile", (Column("Text"), Column("=Length", "m")), tuple((text, 1.5) for text in FORMULAS))


@pytest.mark.parametrize("text", FORMULAS)
def test_no_cell_of_a_csv_begins_like_a_formula(text: str) -> None:
    assert spreadsheet_text(text) == "'" + text.strip()
    rows = list(csv.reader(StringIO(as_csv(HOSTILE))))
    assert all(not cell.startswith(("=", "+", "-", "@", "\t", "\r")) for row in rows for cell in row)


@pytest.mark.parametrize("text", ["", "G1:V+", "0.75 mm2", "a=b", "'", "1-2"])
def test_other_cells_stay_as_they_are(text: str) -> None:
    assert spreadsheet_text(text) == text


def test_no_text_of_a_spreadsheet_is_a_formula() -> None:
    """The library reads a formula with the data type f; figures stay figures."""
    sheet = load_workbook(BytesIO(as_xlsx(HOSTILE))).worksheets[0]
    types = [[cell.data_type for cell in row] for row in sheet.iter_rows()]
    assert types == [["s", "s"], *[["s", "n"]] * len(FORMULAS)]
    assert sheet["A2"].value == "=1+1"
    assert sheet["A2"].quotePrefix
    assert sheet["B2"].value == 1.5


def test_control_characters_do_not_break_a_spreadsheet() -> None:
    table = Table("T", (Column("A"),), (("a\x00b\x07\ud800c",),))
    assert load_workbook(BytesIO(as_xlsx(table))).worksheets[0]["A2"].value == "ab?c"


def test_every_list_opens_as_a_spreadsheet_with_its_headings_and_rows() -> None:
    plan = design("parts:\n  X1: {kind: terminals, points: 3}\nwires:\n  - {wire: 1, from: X1:1, to: X1:2}\n")
    for name in ListName:
        table = file_table(plan, name)
        sheet = load_workbook(BytesIO(as_xlsx(table))).worksheets[0]
        found = [[cell.value for cell in row] for row in sheet.iter_rows()]
        assert found[0] == [column.file_heading for column in table.columns]
        assert len(found) == 1 + len(table.rows)


def test_the_same_table_gives_the_same_bytes() -> None:
    assert as_xlsx(HOSTILE) == as_xlsx(HOSTILE)


@dataclass(frozen=True)
class Done:
    """How a command ended."""

    returncode: int
    stdout: str
    stderr: str


def run(*arguments: str, **environment: str) -> Done:
    """The command in this process, from the project's folder, 100 columns wide; nothing but an exit may end it."""
    with chdir(ROOT):
        found = CliRunner().invoke(app, list(arguments), env={"COLUMNS": "100", **environment})
    assert found.exception is None or isinstance(found.exception, SystemExit), found.exception
    return Done(found.exit_code, found.stdout, found.stderr)


GANTRY = "specs/foam-gantry.yaml"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("list", "wires", GANTRY, "--format", "pdf", "--out", "x.pdf"), "Only labels have a sheet"),
        (("list", "wires", GANTRY, "--format", "xlsx"), "--out FILE"),
        (("list", "labels", GANTRY, "--format", "pdf"), "--out FILE"),
        (("list", "wires", GANTRY, "--format", "csv", "--out", "/no/such/folder/x.csv"), "There is no folder"),
        (("list", "nothing", GANTRY), "nothing"),
        (("list", "wires", "specs/absent.yaml"), ""),
        (("pack", GANTRY), "--out FILE"),
        (("pack", GANTRY, "--out", "/no/such/folder/x.pdf"), "There is no folder"),
        (("check", GANTRY, "--format", "html"), "--out FILE"),
        (("check", GANTRY, "--format", "html", "--out", "/no/such/folder/x.html"), "There is no folder"),
    ],
)
def test_what_cannot_be_done_is_said_plainly_with_status_2(arguments: tuple[str, ...], said: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert said in done.stderr


def test_the_wire_list_on_the_terminal_names_sheet_and_zone_and_ends_with_the_cautions() -> None:
    """A zone after ISO 5457 is a letter and a number; wire 100 of the gantry goes from the inlet to the main switch."""
    out = run("list", "wires", GANTRY, COLUMNS="120").stdout
    row = next(line for line in out.splitlines() if line.startswith("100 "))
    assert row.split()[:2] == ["100", "X0:L"]
    assert row.split()[2].partition("/")[2][0].isalpha()
    assert "does not certify" in out
    assert all(len(line) <= 120 for line in out.splitlines())


@pytest.mark.parametrize("width", ["40", "80", "200"])
@pytest.mark.parametrize("name", ["wires", "parts", "lengths"])
def test_lists_keep_within_the_terminal(name: str, width: str) -> None:
    out = run("list", name, "specs/coil-winder.yaml", COLUMNS=width).stdout
    assert all(len(line) <= int(width) for line in out.splitlines())


def test_a_report_and_a_list_go_into_the_file_that_is_named(tmp_path: Path) -> None:
    plan = "specs/coil-winder.yaml"
    assert run("check", plan, "--format", "json", "--out", str(tmp_path / "r.json")).stdout == ""
    assert json.loads((tmp_path / "r.json").read_text("utf-8"))["format"] == 1
    assert run("list", "labels", plan, "--format", "csv", "--out", str(tmp_path / "l.csv")).returncode == 0
    assert (tmp_path / "l.csv").read_text("utf-8") == run("list", "labels", plan, "--format", "csv").stdout
    assert run("check", plan, "--format", "html", "--out", str(tmp_path / "p.html")).returncode == 0
    assert (tmp_path / "p.html").read_text("utf-8").startswith("<!DOCTYPE html>")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["l.csv", "p.html", "r.json"]


def test_the_page_of_a_plan_with_findings_still_has_status_1(tmp_path: Path) -> None:
    plan = "specs/faulty/earth-missing-door.yaml"
    assert run("check", plan, "--format", "html", "--out", str(tmp_path / "p.html")).returncode == 1
    assert "DANGER" in (tmp_path / "p.html").read_text("utf-8")


def test_a_wire_list_with_names_like_formulas_says_which_form_reads_back(tmp_path: Path) -> None:
    plan = tmp_path / "plan.yaml"
    body = "parts:\n  -X1: {kind: terminals, points: 2}\nwires:\n  - {wire: 1, from: '-X1:1', to: '-X1:2'}\n"
    plan.write_text(f"format: 1\nmachine: test\nrulebook: iec\n{body}")
    done = run("list", "wires", str(plan), "--format", "csv")
    assert done.stdout == "wire,from,to,[sheets]\n1,'-X1:1,'-X1:2,4/A1 to 4/A1\n"
    assert "as input of a plan take the list as xlsx" in done.stderr
    assert run("list", "wires", "specs/coil-winder.yaml", "--format", "csv").stderr == ""
