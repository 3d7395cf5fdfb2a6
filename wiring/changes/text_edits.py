"""A plan's text with edits made: comments, order and layout of all else stay."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from msgspec import Struct

from wiring.changes.outline import Spot, outline
from wiring.plan.edits import (
    AddEntry,
    AddItem,
    CopyEntry,
    Edit,
    Path,
    RemoveEntry,
    RenameKey,
    SetValue,
    path_words,
    scalar,
)
from wiring.plan.fault import Refusal

_LINE_END = re.compile("\r\n|[\n\r\x85\u2028\u2029]")


class _Splice(Struct, frozen=True):
    start: int
    end: int
    text: str


class _LaterError(Exception):
    """An edit must wait until those before it are made."""


def _line_end(text: str, position: int) -> int:
    found = _LINE_END.search(text, position)
    return found.start() if found else len(text)


def _line_start(text: str, position: int) -> int:
    return max(text.rfind(mark, 0, position) for mark in "\n\r\x85\u2028\u2029") + 1


def _newline(text: str) -> str:
    found = _LINE_END.search(text)
    return found[0] if found else "\n"


class _Writer:
    """Turns edits into splices of one text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.root = outline(text)
        self.newline = _newline(text)

    def splice(self, edit: Edit) -> _Splice:
        match edit:
            case SetValue():
                return self.set(edit)
            case RemoveEntry():
                return self.remove(edit)
            case RenameKey():
                parent, place = self.entry(edit.path)
                start = parent.keys[place]
                end = start + len(self.written_key(parent, place))
                return _Splice(start, end, scalar(edit.name))
            case AddEntry():
                return self.new_entry(edit)
            case AddItem():
                return self.add_item(edit)
            case CopyEntry():
                return self.copy(edit)

    def touched(self, edit: Edit) -> Path:
        """The topmost key that an edit brings, or what it speaks of: nothing below it is known before it is made."""
        target = _target(edit)
        return target[: self.root.follow(target)[1] + 1]

    def entry(self, path: Path) -> tuple[Spot, int]:
        parent = self.root.at(path[:-1])
        place = parent.index(path[-1]) if parent else None
        if parent is None or place is None:
            raise Refusal(f"the plan has no {path_words(path)}", "a value that is written in the plan", complete=True)
        return parent, place

    def written_key(self, parent: Spot, place: int) -> str:
        start, value = parent.keys[place], parent.inner[place]
        return self.text[start : value.start].rstrip().removesuffix(":").rstrip()

    def set(self, edit: SetValue) -> _Splice:
        spot, depth = self.root.follow(edit.path)
        if spot.form == "alias":
            where = path_words(edit.path[:depth])
            raise Refusal(f"{where} is an alias", "the value written out", "write it out in place of *…", complete=True)
        if depth == len(edit.path):
            lead = " " if spot.start == spot.end and self.text[spot.start - 1 : spot.start] == ":" else ""
            if spot.form in ("list", "mapping") and not spot.flow:
                lead = "  "  # a block may begin below its key, what takes its place may not
            return _Splice(spot.start, spot.end, f"{lead}{edit.value}")
        value = edit.value
        for step in reversed(edit.path[depth + 1 :]):
            value = f"{{{scalar(str(step))}: {value}}}"
        if spot.form == "scalar" and depth:
            return self.open_scalar(spot, edit, depth, value)
        if spot.form != "mapping":
            raise Refusal(
                f"{path_words(edit.path[:depth])} has no {edit.path[depth]}", "a value of the plan", complete=True
            )
        return self.add_entry(spot, str(edit.path[depth]), value, len(spot.inner) - 1)

    def open_scalar(self, spot: Spot, edit: SetValue, depth: int, value: str) -> _Splice:
        """A state's word such as `hold` makes place for the figures of its work."""
        if edit.path[0] != "states" or spot.text not in ("run", "on", "hold", "off"):
            where = path_words(edit.path[:depth])
            raise Refusal(
                f"{where} is a single value, {spot.text!r}", "nothing below it", f"set {where} itself", complete=True
            )
        return _Splice(spot.start, spot.end, f"{{{scalar(str(edit.path[depth]))}: {value}}}")

    def add_entry(self, parent: Spot, key: str, value: str, after: int) -> _Splice:
        return self.insert(parent, after, f"{scalar(key)}: {value}")

    def insert(self, parent: Spot, after: int, piece: str) -> _Splice:
        """An entry or item behind the one at the place `after` (-1: into what is empty)."""
        if not parent.inner:
            return self.into_empty(parent, piece)
        near = parent.inner[after]
        if parent.flow:
            return _Splice(near.end, near.end, f"{self.separator(parent, after)}{piece}")
        column = self.lead(parent, after)
        end = _line_end(self.text, near.end)
        return _Splice(end, end, f"{self.newline}{column}{piece}")

    def into_empty(self, parent: Spot, piece: str) -> _Splice:
        if parent.flow:
            return _Splice(parent.start + 1, parent.start + 1, piece)
        raise Refusal("an empty block takes nothing", "brackets, or an entry", complete=True)

    def lead(self, parent: Spot, place: int) -> str:
        """What stands before an entry in its line: its indentation, and the dash of an item."""
        if parent.form == "mapping":
            return " " * (parent.keys[place] - _line_start(self.text, parent.keys[place]))
        start = parent.inner[place].start
        dash = self.text.rfind("-", 0, start)
        return " " * (dash - _line_start(self.text, dash)) + self.text[dash:start]

    def starts(self, parent: Spot) -> list[int]:
        return parent.keys if parent.form == "mapping" else [one.start for one in parent.inner]

    def separator(self, parent: Spot, after: int) -> str:
        """How the entries of a flow collection are parted: by a comma, or each in a line of its own."""
        if after > 0:
            between = self.text[parent.inner[after - 1].end : self.starts(parent)[after]]
            each = all("\n" in self.text[parent.inner[n - 1].end : self.starts(parent)[n]] for n in range(1, after + 1))
            if each and "#" not in between:
                return between
        return ", "

    def new_entry(self, edit: AddEntry) -> _Splice:
        parent = self.root.at(edit.path)
        place = parent.index(edit.after) if parent else None
        if parent is None or place is None:
            raise _LaterError
        return self.add_entry(parent, edit.name, edit.value, place)

    def add_item(self, edit: AddItem) -> _Splice:
        parent = self.root.at(edit.path)
        if parent is None or parent.form != "list":
            raise Refusal(f"{path_words(edit.path)} is no list", "a list", complete=True)
        place = len(parent.inner) - 1 if edit.after is None else parent.index(edit.after)
        if place is None:
            raise Refusal(f"{path_words(edit.path)} has no {edit.after}", "an item of it", complete=True)
        return self.insert(parent, place, edit.value)

    def remove(self, edit: RemoveEntry) -> _Splice:
        parent, place = self.entry(edit.path)
        return _Splice(*self.removal(parent, place), "")

    def removal(self, parent: Spot, place: int) -> tuple[int, int]:
        starts = self.starts(parent)
        value = parent.inner[place]
        if not parent.flow:
            end = _LINE_END.search(self.text, value.end)
            return _line_start(self.text, starts[place]), end.end() if end else len(self.text)
        if place + 1 < len(starts):
            return starts[place], starts[place + 1]
        return (parent.inner[place - 1].end if place else starts[place]), value.end

    def copy(self, edit: CopyEntry) -> _Splice:
        parent, place = self.entry(edit.path)
        after = parent.index(edit.after)
        if after is None:
            raise _LaterError
        source = parent.inner[place]
        inner: list[_Splice] = []
        for path, value in edit.changes:
            spot = source.at(path)
            if spot is None:
                raise Refusal(f"{path_words((*edit.path, *path))} is not written", complete=True)
            inner.append(_Splice(spot.start, spot.end, value))
        for path in edit.without:
            above = source.at(path[:-1])
            n = above.index(path[-1]) if above else None
            if above is not None and n is not None:
                inner.append(_Splice(*self.removal(above, n), ""))
        start = source.start
        piece = _spliced(self.text[start : source.end], inner, start)
        if parent.form == "mapping":
            key_end = parent.keys[place] + len(self.written_key(parent, place))
            piece = f"{scalar(edit.name)}{self.text[key_end:start]}{piece}"
        return self.insert(parent, after, piece)


