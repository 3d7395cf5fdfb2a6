"""Edits of a plan as data, and how values are written in them."""

from __future__ import annotations

import re
from collections.abc import Sequence

from msgspec import Struct

#: The way to a value in a plan: keys and, in lists, ids or places.
Step = str | int
Path = tuple[Step, ...]
_PLAIN = re.compile(r"[A-Za-z0-9.+/(°µΩ²-]([^\x00-\x1f\"'{}\[\],#&*!|>%@`]*[^\s\"'{}\[\],#&*!|>%@`:])?")
_FLOW = ("{", "[", '"', "'")


class SetValue(Struct, frozen=True):
    """The value at a path; a key that is not there yet is added behind its neighbours. `value` is YAML as written."""

    path: Path
    value: str


class RemoveEntry(Struct, frozen=True):
    """A key of a mapping with its value taken out."""

    path: Path


class RenameKey(Struct, frozen=True):
    """A key of a mapping under another name, its value kept."""

    path: Path
    name: str


class AddEntry(Struct, frozen=True):
    """A new key of a mapping with its value, behind the sibling `after`."""

    path: Path
    name: str
    value: str
    after: str


class AddItem(Struct, frozen=True):
    """An item behind the others of a list, or behind the one at the place `after`."""

    path: Path
    value: str
    after: str | int | None = None


class CopyEntry(Struct, frozen=True):
    """An entry of a mapping, or an item of a list, once more, written as the first is, with some values changed.

    `path` is that of the original; `name` the new key ("" for an item of a list); `after` the sibling behind which it
    stands; `changes` are paths below it with their new text, `without` paths below it that are left out.
    """

    path: Path
    name: str
    after: str | int
    changes: tuple[tuple[Path, str], ...] = ()
    without: tuple[Path, ...] = ()


Edit = SetValue | RemoveEntry | RenameKey | AddEntry | AddItem | CopyEntry


def scalar(text: str) -> str:
    """A text as one YAML value: as it is where that reads the same, else in double quotes."""
    if _PLAIN.fullmatch(text) and ": " not in text:
        return text
    quoted = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
    return f'"{quoted}"'


def written(text: str) -> str:
    """What a person gave for a value: brackets and quotes as they stand, anything else as one value."""
    return text if text.startswith(_FLOW) else scalar(text)


def path_words(path: Sequence[str | int]) -> str:
    """A path for people: M1.work.torque."""
    return ".".join(str(step) for step in path)
