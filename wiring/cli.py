"""The commands as typer tells and reads them: help, and whatever is wrong or not plain."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from copy import copy
from functools import partial, wraps
from inspect import signature
from types import FunctionType
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperCommand, TyperGroup

from wiring.cli_arguments import Argument, Said, arguments_of
from wiring.cli_commands import EXAMPLES, command_of
from wiring.cli_output import write

if TYPE_CHECKING:
    from typer.models import CommandInfo


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import PackageNotFoundError, version

        try:
            write(f"wiring {version('wiring')}\n")
        except PackageNotFoundError:
            write("wiring, not installed\n")
        raise SystemExit(0)


def _flags_plain(params: list[Any]) -> list[Any]:
    """Flags are taken as they are: typer would load pydantic to read them."""
    for param in params:
        if not isinstance(param.process_value, partial):
            param.process_value = partial(_flag, param, param.process_value)
    return params


def _flag(param: Any, read: Callable[[Any, Any], Any], context: Any, value: Any) -> Any:
    if not isinstance(value, bool | None) or param.required or param.nargs != 1:
        return read(context, value)
    return param.callback(context, param, value) if param.callback else value


class _Command(TyperCommand):
    def get_params(self, ctx: Any) -> Any:
        return _flags_plain(super().get_params(ctx))


class _Group(TyperGroup):
    def get_params(self, ctx: Any) -> Any:
        return _flags_plain(super().get_params(ctx))


_APP = typer.Typer(
    cls=_Group,
    name="wiring",
    help="Checks, draws and proves the wiring of a machine from one plan file, before power-up.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


@_APP.callback()
def _around(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="print the version and end")
    ] = False,
) -> None:
    """Checks, draws and proves the wiring of a machine from one plan file, before power-up."""


def _in_typer(said: Said) -> Any:
    """What is said of an argument, as typer takes it."""
    return (typer.Argument if isinstance(said, Argument) else typer.Option)(*said.names, **said.facts)


def _typed(command: FunctionType) -> Callable[..., None]:
    """A command with its arguments as typer reads them."""
    hints = {name: Annotated[kind, _in_typer(said)] for name, (kind, said) in arguments_of(command).items()}

    @wraps(command)
    def called(**values: Any) -> None:
        command(**values)

    own = signature(command)
    called.__signature__ = own.replace(  # type: ignore[attr-defined]
        parameters=[one.replace(annotation=hints[name]) for name, one in own.parameters.items()]
    )
    called.__annotations__ = hints
    return called


def _told(command: FunctionType) -> Callable[..., None]:
    """Something that says the same of itself and takes nothing."""

    def words() -> None: ...

    words.__doc__ = command.__doc__
    return words


def _commands(names: Sequence[str], make: Callable[[FunctionType], Callable[..., None]]) -> list[CommandInfo]:
    """Commands with the example of each below its help."""
    of = typer.Typer()
    for name in names:
        command = command_of(name)
        assert command is not None
        of.command(name, cls=_Command, epilog=f"Example: wiring {EXAMPLES[name]}")(make(command))
    return of.registered_commands


def asked(words: Sequence[str]) -> typer.Typer:
    """The command that is called alone, or for the list of all only their first words; else all commands.

    The parameters of a command take longer to read than anything else of a start.
    """
    found = copy(_APP)
    if words and words[0] in EXAMPLES:
        found.registered_commands = _commands(words[:1], _typed)
    else:
        only_told = list(words) in ([], ["--help"], ["--version"])
        found.registered_commands = _commands(list(EXAMPLES), _told if only_told else _typed)
    return found


def __getattr__(name: str) -> typer.Typer:
    """`app`, the command line with all commands, is made where somebody asks for it."""
    if name != "app":
        raise AttributeError(name)
    return asked(["--all"])
