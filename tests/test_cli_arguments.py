"""Plain words are taken for what typer reads in them: the command that it makes of the same arguments is the expected
one; whatever it refuses, reads in another way or must tell is left to it."""

from __future__ import annotations

import shlex
from enum import Enum
from typing import Any, get_args

import pytest
import typer
from typer.core import TyperCommand

from wiring.cli import app
from wiring.cli_arguments import Option, arguments_of, taken
from wiring.cli_commands import EXAMPLES, command_of

COMMANDS = {str(one.name): one for one in app.registered_commands}


def read_by_typer(name: str, words: list[str]) -> Any:
    """What typer would call a command with, or how it refuses."""
    alone = typer.Typer(add_completion=False)
    alone.registered_commands = [COMMANDS[name]]
    command = typer.main.get_command(alone)
    assert isinstance(command, TyperCommand)
    try:
        return command.make_context(name, list(words)).params
    except Exception as refusal:
        return type(refusal), str(refusal)


def words_of_options(name: str) -> list[list[str]]:
    """Every word of each option that takes one of some, one that it does not have, an empty one, and none; given
    twice, by `=`, and unknown."""
    command = command_of(name)
    assert command is not None
    found = [["--nothing-such"], ["--help"], ["more"], ["-"], ["--"], [""]]
    for argument, (wanted, said) in arguments_of(command).items():
        if isinstance(said, Option):
            shown = said.names[0] if said.names else f"--{argument.replace('_', '-')}"
            kinds = [one for one in (wanted, *get_args(wanted)) if isinstance(one, type)]
            some = [str(one.value) for kind in kinds if issubclass(kind, Enum) for one in kind]
            found += [[shown, word] for word in (*some, "nothing-such", "7", "", "TEXT", "-7", "--help")]
            found += [[shown], [f"{shown}=7"], [f"{shown}="], [shown, "7", shown, "8"], [shown, shown]]
    return found


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_is_called_as_typer_calls_it(name: str) -> None:
    command = command_of(name)
    assert command is not None
    example = shlex.split(EXAMPLES[name].split(" > ")[0])[1:]
    for words in ([], example, *(example + more for more in words_of_options(name))):
        found = taken(command, words)
        if found is not None:
            expected = read_by_typer(name, words)
            assert found == expected, words
            assert {one: type(value) for one, value in found.items()} == {
                one: type(value) for one, value in expected.items()
            }, words


#: Those whose example asks for a number or two words at once, which typer reads.
READ_BY_TYPER = {"add-motor"}


def test_the_usual_way_of_every_command_does_without_typer() -> None:
    open_ = {
        name
        for name in COMMANDS
        if taken(command_of(name), shlex.split(EXAMPLES[name].split(" > ")[0])[1:]) is None  # type: ignore[arg-type]
    }
    assert open_ == READ_BY_TYPER


def test_check_does_not_load_typer() -> None:
    import subprocess
    import sys

    words = "import sys; sys.argv = ['wiring', 'rule', 'earth-missing']; from wiring.cli_start import main; main()"
    words = f"import atexit, sys; atexit.register(lambda: print('typer' in sys.modules)); {words}"
    told = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True, check=True).stdout
    assert told.endswith("False\n")
