"""`wiring library`: every page reads, every example of it is plan language, and every word leads somewhere."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from random import Random

import pytest
import yaml
from pydantic_core import ValidationError
from typer.testing import CliRunner

from tests.parts.keys_asked import PLANS, TABLE, asked_in, keys_of, plan_of, without
from tests.parts.kind_examples import EXAMPLES
from tests.parts.plans import HEAD, resolve
from wiring.cli import app
from wiring.documents.keys_asked import rules_that_ask
from wiring.parts.key_texts import key_example, key_text
from wiring.parts.kinds import KIND_NAMES, all_kinds, kind_model
from wiring.parts.library_index import Library, packaged_entry, packaged_index
from wiring.parts.library_search import ALSO_CALLED, nearest_kinds, nearest_parts, search
from wiring.parts.part_sheet import common_notes, entry_sheet, kind_sheet
from wiring.plan.read import read_text
from wiring.plan.schema import plan_schema
from wiring.reports.library_report import render_common, render_entry, render_kind
from wiring.reports.lines import cells
from wiring.rules import SLUGS

KEYS = sorted(packaged_index())


def run(*arguments: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, ["library", *arguments])
    return result.exit_code, result.output


@pytest.mark.parametrize("kind", KIND_NAMES)
def test_the_example_of_a_kind_reads_as_it_stands(kind: str) -> None:
    page = render_kind(kind, Library(), 200, "utf-8")
    shown = page[page.index("In a plan\n") :].splitlines()[1:3]
    reading = read_text("format: 1\nmachine: test\nrulebook: iec\n" + "\n".join(line[2:] for line in shown) + "\n")
    assert [str(fault) for fault in reading.faults] == []
    parts, faults = resolve(shown[1].strip())
    assert faults == []
    assert [part.kind for part in parts.values()] == [kind]


@pytest.mark.parametrize("key", KEYS)
def test_the_example_of_a_library_part_reads_as_it_stands(key: str) -> None:
    entry = packaged_entry(key)
    assert entry is not None
    parts, faults = resolve(entry_sheet(entry).example)
    assert faults == []
    assert [part.library for part in parts.values()] == [key]


@pytest.mark.parametrize("kind", KIND_NAMES)
def test_the_picture_shows_every_terminal(kind: str) -> None:
    """The terminals of the example are those of the standards, written by hand in `kind_examples`."""
    shown = {end for row in kind_sheet(kind).rows for end in (row.left, row.right) if end}
    assert shown == set(EXAMPLES[kind][1].split())


@pytest.mark.parametrize("kind", KIND_NAMES)
def test_every_key_says_what_it_means(kind: str) -> None:
    notes = [*kind_sheet(kind).keys, *common_notes()]
    assert [note.name for note in notes if not note.text or not note.form] == []
    fields = {field.alias or name: field for name, field in kind_model(kind).model_fields.items()}
    assert {note.name for note in notes} == set(fields)
    assert {note.name for note in notes if note.required} == {key for key, one in fields.items() if one.is_required()}


@pytest.mark.parametrize("kind", KIND_NAMES)
def test_every_example_of_a_key_is_taken(kind: str) -> None:
    """The kind's own example, with the example of each key in turn, is refused for no value of that key."""
    base = {key: value for key, value in yaml.load(EXAMPLES[kind][0], yaml.BaseLoader).items() if key != "kind"}
    refused = []
    for note in (*kind_sheet(kind).keys, *common_notes()):
        text = key_example(kind, note.name)
        if not text:
            continue
        value = yaml.load(text, yaml.BaseLoader) if text[0] in "[{" else text
        try:
            kind_model(kind).model_validate(base | {note.name: value})
        except ValidationError as error:
            refused += [(note.name, one["msg"]) for one in error.errors() if one["loc"][:1] == (note.name,)]
    assert refused == []


def test_the_schema_carries_the_same_texts() -> None:
    schema = plan_schema(all_kinds(), key_text)
    [parts] = schema["properties"]["parts"]["patternProperties"].values()
    by_kind = {one["properties"]["kind"]["const"]: one["properties"] for one in parts["oneOf"][1:]}
    assert set(by_kind) == set(KIND_NAMES)
    for kind, properties in by_kind.items():
        for note in (*kind_sheet(kind).keys, *common_notes()):
            told = properties[note.name].get("description", "")
            assert note.text.split(":")[0] in told, (kind, note.name)


@pytest.mark.parametrize("width", [40, 80])
@pytest.mark.parametrize("kind", KIND_NAMES[::9])
def test_a_page_keeps_to_its_width_and_names_its_parts(kind: str, width: int) -> None:
    page = render_kind(kind, Library(), width, "utf-8")
    assert max(map(cells, page.splitlines())) <= width
    assert render_kind(kind, Library(), width, "ascii").isascii()
    same = {key for key in KEYS if packaged_entry(key).kind == kind}  # type: ignore[union-attr]
    assert same <= {word.strip(",.") for word in render_kind(kind, Library(), 500, "utf-8").split()}
    assert "does not certify" in " ".join(page.split())


def test_a_page_of_a_part_names_its_standing_and_what_is_asked() -> None:
    entry = packaged_entry("stepper-drive-50v-4a")
    assert entry is not None
    page = render_entry(entry, 80, "utf-8")
    assert "Its values are typical: typical of the class; common practice, no source." in " ".join(page.split())
    assert "bus_limit: 60 V" in page
    assert "in the bill of material" in render_common(80, "utf-8")


