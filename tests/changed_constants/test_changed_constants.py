"""The script that changes constants, on a small tree: what it changes, what it counts, what it leaves behind."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.changed_constants.changes import Change, changes_of
from tests.changed_constants.tree import Tree

HERE = Path(__file__).parent
MODULE = '''
"""Text with 5 in it."""
from dataclasses import dataclass
from functools import cache

LIMIT = 2.0
SPARE = 7.0


@dataclass(frozen=True)
class Size:
    most: int = 40


def passes(value, low=-1.0):
    """More than 3 is told."""
    if value > LIMIT * (1 + 1e-9) or value < low:
        return f"{100 * value:.3g} %"
    return value != 9 and value - 1.0


@cache
def unseen(value):
    return value in (1, 2) and round(value, 6) == round(value, 2)
'''
TESTS = """
from wiring.rules.limits import Size, passes


def test_the_limit():
    assert passes(2.4) == "240 %"
    assert passes(2.0) == 1.0
    assert passes(-2.0)


def test_the_size():
    assert Size().most == 40
"""


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = tmp_path_factory.mktemp("tree")
    for name, text in (("wiring/rules/limits.py", MODULE), ("tests/rules/test_limits.py", TESTS)):
        (root / name).parent.mkdir(parents=True)
        (root / name).write_text(text, encoding="utf-8")
    for package in ("wiring", "wiring/rules"):
        (root / package / "__init__.py").touch()
    shutil.copytree(HERE, root / "tests" / HERE.name, ignore=shutil.ignore_patterns("__pycache__", "test_*"))
    return root


@pytest.fixture(scope="module")
def tree(root: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Tree]:
    with Tree(root, tmp_path_factory.mktemp("work")) as tree:
        yield tree


def places(root: Path) -> dict[tuple[str, str], Change]:
    found = changes_of(root, ("wiring/rules",), 1)
    return {(MODULE.splitlines()[one.line - 1].strip(), one.old): one for one in found}


def test_every_number_comparison_truth_value_and_sign_is_a_place(root: Path) -> None:
    found = changes_of(root, ("wiring/rules",), 1)
    left_out = {"100": "text", "1e-9": "tolerance", "6": "tolerance", "True": "declaration"}
    counted = ["2.0", "7.0", "40", "1.0", "-", ">", "1", "+", "<", "!=", "9", "-", "1.0", "in", "1", "2", "==", "2"]
    assert {one.old: one.equivalent for one in found if one.equivalent} == left_out
    assert sorted(one.old for one in found if not one.equivalent) == sorted(counted)


def test_a_comparison_that_a_tolerance_widens_is_turned_round(root: Path) -> None:
    for seed in range(8):
        changes = {one.old: one.new for one in changes_of(root, ("wiring/rules",), seed)}
        assert changes[">"] == "<="
    assert {one.new for seed in range(8) for one in changes_of(root, ("wiring/rules",), seed) if one.old == "<"} == {
        "<=",
        ">=",
    }


def test_the_seed_alone_decides_the_order(root: Path) -> None:
    first, again, other = (changes_of(root, ("wiring/rules",), seed) for seed in (1, 1, 2))
    assert first == again != other


def test_a_changed_place_is_the_only_difference(root: Path) -> None:
    source = MODULE.encode()
    for change in changes_of(root, ("wiring/rules",), 3):
        if not change.equivalent:
            assert source[change.start : change.end].decode() == change.old
            assert len(change.applied(source)) == len(source) + len(change.new) - len(change.old)
            compile(change.applied(source), "limits.py", "exec")


@pytest.mark.parametrize(
    ("line", "old", "killed"),
    [
        ("LIMIT = 2.0", "2.0", "test_the_limit"),
        ("most: int = 40", "40", "test_the_size"),
        ("return value != 9 and value - 1.0", "-", "test_the_limit"),
        ("return value != 9 and value - 1.0", "9", ""),
        ("SPARE = 7.0", "7.0", ""),
        ("return value in (1, 2) and round(value, 6) == round(value, 2)", "in", ""),
    ],
)
def test_what_a_test_holds_falls_and_the_rest_survives(
    tree: Tree, root: Path, line: str, old: str, killed: str
) -> None:
    outcome = tree.judged(places(root)[line, old])
    assert killed in outcome.killed_by
    assert bool(outcome.killed_by) is bool(killed)
    assert (tree.work / "wiring/rules/limits.py").read_text(encoding="utf-8") == MODULE
    assert (root / "wiring/rules/limits.py").read_text(encoding="utf-8") == MODULE
