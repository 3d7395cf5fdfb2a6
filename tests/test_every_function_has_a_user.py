"""No code without a user: from the commands, by the names that code speaks, every function of `wiring/` is reached.

`awaiting_user.txt` lists what waits for a command that is asked for and not built yet, with what it waits for.
"""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[1]
AWAITING = Path(__file__).with_name("awaiting_user.txt")
#: What programs load by a name that they put together, the rules and what `python -m wiring` runs; what typer asks.
_ENTRIES = {"check", "main", "get_params"}
_Function = ast.FunctionDef | ast.AsyncFunctionDef


def names_in(node: ast.AST) -> Iterator[str]:
    """The names that a piece of code speaks, calls by `getattr` and templates not counted."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Name):
            yield inner.id
        elif isinstance(inner, ast.Attribute):
            yield inner.attr


def scan() -> tuple[dict[str, list[tuple[str, _Function]]], set[str]]:
    """Every function by its name, with its place; and the names that stand outside all functions or are decorators."""
    functions: dict[str, list[tuple[str, _Function]]] = defaultdict(list)
    spoken = set(_ENTRIES)
    for path in sorted((ROOT / "wiring").rglob("*.py")):
        where = path.relative_to(ROOT).as_posix()
        tree = ast.parse(path.read_text(encoding="utf-8"))
        owned: set[int] = set()
        for node in ast.walk(tree):
            if isinstance(node, _Function):
                functions[node.name].append((where, node))
                owned |= {id(inner) for statement in node.body for inner in ast.walk(statement)}
                if node.decorator_list:  # a command, a validator, a property of a model: called by what decorates it
                    spoken |= {name for one in node.decorator_list for name in names_in(one)}
                    if any("property" not in ast.unparse(one) for one in node.decorator_list):
                        spoken.add(node.name)
        spoken |= {
            node.id if isinstance(node, ast.Name) else node.attr
            for node in ast.walk(tree)
            if isinstance(node, ast.Name | ast.Attribute) and id(node) not in owned
        }
    return functions, spoken


def unreached() -> set[str]:
    """`file:function` of every function that no command reaches, special methods left out."""
    functions, ahead = scan()
    ahead |= {name for name in functions if name.startswith("__")}
    reached: set[str] = set()
    while ahead:
        name = ahead.pop()
        if name not in reached:
            reached.add(name)
            ahead |= {spoken for _, node in functions.get(name, ()) for part in node.body for spoken in names_in(part)}
    return {f"{where}:{name}" for name, places in functions.items() if name not in reached for where, _ in places}


def awaiting() -> dict[str, str]:
    """What waits for a user, by `file:function`, with what it waits for."""
    lines = [line for line in AWAITING.read_text(encoding="utf-8").splitlines() if line and not line.startswith("#")]
    return dict(line.split("  ", 1) for line in lines)


def test_every_function_is_reached_from_a_command_or_waits_for_one() -> None:
    assert unreached() - awaiting().keys() == set()


def test_nothing_waits_that_has_its_user() -> None:
    assert awaiting().keys() - unreached() == set()