def _spliced(text: str, splices: Iterable[_Splice], offset: int = 0) -> str:
    pieces: list[str] = []
    position = 0
    for _, one in sorted(enumerate(splices), key=lambda row: (row[1].start, row[1].end, row[0])):
        pieces += [text[position : one.start - offset], one.text]
        position = max(position, one.end - offset)
    return "".join([*pieces, text[position:]])


def _collides(one: _Splice, others: Iterable[_Splice]) -> bool:
    return any((one.start < other.end and other.start < one.end) or _same(one, other) for other in others)


def _same(one: _Splice, other: _Splice) -> bool:
    """Two changes at one place of which at least one replaces something."""
    return one.start == other.start and (one.end > one.start or other.end > other.start)


def _target(edit: Edit) -> Path:
    if isinstance(edit, AddEntry):
        return (*edit.path, edit.name)
    return (*edit.path[:-1], edit.name) if isinstance(edit, CopyEntry | RenameKey) else edit.path


def apply(text: str, edits: Sequence[Edit]) -> str:
    """The text of a plan with the edits made, in order; only the lines that they speak of change.

    An item of a list is addressed by its id or by its number in the text as given. Raises Refusal where an edit speaks
    of what is not there. Source: none, this is our own format.
    """
    waiting = list(edits)
    while waiting:
        writer = _Writer(text)
        made: list[_Splice] = []
        done: list[Path] = []
        while waiting:
            edit = waiting[0]
            target = _target(edit)
            if any(target[: len(path)] == path or path[: len(target)] == target for path in done):
                break
            try:
                splice = writer.splice(edit)
            except _LaterError:
                if made:
                    break
                raise Refusal(f"{path_words(edit.path)} has no such neighbour", complete=True) from None
            if _collides(splice, made):
                break
            made.append(splice)
            if target[-1] and not isinstance(edit, AddItem):  # what is added to a list stands in nobody's way
                done.append(writer.touched(edit))
            waiting.pop(0)
        text = _spliced(text, made)
    return text
