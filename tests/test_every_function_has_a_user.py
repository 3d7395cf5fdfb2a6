"""No code without a user: from the commands, by the names that code speaks, every function of `wiring/` is reached."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

from wiring.cli_commands import EXAMPLES, command_of

ROOT = Path(__file__).parents[1]
#: What programs load by a name that they put together, the commands, the rules and what `python -m wiring` runs; what
#: typer asks.
_COMMANDS = filter(None, map(command_of, EXAMPLES))
_ENTRIES = {*(command.__name__ for command in _COMMANDS), "check", "main", "get_params"}
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


def test_every_function_is_reached_from_a_command() -> None:
    assert unreached() == set()
