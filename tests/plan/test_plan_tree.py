"""YAML into a tree with places, with either parser of PyYAML: texts stay texts, traps are faults."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from wiring.plan import tree
from wiring.plan.fault import Fault
from wiring.plan.read import read, read_text
from wiring.plan.source import Node, Place, Source

Read = Callable[[str], tuple[Node | None, list[Fault]]]


@pytest.fixture(params=["C", "Python"])
def read_yaml(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Read:
    if request.param == "Python":
        monkeypatch.setattr(tree, "event_reader", yaml.SafeLoader)
    elif not yaml.__with_libyaml__:
        pytest.skip("PyYAML has no C parser here")
    return lambda text: tree.read_tree(Source.of("plan", text), text)


def value(read_yaml: Read, text: str) -> object:
    node, faults = read_yaml(text)
    assert not faults
    assert node is not None
    return node.data


@pytest.mark.parametrize(
    "word", ["NO", "no", "yes", "on", "Off", "~", "null", "1:30", "010", "0x1F", "1_000", ".inf", "2001-01-01", "="]
)
def test_plain_words_stay_texts(read_yaml: Read, word: str) -> None:
    """YAML 1.1 makes booleans, sexagesimal numbers, octals or dates of these; a plan keeps what was written."""
    assert value(read_yaml, f"a: {word}\nb: [{word}]\n") == {"a": word, "b": [word]}


def test_quotes_and_blocks(read_yaml: Read) -> None:
    text = "a: '+V'\nb: \"x\\ty\"\nc: |\n  one\n  two\nd: ''\n"
    assert value(read_yaml, text) == {"a": "+V", "b": "x\ty", "c": "one\ntwo\n", "d": ""}


def test_colon_inside_a_terminal(read_yaml: Read) -> None:
    assert value(read_yaml, "a: [Q1:2, G1:V+]\nb: {from: X0:L}\n") == {"a": ["Q1:2", "G1:V+"], "b": {"from": "X0:L"}}


def test_places(read_yaml: Read) -> None:
    node, _ = read_yaml("ä: {größe: [1, 22 mm]}\n\nb:\n  - x y\n")
    assert node is not None
    found, depth = node.follow(("ä", "größe", 1))
    assert depth == 3
    assert found.place == Place("plan", 1, 16, 5)
    assert node.child("ä").key_place("größe") == Place("plan", 1, 5, 5)  # type: ignore[union-attr]
    assert node.follow(("b", 0))[0].place == Place("plan", 4, 5, 3)


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_places_with_every_line_end(read_yaml: Read, line_end: str) -> None:
    node, _ = read_yaml(line_end.join(["# top", "a: 1", "b: 2", ""]))
    assert node is not None
    assert node.follow(("b",))[0].place == Place("plan", 3, 4, 1)


def test_alias_stands_where_it_is_used_and_its_inside_where_it_is_written(read_yaml: Read) -> None:
    node, faults = read_yaml("a: &x {b: 1}\nc: *x\nd: 2\ne: [*x, 3]\n")
    assert not faults
    assert node is not None
    assert node.data == {"a": {"b": "1"}, "c": {"b": "1"}, "d": "2", "e": [{"b": "1"}, "3"]}
    assert node.follow(("c",))[0].place == Place("plan", 2, 4, 2)
    assert node.follow(("c", "b"))[0].place == Place("plan", 1, 11, 1)
    assert node.follow(("d",))[0].place == Place("plan", 3, 4, 1)
    assert node.follow(("e", 0))[0].place == Place("plan", 4, 5, 2)
    assert node.follow(("e", 1))[0].place == Place("plan", 4, 9, 1)


def summaries(read_yaml: Read, text: str) -> list[str]:
    return [fault.summary for fault in read_yaml(text)[1]]


def test_aliases_multiply_only_within_a_bound(read_yaml: Read) -> None:
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 9)]
    assert summaries(read_yaml, "\n".join(lines)) == ["the plan has more than 100,000 values"]


def test_aliases_nest_only_within_a_bound(read_yaml: Read) -> None:
    lines = ["a0: &a0 [x]", *(f"a{n}: &a{n} [*a{n - 1}]" for n in range(1, 60))]
    assert summaries(read_yaml, "\n".join(lines)) == ["values are nested more than 50 deep"]


def test_depth_is_bounded(read_yaml: Read) -> None:
    assert summaries(read_yaml, "[" * 50_000) == ["values are nested more than 50 deep"]
    assert summaries(read_yaml, "a: " + "[" * 48 + "x" + "]" * 48) == []


def test_count_is_bounded(read_yaml: Read) -> None:
    if tree.event_reader is yaml.SafeLoader:
        pytest.skip("takes seconds with the parser in Python and tests the same lines")
    assert summaries(read_yaml, "- x\n" * 100_001) == ["the plan has more than 100,000 values"]


def test_alias_into_itself(read_yaml: Read) -> None:
    assert summaries(read_yaml, "a: &x [*x]") == ["*x refers to nothing that is complete before it"]


@pytest.mark.parametrize(
    ("text", "line", "column", "summary"),
    [
        ("", 1, 1, "the file has nothing in it"),
        ("# only a remark\n", 1, 1, "the file has nothing in it"),
        ("a: [1, 2", 1, 4, "this bracket is never closed"),
        ("a: {b: 1, c", 1, 4, "this bracket is never closed"),
        ("a: [1, 2}", 1, 9, "a comma or the closing bracket is missing"),
        ("a:\n\tb: 1", 2, 1, "a tab stands where a value is wanted"),
        ("a: b: c", 1, 5, "a colon is not possible here"),
        ("a: 'x", 1, 4, "this quoted text never ends"),
        ("a: 1\n---\nb: 2", 2, 1, "a second document begins here"),
        ("a: 1\n...\nfoo", 3, 1, "something stands behind the end of the plan"),
        ("a: `x", 1, 4, "this character cannot begin a value"),
        ("a: ]", 1, 4, "a value is missing here"),
        ("a:  - b", 1, 5, "a list item cannot begin here"),
        ("a: !!int 3", 1, 4, "'tag:yaml.org,2002:int' is a tag"),
        ("a: !!python/object:os.system x", 1, 4, "'tag:yaml.org,2002:python/object:os.system' is a tag"),
        ("a: !e!x 1", 1, 4, "tags are not possible in a plan"),
        ("a: 1\nb: 2\na: 3", 3, 1, "'a' is given twice"),
        ("a: *", 1, 5, "a name is missing behind & or *"),
        ("x\x1by", 1, 2, "character U+001B cannot be printed"),
        ("a: \ud800", 1, 4, "character U+D800 cannot be printed"),
    ],
)
def test_traps(read_yaml: Read, text: str, line: int, column: int, summary: str) -> None:
    _, faults = read_yaml(text)
    assert [(fault.place.line, fault.place.column, fault.summary) for fault in faults if fault.place] == [
        (line, column, summary)
    ]


@pytest.mark.parametrize(
    ("data", "place", "summary"),
    [
        (b"a: \xff", (1, 4), "byte 0xff is not UTF-8"),
        (b"a: 1\nb: \xc3\xa4\xe4\n", (2, 5), "byte 0xe4 is not UTF-8"),
        (b"\xff\xfea\x00", (1, 1), "the file is in UTF-16"),
        (b"\xef\xbb\xbfformat: 1", (1, 1), "the file begins with a byte order mark"),
        (b"a: \x00", (1, 4), "character U+0000 cannot be printed"),
        (b"x" * 10_000_001, (1, 1), "the file is larger than 10 MB"),
    ],
    ids=["bytes", "latin-1", "utf-16", "mark", "nul", "size"],
)
def test_files_that_are_no_text(tmp_path: Path, data: bytes, place: tuple[int, int], summary: str) -> None:
    path = tmp_path / "plan.yaml"
    path.write_bytes(data)
    reading = read(path)
    assert reading.plan is None
    [fault] = reading.faults
    assert fault.place is not None
    assert (fault.place.file, fault.place.line, fault.place.column) == (str(path), *place)
    assert fault.summary == summary


def test_paths_that_are_no_files(tmp_path: Path) -> None:
    [folder] = read(tmp_path).faults
    assert folder.summary == "this is a folder"
    [missing] = read(tmp_path / "none.yaml").faults
    assert missing.summary == "there is no such file"
    (tmp_path / "tray-sorter.yaml").write_text("format: 1\n", encoding="utf-8")
    [mistyped] = read(tmp_path / "tray-sortr.yaml").faults
    assert mistyped.near == (str(tmp_path / "tray-sorter.yaml"),)
    [odd] = read("a\x00b").faults
    assert odd.summary.startswith("'a\\x00b' cannot be read")
    [long] = read("x" * 5000).faults
    assert "cannot be read" in long.summary


@pytest.mark.parametrize("text", ["just words", "[a, b]", "- a\n- b\n", "'x'"])
def test_a_plan_is_a_mapping(text: str) -> None:
    [fault] = read_text(text).faults
    assert fault.summary == "this is not a plan"