def test_every_name_by_which_a_kind_also_goes_leads_to_it() -> None:
    assert set(ALSO_CALLED.values()) <= set(KIND_NAMES)
    assert not set(ALSO_CALLED) & set(KIND_NAMES)
    for name, kind in ALSO_CALLED.items():
        assert kind == nearest_kinds(name)[0]
        assert kind in [hit.name for hit in search(Library(), name)]


@pytest.mark.parametrize(
    ("written", "meant"),
    [("psu", "supply"), ("steper-drive", "stepper-drive"), ("e-stop", "emergency-stop"),
     ("contacter", "contactor"), ("vfd", "inverter")],
)  # fmt: skip
def test_a_kind_that_does_not_exist_names_the_one_that_was_meant(written: str, meant: str) -> None:
    _, [fault] = resolve(f"P: {{kind: {written}}}")
    assert fault.near[0] == meant
    assert "`wiring library`" in fault.expected


def test_a_library_part_that_does_not_exist_names_others_with_its_words() -> None:
    _, [fault] = resolve("P: {use: stepper-motor-23-xyz}")
    assert any("23" in name for name in fault.near)
    assert all(name in KEYS for name in nearest_parts(Library(), "supply big"))


@pytest.mark.parametrize(
    ("body", "form"),
    [
        ("{kind: contactor, coil: 24 V DC, contacts: [13-14]}", "{13-14: NO, 21-22: NC mirror}"),
        ("{kind: contactor}", "24 V DC 3 W"),
        ("{kind: motor, voltage: 230 V AC, rated_power: 1 kW, work: 600 rpm}", "{speed: 600 rpm, torque: 1.0 N·m}"),
        ("{kind: breaker, rating: 6 A, curve: Q}", "B, C, D, K or Z"),
    ],
)
def test_a_wrong_value_shows_the_form_that_is_taken(body: str, form: str) -> None:
    _, [fault] = resolve(f"P: {body}")
    assert form in fault.expected


def test_every_text_of_a_key_belongs_to_some_kind() -> None:
    """A text that no key uses any more would mislead whoever adds a kind."""
    from wiring.parts import key_texts

    fields = {(kind, field.alias or name) for kind, m in all_kinds().items() for name, field in m.model_fields.items()}
    names = {key for _, key in fields} | {f"{kind}.{key}" for kind, key in fields}
    assert {*key_texts._TEXTS, *key_texts._EXAMPLES} - names == set()


def test_the_command_finds_kinds_parts_and_words(tmp_path: Path) -> None:
    assert "stepper-drive, a kind of part" in run("stepper-drive")[1]
    assert run("brakes")[0] == 0
    status, told = run("no-such-thing-at-all")
    assert status == 2
    assert "No kind and no library part" in told
    status, all_of_them = run()
    assert status == 0
    assert all(name in all_of_them for name in (*KIND_NAMES, *KEYS))


def test_the_users_own_parts_are_found_in_a_folder_and_through_a_plan(tmp_path: Path) -> None:
    (tmp_path / "parts").mkdir()
    (tmp_path / "parts" / "mine.yaml").write_text(
        "my-lamp:\n  kind: lamp\n  title: my lamp\n  standing: data sheet\n  source: its label\n  rated: 24 V DC 1 W\n",
        encoding="utf-8",
    )
    plan = tmp_path / "plan.yaml"
    plan.write_text(HEAD.replace("parts:\n", "library: [parts/]\nparts: {}\n"), encoding="utf-8")
    for own in (tmp_path / "parts", plan):
        status, told = run("my-lamp", "--own", str(own))
        assert status == 0, told
        assert "my-lamp, a library part of the kind lamp" in told
        assert "its label" in told
    assert run("my-lamp")[0] == 2
    (tmp_path / "parts" / "mine.yaml").write_text("my-lamp: {kind: lmp}\n", encoding="utf-8")
    status, told = run("my-lamp", "--own", str(tmp_path / "parts"))
    assert status == 2
    assert "lamp" in told
    assert run("lamp", "--own", str(tmp_path / "nothing"))[0] == 2


def _rows() -> list[tuple[str, str, str]]:
    lines = TABLE.read_text(encoding="utf-8").splitlines()[1:]
    return [tuple(line.split(",")) for line in lines]  # type: ignore[misc]


def test_the_table_of_asked_keys_names_what_exists() -> None:
    for kind, key, rule in _rows():
        assert rule in SLUGS
        assert key_text(kind, key), (kind, key)
        assert rule in rules_that_ask(kind, key)


def test_a_drawn_plan_asks_as_the_table_says() -> None:
    """A few keys of a small plan, drawn by its text, are left out once more: every rule that asks is in the table."""
    path = Random(int.from_bytes(sha256(b"keys asked").digest()[:8], "big")).choice(PLANS[-5:])
    text = path.read_text(encoding="utf-8")
    plan, rows = plan_of(text), set(_rows())
    base = asked_in(plan)
    places = [
        (part, entry["kind"], key) for part, entry in plan["parts"].items() for key in keys_of(entry["kind"], entry)
    ]
    drawn = Random(int.from_bytes(sha256(text.encode()).digest()[:8], "big")).sample(places, min(4, len(places)))
    for part, kind, key in drawn:
        for rule, _ in asked_in(without(plan, part, key)) - base:
            assert (kind, key, rule) in rows
