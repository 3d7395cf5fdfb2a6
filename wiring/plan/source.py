"""Where things stand: a place in a file, the file's text, and the tree of values that keep their place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from msgspec import Struct, field

#: Line, column and length, counted from 1 in characters.
Span = tuple[int, int, int]

_LINE_BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")


class Place(Struct, frozen=True, order=True):
    """Where something stands in a file, counted from 1 in characters; in a spreadsheet row and column of the cell."""

    file: str
    line: int
    column: int
    length: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


class Source(Struct, frozen=True):
    """A file that was read, with its lines of text and the tree of its values; a spreadsheet has no lines."""

    file: str
    lines: tuple[str, ...]
    tree: Node | None = None

    @staticmethod
    def of(file: str, text: str) -> Source:
        """The source with its text cut at every line break that YAML knows."""
        return Source(file, tuple(_LINE_BREAK.split(text)))


class Node(Struct, eq=False):
    """One value of a plan: its plain `data` (text, list, dict, or None where nothing was written) and its place.

    `children` holds the nodes of a mapping by key or of a sequence in order, `keys` the spans of a mapping's keys.
    The tree is built once and only read afterwards.
    """

    file: str
    data: Any
    span: Span
    children: dict[str, Node] | list[Node] | None = None
    keys: dict[str, Span] = field(default_factory=dict)

    @property
    def place(self) -> Place:
        """Where the value stands."""
        return Place(self.file, *self.span)

    def key_place(self, key: str) -> Place:
        """Where that key of a mapping stands."""
        return Place(self.file, *self.keys[key])

    def child(self, step: str | int) -> Node | None:
        """The value behind a key or at an index, None where there is none."""
        if isinstance(self.children, dict):
            return self.children.get(str(step))
        if isinstance(self.children, list) and isinstance(step, int) and 0 <= step < len(self.children):
            return self.children[step]
        return None

    def follow(self, path: Sequence[str | int]) -> tuple[Node, int]:
        """The deepest value on the path, and how many of its steps were found."""
        node = self
        for depth, step in enumerate(path):
            below = node.child(step)
            if below is None:
                return node, depth
            node = below
        return node, len(path)

    def items_of(self, key: str) -> list[Node]:
        """The values of the sequence behind a key; empty where there is none."""
        below = self.child(key)
        return below.children if below is not None and isinstance(below.children, list) else []

    def texts(self) -> list[Node]:
        """The texts of a sequence, or the node itself where it is one text."""
        if isinstance(self.children, list):
            return [node for node in self.children if isinstance(node.data, str)]
        return [self] if isinstance(self.data, str) else []

    def entries(self) -> list[tuple[str, Node]]:
        """Keys and values of a mapping in the order of the file; empty for anything else."""
        return list(self.children.items()) if isinstance(self.children, dict) else []
