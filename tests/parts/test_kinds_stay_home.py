"""A kind of part is known by its class alone: outside the plan and the parts, no code asks for the name of a kind."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest

import wiring
from wiring.design.load import load
from wiring.drawing.assign import find_units
from wiring.parts.base import PartModel
from wiring.parts.kinds import KIND_NAMES, all_kinds
from wiring.rules.run import judge

ROOT = Path(wiring.__file__).parent
HOMES = ("parts", "plan")
#: Rulebooks know no part: a breaker and a fuse are families of devices there, by the words of the standards' tables.
NO_PARTS = ("rulebooks",)
FILES = [path for path in sorted(ROOT.rglob("*.py")) if path.relative_to(ROOT).parts[0] not in (*HOMES, *NO_PARTS)]
SPECS = sorted((ROOT.parent / "specs").glob("*.yaml"))
NAMES = frozenset(KIND_NAMES)


def literals(tree: ast.AST) -> Iterator[str]:
    """The names of kinds that stand in a piece of code."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value in NAMES:
            yield node.value


def asks_kind(tree: ast.AST) -> bool:
    """Whether a piece of code reads the `kind` of something, or a variable of kinds."""
    names = (getattr(node, "attr", "") or getattr(node, "id", "") for node in ast.walk(tree))
    return any("kind" in name.lower() for name in names if isinstance(name, str))


def lists_of_kinds(tree: ast.Module) -> set[str]:
    """The names of a module that stand for collections of kinds."""
    found = set()
    for node in tree.body:
        targets = (
            node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        )
        if targets and node.value is not None and any(literals(node.value)):
            found |= {target.id for target in targets if isinstance(target, ast.Name)}
    return found


def known_lists(tree: ast.Module) -> set[str]:
    """The collections of kinds that a module makes or imports."""
    imported = {
        name.name for node in tree.body if isinstance(node, ast.ImportFrom) for name in node.names if name.name in LISTS
    }
    return lists_of_kinds(tree) | imported


LISTS = {name for path in FILES for name in lists_of_kinds(ast.parse(path.read_text(encoding="utf-8")))}


def questions(text: str) -> list[tuple[int, str]]:
    """Where code compares a kind with a name, looks one up in a list, or asks how its name ends: line and words."""
    found = []
    module = ast.parse(text)
    lists = known_lists(module)
    for node in ast.walk(module):
        match node:
            case ast.Compare(left=left, comparators=others):
                sides: list[ast.AST] = [left, *others]
            case ast.Subscript(value=value, slice=key):
                sides = [value, key]
            case ast.Call(func=ast.Attribute(value=value, attr="get" | "startswith" | "endswith"), args=[*args]):
                sides = [value, *args]
            case ast.Match(subject=subject, cases=cases):
                sides = [subject, *(case.pattern for case in cases)]
            case _:
                continue
        asked = [side for side in sides if asks_kind(side)]
        words = [word for side in sides for word in literals(side)]
        words += [n.id for side in sides for n in ast.walk(side) if isinstance(n, ast.Name) and n.id in lists]
        ends = isinstance(node, ast.Call) and ast.unparse(node.func).endswith((".startswith", ".endswith")) and asked
        if asked and (words or ends):
            found.append((node.lineno, ast.unparse(node)))
    return found


def is_of_the_building(words: str) -> bool:
    """The device of the building is no part: it is a breaker or a fuse by the word of the plan."""
    return words.startswith("upstream.kind")


@pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(ROOT)))
def test_no_code_outside_asks_for_the_name_of_a_kind(path):
    found = [one for one in questions(path.read_text(encoding="utf-8")) if not is_of_the_building(one[1])]
    assert not found


@pytest.mark.parametrize(
    "text",
    [
        'x = part.kind == "breaker"',
        'x = part.kind in ("breaker", "fuse")',
        'x = part.kind.endswith("motor")',
        '{"fuse": 1}[part.kind]',
        '{"fuse": 1}.get(part.kind)',
        'match part.kind:\n    case "fuse":\n        pass',
    ],
)
def test_the_question_is_found(text):
    assert questions(text)


@pytest.mark.parametrize("spec", SPECS, ids=lambda path: path.stem)
def test_what_a_kind_is_called_changes_nothing(spec, monkeypatch):
    """A law: with every kind called otherwise, the same is found and drawn."""
    before = outcome(spec)
    for n, model in enumerate(all_kinds().values()):
        monkeypatch.setattr(model, "kind_name", f"zz{n}")
    assert outcome(spec) == before


def outcome(spec: Path) -> tuple[object, ...]:
    """What a plan gives, without the names of kinds: symbols on sheets, axes, findings, open questions."""
    design = load(spec).design
    assert design is not None
    units = [(u.id, u.form, u.lanes, u.sheet, u.emblem, u.actuator, u.main) for u in find_units(design)]
    report = judge(design)
    found = [(f.rule, f.subjects, f.signal) for f in report.findings]
    return units, sorted(design.axes), found, [(q.rule, q.subjects) for q in report.not_judged]


def test_every_class_with_a_name_is_a_kind():
    for path in sorted((ROOT / "parts").glob("*.py")):
        import_module(f"wiring.parts.{path.stem}")
    todo, named = [PartModel], {}
    while todo:
        model = todo.pop()
        todo += model.__subclasses__()
        if model.__module__.startswith("wiring.") and "kind_name" in model.__dict__:
            named[model.kind_name] = model
    assert named == all_kinds()
