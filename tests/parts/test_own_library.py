"""The user's own parts beside the plan: they win over the generic ones, and their faults stand in their own files."""

from __future__ import annotations

import pytest

from wiring.parts.resolve import resolve_parts
from wiring.plan.read import read
from wiring.plan.source import Source

GOOD = """\
supply-24v-5a:
  kind: supply
  title: my supply
  standing: data sheet
  source: label of the unit
  input: 230 V AC
  output: 24 V DC
  rated: 4.5 A
  terminals: {V+: "+Vout", V-: "-Vout"}
"""


@pytest.fixture
def bench(tmp_path):
    """Writes a plan with parts, and library files in `parts/`; gives parts and faults."""

    def run(parts: str, library: str = "[parts/]", **files: str):
        (tmp_path / "parts").mkdir(exist_ok=True)
        for name, text in files.items():
            (tmp_path / "parts" / f"{name}.yaml").write_text(text, encoding="utf-8")
        plan = tmp_path / "plan.yaml"
        plan.write_text(
            f"format: 1\nmachine: x\nrulebook: iec\nlibrary: {library}\nparts:\n  {parts}\n", encoding="utf-8"
        )
        reading = read(plan)
        faults = list(reading.faults)
        return resolve_parts(reading, faults), faults

    return run


def test_own_parts_win_and_the_plan_wins_over_them(bench):
    parts, faults = bench("G1: {use: supply-24v-5a, rated: 4 A}", mine=GOOD)
    assert faults == []
    assert (parts["G1"].title, parts["G1"].data.rated) == ("my supply", 4.0)


def test_generic_parts_stay_at_hand(bench):
    parts, faults = bench("G1: {use: supply-48v-10a}", mine=GOOD)
    assert faults == []
    assert parts["G1"].data.output.volts == 48.0


def test_renamed_terminals_of_plan_and_library_are_merged(bench):
    parts, faults = bench('G1: {use: supply-24v-5a, terminals: {L: "AC-L", V-: COM}}', mine=GOOD)
    assert faults == []
    assert list(parts["G1"].terminals) == ["AC-L", "N", "PE", "+Vout", "COM"]


def test_a_wrong_value_in_the_library_is_a_fault_in_its_file(bench):
    _, (fault,) = bench("G1: {use: supply-24v-5a}", mine=GOOD.replace("4.5 A", "4.5 V"))
    assert fault.place.file.endswith("mine.yaml")
    assert (fault.place.line, fault.place.column) == (8, 10)


def test_a_wrong_renaming_in_the_library_is_a_fault_in_its_file(bench):
    _, (fault,) = bench("G1: {use: supply-24v-5a}", mine=GOOD.replace("{V+:", "{Vx+:"))
    assert fault.place.file.endswith("mine.yaml")
    assert (fault.place.line, fault.place.column, fault.near[0]) == (9, 15, "V+")


@pytest.mark.parametrize(
    ("change", "line", "words"),
    [
        (("  standing: data sheet\n", ""), 1, "how far its values can be trusted"),
        (("data sheet", "guessed"), 4, "'guessed' is no standing"),
        (("data sheet", "typcal"), 4, "'typcal' is no standing"),
        (("  source: label of the unit\n", ""), 1, "where its values are from"),
        (("label of the unit", "''"), 1, "where its values are from"),
        (("kind: supply", "kind: suply"), 2, "no kind of part 'suply'"),
        (("  kind: supply\n", ""), 1, "has no `kind`"),
        (("kind: supply", "use: supply-24v-10a"), 2, "uses another library part"),
        (("supply-24v-5a:", '"supply 24v":'), 1, "is no key of a library part"),
    ],
)
def test_an_entry_that_cannot_be_trusted_does_not_load(bench, change, line, words):
    parts, faults = bench("G1: {use: supply-24v-5a}", mine=GOOD.replace(*change))
    own = [fault for fault in faults if fault.place.file.endswith("mine.yaml")]
    assert [fault.place.line for fault in own] == [line]
    assert words in own[0].summary
    assert len(faults) == 1, "a part whose entry is broken is not reported a second time"
    assert ("G1" in parts) == (change[0] == "supply-24v-5a:"), "the generic part does not step in for a broken one"


def test_a_key_in_two_own_files_names_both_places(bench):
    _, faults = bench("G1: {kind: metalwork}", mine=GOOD, other=f"# a second file\n{GOOD}")
    (fault,) = faults
    assert "given twice" in fault.summary
    assert (fault.place.file[-10:], fault.place.line) == ("other.yaml", 2)
    assert (fault.other[0].file[-9:], fault.other[0].line) == ("mine.yaml", 1)


def test_a_folder_named_twice_is_read_once(bench):
    parts, faults = bench("G1: {use: supply-24v-5a}", "[parts/, parts]", mine=GOOD)
    assert faults == []
    assert parts["G1"].title == "my supply"


def test_a_folder_that_is_not_there_is_a_fault_of_the_plan(bench):
    _, (fault,) = bench("G1: {kind: metalwork}", "[elsewhere]")
    assert "no folder" in fault.summary
    assert (fault.place.line, fault.place.column) == (4, 11)


def test_a_folder_without_library_files_is_a_fault(bench):
    _, (fault,) = bench("G1: {kind: metalwork}")
    assert "holds no library file" in fault.summary


@pytest.mark.parametrize(
    "text", ["[a, b]", "a: [", "a: b", "", "a: !x {}", "a: {kind: [x], standing: [y], source: [z]}", "x"]
)
def test_whatever_a_library_file_holds_is_a_fault_and_no_crash(bench, text):
    parts, faults = bench("G1: {use: supply-24v-5a}", mine=text)
    assert list(parts) == ["G1"]
    assert faults
    assert all(fault.place.file.endswith("mine.yaml") for fault in faults)


def test_the_nearest_key_may_be_an_own_one(bench):
    _, (fault,) = bench("G1: {use: spindel-x}", mine=GOOD.replace("supply-24v-5a", "spindle-x"))
    assert fault.near[0] == "spindle-x"


def test_the_text_of_own_files_is_at_hand_for_reports(tmp_path):
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "mine.yaml").write_text(GOOD, encoding="utf-8")
    (tmp_path / "plan.yaml").write_text("format: 1\nlibrary: [parts]\n", encoding="utf-8")
    sources: dict[str, Source] = {}
    resolve_parts(read(tmp_path / "plan.yaml"), [], sources)
    ((file, source),) = sources.items()
    assert file.endswith("mine.yaml")
    assert source.lines[0] == "supply-24v-5a:"
