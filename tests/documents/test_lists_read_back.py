"""Lists of wires and cables are plan input: a plan that reads them instead of its own is the same circuit."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from msgspec.structs import replace

from wiring.circuit.model import Conductor
from wiring.design.design import Design
from wiring.design.load import load
from wiring.documents.drawn import ends_of, sheets_of
from wiring.documents.files import as_csv, as_xlsx
from wiring.documents.list_names import ListName
from wiring.documents.lists import file_table, list_table
from wiring.plan.source import Place
from wiring.rules.run import judge

SPECS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))
NOWHERE = Place("", 1, 1)


def read(path: Path) -> Design:
    loaded = load(path)
    assert loaded.design is not None, "\n".join(str(fault) for fault in loaded.faults)
    return loaded.design


def conductors(design: Design) -> list[Conductor]:
    """The conductors without the place where they were read."""
    return [replace(conductor, place=NOWHERE) for conductor in design.circuit.conductors]


@pytest.mark.parametrize("suffix", ["csv", "xlsx"])
@pytest.mark.parametrize("spec", SPECS, ids=lambda path: path.stem)
def test_a_plan_with_its_lists_in_files_is_the_same_circuit(spec: Path, suffix: str, tmp_path: Path) -> None:
    """Written by the list, read by the plan: every conductor with its ends, size, colour, length and route."""
    own = read(spec)
    drawn = ends_of(own, sheets_of(own, judge(own))) if spec.stem == "bench-press-feeder" else None
    plan = yaml.load(spec.read_text("utf-8"), Loader=yaml.BaseLoader)
    for name in (ListName.WIRES, ListName.CABLES):
        table = file_table(own, name, drawn)
        data = as_csv(table).encode() if suffix == "csv" else as_xlsx(table)
        (tmp_path / f"{name}.{suffix}").write_bytes(data)
        plan[name.value] = f"{name}.{suffix}"
    plan.pop("library", None)
    path = tmp_path / "plan.yaml"
    path.write_text(yaml.safe_dump(plan, allow_unicode=True), "utf-8")
    again = read(path)
    assert conductors(again) == conductors(own)
    assert again.plan.cables == own.plan.cables


def test_the_file_says_pieces_and_places_beside_what_a_plan_reads() -> None:
    """Wire 102 of this plan runs through Q1:2, F1:1 and F2:1: two pieces, with the places that the bench's list has."""
    own = read(SPECS[0].with_name("bench-press-feeder.yaml"))
    drawn = ends_of(own, sheets_of(own, judge(own)))
    table = file_table(own, ListName.WIRES, drawn)
    assert table.headings[-2:] == ("[pieces]", "[sheets]")
    row = next(row for row in table.rows if row[0] == "102")
    assert row[-2] == "102.1 102.2"
    bench = {one[0]: f"{one[2]} to {one[4]}" for one in list_table(own, ListName.WIRES, drawn).rows}
    assert row[-1] == f"{bench['102.1']}; {bench['102.2']}"
    assert file_table(own, ListName.CABLES, drawn).headings[-1] == "[sheets]"


def test_a_spreadsheet_carries_names_that_look_like_formulas(tmp_path: Path) -> None:
    """A part named -K1 or =A1+K1 comes back as it was; in the file it is text."""
    plan = """
format: 1
machine: test
rulebook: iec
parts:
  -X1: {kind: terminals, points: 2}
  =A1+X2: {kind: terminals, points: 2}
wires: WIRES
"""
    inline = "\n  - {wire: '@1', from: '-X1:1', to: '=A1+X2:2', size: 1.5 mm2}"
    first = tmp_path / "plan.yaml"
    first.write_text(plan.replace(" WIRES", inline), "utf-8")
    own = read(first)
    (tmp_path / "wires.xlsx").write_bytes(as_xlsx(file_table(own, ListName.WIRES)))
    first.write_text(plan.replace("WIRES", "wires.xlsx"), "utf-8")
    assert conductors(read(first)) == conductors(own)
