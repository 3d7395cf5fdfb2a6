"""Every rule's own test holds what the rule says: word, limit with its source, a number and the mend, by `assert_says`.

The figures come from the test: each is worked out there, or is told in its docstring as one of the plan or of a
standard. So a figure copied from what the rule prints is seen.
"""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path

import pytest
from helpers import design
from marked_plans import fired
from msgspec.structs import replace
from says import assert_says

from wiring.findings import Finding, Number, Signal
from wiring.rulebooks.citation import Source, Standing
from wiring.rules import SLUGS, rule_module

HERE = Path(__file__).parent
#: What `assert_says` holds, by what a rule hands to its finding.
HELD = {"limit": "limit", "numbers": "number", "mend": "mend"}


def _file(slug: str) -> Path:
    return HERE / f"test_{slug.replace('-', '_')}.py"


@cache
def _calls(slug: str) -> tuple[tuple[ast.FunctionDef, ast.Call], ...]:
    """The calls of `assert_says` in the test of a rule, with the function that each stands in."""
    tree = ast.parse(_file(slug).read_text(encoding="utf-8"))
    functions = [node for node in tree.body if isinstance(node, ast.FunctionDef)]
    calls = [(f, n) for f in functions for n in ast.walk(f) if isinstance(n, ast.Call)]
    return tuple((f, n) for f, n in calls if isinstance(n.func, ast.Name) and n.func.id == "assert_says")


def _said(slug: str) -> set[str]:
    """What the rule hands to any of its findings, by the names of `assert_says`."""
    tree = ast.parse(Path(str(rule_module(slug).__file__)).read_text(encoding="utf-8"))
    made = [n for n in ast.walk(tree) if isinstance(n, ast.Call) and ast.unparse(n.func) == "RULE.finding"]
    return {HELD[word.arg] for call in made for word in call.keywords if word.arg in HELD}


@pytest.mark.parametrize("slug", SLUGS)
def test_its_own_test_holds_all_that_the_rule_says(slug: str) -> None:
    held = {word.arg for _, call in _calls(slug) for word in call.keywords}
    assert _calls(slug), f"{_file(slug).name} never calls assert_says"
    assert _said(slug) <= held
    assert all(len(call.args) == 2 for _, call in _calls(slug)), "the signal word is the second argument"


@pytest.mark.parametrize("slug", SLUGS)
def test_every_figure_is_worked_out_or_told(slug: str) -> None:
    """A bare figure stands in the docstring, which says what it is; a sum, product or name is its own derivation."""
    for function, call in _calls(slug):
        told = ast.get_docstring(function) or ""
        for word in call.keywords:
            if word.arg in ("limit", "number"):
                assert isinstance(word.value, ast.Tuple), f"{function.name}: {word.arg} is not written out"
                figure = word.value.elts[0 if word.arg == "limit" else 1]
                assert not isinstance(figure, ast.Constant) or f"{figure.value:g}" in told.replace(",", ""), (
                    f"{function.name}: {word.arg} {ast.unparse(figure)} is a bare figure of unknown origin"
                )


def _thin_motor_conductor() -> Finding:
    body = """
parts:
  G1: {kind: supply, input: 230 V AC, output: 24 V DC, rated: 10 A}
  E1: {kind: load, rated: 24 V DC 120 W, behaviour: current}
wires:
  - {wire: 1, from: G1:V+, to: E1:1, size: 1.5 mm2, length: 20 m}
  - {wire: 2, from: G1:V-, to: E1:2, size: 1.5 mm2, length: 20 m}
"""
    [finding] = fired("voltage-drop-too-high", design(body))
    return finding


def test_what_is_held_cannot_change_unseen() -> None:
    """5 % (IEC 60204-1 12.5) of 24 V; every part of the finding is changed or left out in turn."""
    finding = _thin_motor_conductor()
    assert finding.limit is not None
    drop = finding.numbers[0].value

    def holds(one: Finding) -> bool:
        try:
            words = {
                "limit": (5.0, "%", "IEC 60204-1 12.5"),
                "number": ("drop", drop, "V"),
                "mend": "or move the source",
            }
            assert_says(one, "CAUTION", **words)  # type: ignore[arg-type]
        except AssertionError:
            return False
        return True

    assert holds(finding)
    other = Source("IEC 60204-1", "2016", "12.4", Standing.FROM_MEMORY)
    changed = [
        replace(finding, signal=Signal.WARNING),
        replace(finding, limit=None),
        replace(finding, limit=replace(finding.limit, value=5.1)),
        replace(finding, limit=replace(finding.limit, unit="V")),
        replace(finding, limit=replace(finding.limit, source=other)),
        replace(finding, numbers=()),
        replace(finding, numbers=(Number("drop", 1.01 * drop, "V"),)),
        replace(finding, numbers=(Number("drop", drop, "A"),)),
        replace(finding, mends=()),
        replace(finding, mends=finding.mends[1:]),
    ]
    assert [one for one in changed if holds(one)] == []
