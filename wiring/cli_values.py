"""Plain words of a command line are taken as they are; typer reads all others, and says what is wrong with them.

To read a word typer loads pydantic, which takes as long as to judge a small plan.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from enum import Enum
from functools import partial
from inspect import unwrap
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, get_args, get_origin, get_type_hints

from typer.core import TyperCommand, TyperGroup

_OPEN = object()


class PlainCommand(TyperCommand):
    """A command whose words need no reading where they are plain."""

    def get_params(self, ctx: Any) -> Any:
        wanted = get_type_hints(unwrap(self.callback)) if self.callback else {}
        return _taking_plain(super().get_params(ctx), wanted)


class PlainGroup(TyperGroup):
    """A group of them, whose own options are seldom given."""

    def get_params(self, ctx: Any) -> Any:
        return _taking_plain(super().get_params(ctx), {})


def _taking_plain(params: Sequence[Any], wanted: Mapping[str, Any]) -> Sequence[Any]:
    for param in params:
        if not isinstance(param.process_value, partial):
            param.process_value = partial(_taken, param, wanted.get(param.name, bool | None), param.process_value)
    return params


def _taken(param: Any, wanted: Any, read: Callable[[Any, Any], Any], context: Any, value: Any) -> Any:
    """The value of a word, by typer where it is not plain."""
    found = _OPEN if not value and (param.required or param.nargs != 1) else plain(wanted, value)
    if found is _OPEN:
        return read(context, value)
    return param.callback(context, param, found) if param.callback else found


def plain(wanted: Any, value: Any) -> Any:
    """What a plain word or several are to a command that wants paths, texts or one of its words, else `_OPEN`."""
    if get_origin(wanted) is list:
        return _OPEN if not value else _every(get_args(wanted)[0], value)
    if get_origin(wanted) is UnionType:
        kinds = [kind for kind in get_args(wanted) if kind is not NoneType]
        return None if value is None else plain(kinds[0], value) if len(kinds) == 1 else _OPEN
    if not isinstance(wanted, type) or not isinstance(value, str) or not value:
        return value if isinstance(wanted, type) and isinstance(value, wanted) else _OPEN
    if issubclass(wanted, Enum):
        return next((one for one in wanted if one.value == value), _OPEN)
    return wanted(value) if wanted in (str, Path) else _OPEN


def _every(wanted: Any, values: Any) -> Any:
    found = [plain(wanted, value) for value in values]
    return _OPEN if _OPEN in found else found
