"""The kinds of part, by name. Each is a class with a `kind_name` in a module of this package, found by reading them.

A module is imported on first use of one of its kinds.
"""

from __future__ import annotations

from functools import cache
from importlib import import_module
from pathlib import Path

from wiring.parts.base import PartModel

_KIND, _CLASS = '\n    kind_name: ClassVar[str] = "', "\nclass "


def _places() -> dict[str, tuple[str, str]]:
    """Module and class of every kind; every start reads them, so no pattern is matched."""
    found = {}
    for path in sorted(Path(__file__).parent.glob("*.py")):
        before, *kinds = path.read_text(encoding="utf-8").split(_KIND)
        for behind in kinds:
            name = before[before.rindex(_CLASS) + len(_CLASS) :].partition("(")[0]
            found[behind.partition('"')[0]] = (path.stem, name)
            before = behind
    return found


_PLACES = _places()
KIND_NAMES: tuple[str, ...] = tuple(_PLACES)


@cache
def kind_model(kind: str) -> type[PartModel]:
    """The model of a kind.

    Raises KeyError for a kind that does not exist.
    """
    module, name = _PLACES[kind]
    model: type[PartModel] = getattr(import_module(f"wiring.parts.{module}"), name)
    return model


def all_kinds() -> dict[str, type[PartModel]]:
    """Every kind with its model, for the schema and the documentation."""
    return {kind: kind_model(kind) for kind in KIND_NAMES}
