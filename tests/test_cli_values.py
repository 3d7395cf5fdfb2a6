"""Plain words are taken for what typer reads in them: its own command, with the same arguments, is the expected one."""

from __future__ import annotations

import shlex
from copy import copy
from enum import Enum
from inspect import unwrap
from typing import Any, get_args, get_type_hints

import pytest
import typer
from typer.core import TyperCommand

from wiring.cli import app
from wiring.cli_examples import EXAMPLES, name_of

COMMANDS = {name_of(one): one for one in app.registered_commands}


def read(name: str, words: list[str], ours: bool) -> Any:
    """What a command would be called with, or how it refuses."""
    info, alone = copy(COMMANDS[name]), typer.Typer(add_completion=False)
    info.cls = info.cls if ours else TyperCommand
    alone.registered_commands = [info]
    try:
        return typer.main.get_command(alone).make_context(name, list(words)).params
    except Exception as refusal:
        return type(refusal), str(refusal)


def words_of_options(name: str) -> list[list[str]]:
    """Every word of each option that takes one of some, one that it does not have, an empty one, and none."""
    hints = get_type_hints(unwrap(COMMANDS[name].callback))  # type: ignore[arg-type]
    alone = typer.Typer(add_completion=False)
    alone.registered_commands = [COMMANDS[name]]
    found = []
    for param in typer.main.get_command(alone).params:
        kinds = [one for one in (hints.get(param.name), *get_args(hints.get(param.name))) if isinstance(one, type)]
        if param.opts[0].startswith("--") and not getattr(param, "is_flag", False):
            words = [str(one.value) for kind in kinds if issubclass(kind, Enum) for one in kind]
            found += [[param.opts[0], word] for word in (*words, "nothing-such", "7", "", "TEXT")]
            found.append([param.opts[0]])
    return found


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_is_called_as_typer_calls_it(name: str) -> None:
    example = shlex.split(EXAMPLES.get(name, f"{name} plan.yaml").split(" > ")[0])[1:]
    for words in ([], example, *(example + more for more in words_of_options(name))):
        expected, found = read(name, words, ours=False), read(name, words, ours=True)
        assert found == expected, words
        if isinstance(found, dict):
            assert [type(value) for value in found.values()] == [type(value) for value in expected.values()], words
