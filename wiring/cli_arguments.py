"""What is said of the arguments of a command, as plain data, and plain words taken for them.

Typer is made from it where something must be told: help, or what is wrong. It takes as long to load as three starts of
Python, and with what reads values for it as long as it takes to judge a small plan.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import Enum
from pathlib import Path
from types import FunctionType, NoneType, UnionType
from typing import Annotated, Any, get_args, get_origin, get_type_hints


class Said:
    """What help says of one argument, and its bounds, in the words of typer."""

    def __init__(self, *names: str, **facts: Any) -> None:
        self.names, self.facts = names, facts


class Argument(Said):
    """An argument that is told by its place."""


class Option(Said):
    """One that is told by its name."""


def arguments_of(command: FunctionType) -> dict[str, tuple[Any, Said]]:
    """The type of every argument of a command, and what is said of it."""
    hints = get_type_hints(command, include_extras=True)
    return {name: get_args(hint)[:2] for name, hint in hints.items() if get_origin(hint) is Annotated}


class _NotPlainError(Exception):
    pass


def taken(command: FunctionType, words: Sequence[str]) -> dict[str, Any] | None:
    """What a command is called with; None where a word is not plain, and typer must read it or say what is wrong."""
    arguments = arguments_of(command)
    told = {name: one for name, one in arguments.items() if isinstance(one[1], Option)}
    by_place = {name: one[0] for name, one in arguments.items() if name not in told}
    try:
        found, loose = _options(told, words)
        found |= _by_place(by_place, loose)
    except _NotPlainError:
        return None
    usual = dict(zip(reversed(arguments), reversed(command.__defaults__ or ()), strict=False))
    values = usual | found
    return {name: values[name] for name in arguments} if len(values) == len(arguments) else None


def _options(told: dict[str, tuple[Any, Said]], words: Sequence[str]) -> tuple[dict[str, Any], list[str]]:
    """The options among some words, and the others in their order."""
    names = {
        shown: name for name, (_, said) in told.items() for shown in said.names or (f"--{name.replace('_', '-')}",)
    }
    found: dict[str, Any] = {}
    loose: list[str] = []
    rest = iter(words)
    for word in rest:
        if not word.startswith("-"):
            loose.append(word)
            continue
        shown, given, value = word.partition("=")
        name = names.get(shown)
        if name is None or name in found:
            raise _NotPlainError
        wanted, said = told[name]
        if wanted is bool:
            if given or not said.names:
                raise _NotPlainError
            found[name] = True
        else:
            found[name] = plain(wanted, value if given else next(rest, ""))
    return found, loose


def _by_place(wanted: dict[str, Any], words: list[str]) -> dict[str, Any]:
    """Words given to arguments by their place; one that takes a list takes all that are left."""
    found: dict[str, Any] = {}
    left = list(words)
    for name, kind in wanted.items():
        if not left:
            break
        several = next((get_args(one)[0] for one in (kind, *get_args(kind)) if get_origin(one) is list), None)
        if several is None:
            found[name] = plain(kind, left.pop(0))
        else:
            found[name], left = [plain(several, word) for word in left], []
    if left:
        raise _NotPlainError
    return found


def plain(wanted: Any, word: str) -> Any:
    """What a word is to a command that wants a path, a text or one of some words."""
    if get_origin(wanted) is UnionType:
        kinds = [kind for kind in get_args(wanted) if kind is not NoneType]
        wanted = kinds[0] if len(kinds) == 1 else None
    if word and not word.startswith("-"):
        if wanted in (str, Path):
            return wanted(word)
        if isinstance(wanted, type) and issubclass(wanted, Enum):
            for one in wanted:
                if one.value == word:
                    return one
    raise _NotPlainError
