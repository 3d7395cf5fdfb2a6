"""Edits of wires and cables that stand in a list of their own: only the rows that they speak of change."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path as FilePath
from typing import Any

from wiring.changes.list_file import ListFile, ListRow, open_list
from wiring.plan.edits import AddItem, CopyEntry, Edit, Path, RemoveEntry, SetValue, path_words
from wiring.plan.fault import Refusal
from wiring.plan.wiretable import CORE_COLUMNS

#: The column that gives a row its id.
_ID = {"wires": "wire", "cables": "cable"}
#: Values that are several words in one cell.
_WORDS = ("through", "colours")
_ENDS = ("from", "to")


def apply_to_list(path: FilePath, data: bytes, section: str, edits: Sequence[Edit]) -> bytes:
    """What the list at a path holds with the edits made, in order.

    Raises Refusal where an edit speaks of what is not there, and where the file would lose something.
    """
    file = open_list(path, data, section)
    editor = _Editor(file, section)
    for edit in edits:
        editor.make(edit)
    return file.data()


class _Editor:
    """Turns edits into cells."""

    def __init__(self, file: ListFile, section: str) -> None:
        self.file, self.section, self.key = file, section, _ID[section]
        #: An item is addressed by its number in the list as it was, whatever came since.
        self.first = list(dict.fromkeys(row.text(self.key) for row in file.rows))

    def make(self, edit: Edit) -> None:
        match edit:
            case SetValue() if len(edit.path) > 2:
                self.set(self.rows(edit.path), edit.path[2:], _plain(edit.value), edit.path)
            case RemoveEntry() if len(edit.path) == 2:
                for row in self.rows(edit.path):
                    self.file.remove(row)
            case RemoveEntry() if len(edit.path) > 2:
                self.set(self.rows(edit.path), edit.path[2:], None, edit.path)
            case AddItem() if len(edit.path) == 1:
                self.add(_plain(edit.value), edit.after)
            case AddItem():
                self.append(edit)
            case CopyEntry() if len(edit.path) == 2:
                self.copy(edit)
            case _:
                raise self.no_place(edit.path)

    def no_place(self, path: Path) -> Refusal:
        return Refusal(
            f"{path_words(path)} has no place in {self.file.name}", "a change of a cell of that list", complete=True
        )

    def rows(self, path: Path) -> list[ListRow]:
        """The rows of a wire or cable, by its id or its number."""
        step = path[1]
        name = self.first[step] if isinstance(step, int) and step < len(self.first) else str(step)
        found = [row for row in self.file.rows if row.text(self.key) == name]
        if not found:
            raise Refusal(f"{self.file.name} has no {path_words(path[:2])}", "an id of that list", complete=True)
        return found

    def set(self, rows: Sequence[ListRow], below: Path, value: Any, path: Path) -> None:
        """The value below an item, None to take it away."""
        row, column, edit = self.cell(rows, below, path)
        text = edit(row.text(column), value)
        self.file.set(row, column, text)
        if self.section == "cables" and column not in CORE_COLUMNS:
            for other in rows[1:]:
                if other.text(column):  # what holds for the whole cable may stand in each of its rows
                    self.file.set(other, column, text)

    def cell(self, rows: Sequence[ListRow], below: Path, path: Path) -> tuple[ListRow, str, Callable[[str, Any], str]]:
        """The row and column of a value, and how the value is put into what stands there."""
        match below:
            case (str(column),) if column in self.file.columns and column not in ("star", "from", "to", "shield"):
                return rows[0], column, _whole
            case (("from" | "to") as column,) if self.section == "wires":
                return rows[0], column, _whole
            case ("through", int(place)):
                return rows[0], "through", _word(place)
            case ("star", "from"):
                return rows[0], "star", _word(0)
            case ("star", "to"):
                return rows[0], "star", _star_ends
            case ("star", "to", int(place)):
                return rows[0], "star", _word(place + 1)
            case ("shield", "ends"):
                return rows[0], "shield", _whole
            case ("shield", "ends", int(place)):
                return rows[0], "shield", _word(place)
            case ("shield", "method"):
                return rows[0], "shield_method", _whole
            case ("sizes", core):
                return self.core(rows, core, path), "core_size", _whole
            case ("join", core, int(place)) if place in (0, 1):
                return self.core(rows, core, path), _ENDS[place], _whole
        raise self.no_place(path)

    def core(self, rows: Sequence[ListRow], core: str | int, path: Path) -> ListRow:
        found = next((row for row in rows if row.text("core") == str(core)), None)
        if found is None:
            raise self.no_place(path)
        return found

    def append(self, edit: AddItem) -> None:
        """One more end of a chain or a fan-out."""
        rows, below = self.rows(edit.path), edit.path[2:]
        columns: dict[Path, str] = {("through",): "through", ("star", "to"): "star", ("shield", "ends"): "shield"}
        column = columns.get(below)
        if column is None:
            raise self.no_place(edit.path)
        words = rows[0].text(column).split()
        after = len(words) if edit.after is None else int(edit.after) + (2 if column == "star" else 1)
        words.insert(after, str(_plain(edit.value)))
        self.file.set(rows[0], column, " ".join(words))

    def add(self, item: Any, after: str | int | None) -> None:
        """A new wire, or a new cable with a row for each core."""
        if not isinstance(item, dict):
            raise self.no_place((self.section,))
        near = self.rows((self.section, after))[-1] if after is not None else self.file.last
        try:
            rows = self.written(item)
        except (AttributeError, KeyError, TypeError, ValueError):
            raise Refusal(f"this is no item of {self.section}", "one as a plan writes it", complete=True) from None
        for cells in rows:
            near = self.file.add(cells, near)

    def written(self, item: dict[str, Any]) -> list[dict[str, str]]:
        """The rows of a new item."""
        whole: dict[str, str] = {}
        for key, value in item.items():
            if key == "star":
                whole["star"] = f"{value['from']} {_whole('', value['to'])}"
            elif key == "shield":
                whole["shield"] = _whole("", value.get("ends", ()))
                whole["shield_method"] = str(value.get("method", ""))
            elif key not in ("join", "sizes"):
                whole[str(key)] = _whole("", value)
        rows: list[dict[str, str]] = []
        for core, (start, end) in item.get("join", {}).items():
            size = str(item.get("sizes", {}).get(core, ""))
            cells = {"core": str(core), "from": str(start), "to": str(end), "core_size": size}
            rows.append({**({self.key: whole[self.key]} if rows else whole), **cells})
        return rows or [whole]

    def copy(self, edit: CopyEntry) -> None:
        """An item once more with some values changed."""
        like = self.rows(edit.path)
        lost = {str(path[1]) for path in edit.without if path[0] == "join"}
        kept = [row for row in like if row.text("core") not in lost or not row.text("core")]
        near = self.rows((self.section, edit.after))[-1]
        whole = {column: text for column, text in like[0].cells.items() if column not in CORE_COLUMNS}
        new: list[ListRow] = []
        for row in kept:
            cells = dict(row.cells) if new else {**whole, **row.cells}
            near = self.file.add(cells, near, like=row)
            new.append(near)
        for path, value in edit.changes:
            if path == (self.key,):
                for row in new:
                    self.file.set(row, self.key, str(_plain(value)))
            else:
                self.set(new, path, _plain(value), (*edit.path, *path))


def _plain(value: str) -> Any:
    """A value as YAML writes it: a text as it stands, or what stands in brackets."""
    import yaml

    try:
        return yaml.load(value, yaml.BaseLoader)
    except yaml.YAMLError:
        raise Refusal(f"{value[:60]!r} does not read", "a value as a plan writes it", complete=True) from None


def _whole(_: str, value: Any) -> str:
    if isinstance(value, list | tuple):
        return " ".join(map(str, value))
    return "" if value is None else str(value)


def _word(place: int) -> Callable[[str, Any], str]:
    """Puts one word in the place of another one in a cell."""

    def put(text: str, value: Any) -> str:
        words = text.split()
        words[place : place + 1] = [] if value is None else [str(value)]
        return " ".join(words)

    return put


def _star_ends(text: str, value: Any) -> str:
    return " ".join([*text.split()[:1], *_words(value)])


def _words(value: Any) -> Iterable[str]:
    return map(str, value) if isinstance(value, list | tuple) else [str(value)]
