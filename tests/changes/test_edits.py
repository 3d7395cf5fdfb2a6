"""Edits change the lines that they speak of and no other; what comes out reads as if it had been written so."""

from __future__ import annotations

import difflib
from pathlib import Path

import pytest

from wiring.changes.text_edits import apply
from wiring.plan.edits import AddEntry, AddItem, CopyEntry, Edit, RemoveEntry, RenameKey, SetValue, scalar
from wiring.plan.fault import Refusal
from wiring.plan.source import Source
from wiring.plan.tree import read_tree

SPECS = sorted((Path(__file__).parents[2] / "specs").glob("*.yaml"))
TEXT = """\
# head
a: 1            # one
block:
  first: {x: 1, y: [p, q]}   # behind first
  second:
    deep: "2"   # quoted
    # a comment of its own
    more: text with spaces
list:
  - {wire: 1, from: A:1}   # item
  -   wire: 2
      from: B:1
empty: []
wide: {
  k: v,
  l: w
}
"""


def data_of(text: str):
    tree, faults = read_tree(Source.of("plan", text), text)
    assert not faults, [str(fault) for fault in faults]
    return tree.data


def changed_lines(before: str, after: str) -> list[str]:
    diff = difflib.unified_diff(before.splitlines(), after.splitlines(), lineterm="", n=0)
    return [line for line in diff if line[0] in "+-" and line[:3] not in ("+++", "---")]


CASES: list[tuple[Edit, list[str]]] = [
    (SetValue(("a",), "7"), ["-a: 1            # one", "+a: 7            # one"]),
    (
        SetValue(("block", "second", "deep"), "3"),
        ['-    deep: "2"   # quoted', "+    deep: 3   # quoted"],
    ),
    (
        SetValue(("block", "first", "z"), "9"),
        ["-  first: {x: 1, y: [p, q]}   # behind first", "+  first: {x: 1, y: [p, q], z: 9}   # behind first"],
    ),
    (SetValue(("block", "second", "new", "inner"), "9"), ["+    new: {inner: 9}"]),
    (
        AddItem(("block", "first", "y"), "r"),
        ["-  first: {x: 1, y: [p, q]}   # behind first", "+  first: {x: 1, y: [p, q, r]}   # behind first"],
    ),
    (AddItem(("list",), "{wire: 3}", "1"), ["+  - {wire: 3}"]),
    (AddItem(("empty",), "{a: b}"), ["-empty: []", "+empty: [{a: b}]"]),
    (AddEntry(("wide",), "m", "x", "l"), ["-  l: w", "+  l: w,", "+  m: x"]),
    (CopyEntry(("list", "2"), "", "2", ((("wire",), "4"),)), ["+  -   wire: 4", "+      from: B:1"]),
    (CopyEntry(("block", "first"), "third", "first"), ["+  third: {x: 1, y: [p, q]}"]),
    (RemoveEntry(("block", "second", "deep")), ['-    deep: "2"   # quoted']),
    (
        RemoveEntry(("block", "first", "x")),
        ["-  first: {x: 1, y: [p, q]}   # behind first", "+  first: {y: [p, q]}   # behind first"],
    ),
    (RenameKey(("a",), "b"), ["-a: 1            # one", "+b: 1            # one"]),
]


@pytest.mark.parametrize(("edit", "lines"), CASES, ids=[str(edit)[:40] for edit, _ in CASES])
def test_an_edit_changes_its_lines_only(edit, lines):
    after = apply(TEXT, [edit])
    assert changed_lines(TEXT, after) == lines
    data_of(after)


@pytest.mark.parametrize(("edit", "lines"), CASES, ids=[str(edit)[:40] for edit, _ in CASES])
def test_line_ends_of_the_file_are_kept(edit, lines):
    after = apply(TEXT.replace("\n", "\r\n"), [edit])
    assert after.count("\r\n") == after.count("\n")
    assert changed_lines(TEXT.replace("\n", "\r\n"), after) == lines


def test_a_block_gives_way_to_brackets():
    """The items of a block list may stand as far left as its key; what takes its place may not (YAML 1.2.2, 8.2.1)."""
    after = apply("way:\n- a\n- b\nnext: 1\n", [SetValue(("way",), "[a, c]")])
    assert data_of(after) == {"way": ["a", "c"], "next": "1"}


def test_later_edits_see_what_earlier_ones_made():
    after = apply(TEXT, [SetValue(("block", "n", "x"), "1"), SetValue(("block", "n", "y"), "2"), SetValue(("a",), "5")])
    assert data_of(after)["block"]["n"] == {"x": "1", "y": "2"}
    assert data_of(after)["a"] == "5"


def test_several_items_stand_in_the_order_of_their_edits():
    after = apply(TEXT, [AddItem(("list",), "{wire: 5}", "1"), AddItem(("list",), "{wire: 6}", "1")])
    assert [item["wire"] for item in data_of(after)["list"]] == ["1", "5", "6", "2"]


def _paths(node, path=()):
    if isinstance(node.children, dict):
        for key, child in node.children.items():
            yield from _paths(child, (*path, key))
    elif isinstance(node.children, list):
        for n, child in enumerate(node.children):
            yield from _paths(child, (*path, n))
    elif isinstance(node.data, str):
        yield path


@pytest.mark.parametrize("spec", SPECS, ids=[spec.stem for spec in SPECS])
def test_every_value_of_every_spec_can_be_set_alone(spec):
    """Set to a new text, each value reads as that text and every other one as before; one line differs."""
    text = spec.read_text(encoding="utf-8")
    tree, _ = read_tree(Source.of("plan", text), text)
    paths = list(_paths(tree))
    for path in paths[:: max(1, len(paths) // 60)]:
        after = apply(text, [SetValue(path, scalar("quite: new, [#] text"))])
        again, faults = read_tree(Source.of("plan", after), after)
        assert not faults
        assert len(changed_lines(text, after)) == 2
        for other in paths:
            want = "quite: new, [#] text" if other == path else tree.follow(other)[0].data
            assert again.follow(other)[0].data == want


def test_what_is_not_there_is_refused_by_name():
    with pytest.raises(Refusal, match=r"no block\.gone"):
        apply(TEXT, [RemoveEntry(("block", "gone"))])
    with pytest.raises(Refusal, match="a single value, '1'"):
        apply(TEXT, [SetValue(("a", "b"), "1")])
    with pytest.raises(Refusal, match="is no list"):
        apply(TEXT, [AddItem(("block",), "x")])


def test_an_alias_is_not_written_through():
    with pytest.raises(Refusal, match="is an alias"):
        apply("a: &x {k: 1}\nb: *x\n", [SetValue(("b", "k"), "2")])
