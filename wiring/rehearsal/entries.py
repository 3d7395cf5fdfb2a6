"""The readings of a first power-up in the CSV beside the plan: an entry that was acknowledged is on the disk.

A reading belongs to what was measured, not to the number of its line: when the plan changes the sheet, it moves with
its line, and one whose line is gone is put into a file of earlier readings.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from io import StringIO
from pathlib import Path

from msgspec import Struct

from wiring.outputs import CannotSaveError, clear_left, save_for_good
from wiring.powerup.builder import Builder
from wiring.powerup.readings_file import COLUMNS, row_of, sheet_csv

#: Columns that say what was measured, and how; with the line's number they are its identity.
_WHAT = ("action", "meter", "red", "black", "set")
#: Rows beside those of the sheet, and the largest file that is read [bytes].
_MOST_FURTHER, _LARGEST = 200, 4_000_000
Row = dict[str, str]


class Entry(Struct, frozen=True):
    """What stands at a line, as it was typed; `edition` counts how often it was written."""

    text: str = ""
    edition: int = 0


class OvertakenError(Exception):
    """Somebody else wrote this line meanwhile; `entry` stands there now."""

    def __init__(self, entry: Entry) -> None:
        super().__init__(f"Somebody else wrote {entry.text or 'nothing'} here meanwhile.")
        self.entry = entry


class Entries:
    """The readings of one plan. `path` is their file; `to` is the sheet that they belong to."""

    def __init__(self, plan: Path, to: Builder, inputs: Iterable[Path]) -> None:
        self.path = plan.with_name(f"{plan.stem}-readings.csv")
        self.earlier = plan.with_name(f"{plan.stem}-readings-earlier.csv")
        self.inputs = tuple(inputs)
        self.found: dict[str, Entry] = {}
        self.further: list[Row] = []
        self._written = ""
        clear_left(self.path)
        clear_left(self.earlier)
        self.take_up(to)

    def take_up(self, to: Builder) -> None:
        """Put what the file holds on a sheet, each reading at its line; others go to the file of earlier ones."""
        self.to, self.sheet = to, to.sheet()
        self.rows = {line.id: row_of(line, to.survey) for line in self.sheet.lines}
        self.found, self.further = {}, []
        left = []
        by_what: dict[tuple[str, ...], list[str]] = {}
        for name, row in self.rows.items():
            by_what.setdefault(_what(row), []).append(name)
        for row in self._read():
            name, text = _plain(row.get("line", "")), _plain(row.get("reading", ""))
            if not text:
                continue
            alike = by_what.get(_what(row), [])
            place = name if name in alike else alike[0] if len(alike) == 1 else ""
            if name.endswith("+") and name.rstrip("+") in self.rows and len(self.further) < _MOST_FURTHER:
                self.further.append({column: _plain(row.get(column, "")) for column in COLUMNS})
            elif place and place not in self.found:
                self.found[place] = Entry(text, 1)
            else:
                left.append({column: _plain(row.get(column, "")) for column in COLUMNS})
        if left:
            self._set_aside(left)
            self._write()

    def _read(self) -> list[Row]:
        try:
            if self.path.stat().st_size > _LARGEST:
                raise CannotSaveError(f"{self.path} is too large to be a file of readings. Move it away.")
            self._written = self.path.read_text(encoding="utf-8-sig")
        except FileNotFoundError:
            return []
        except (OSError, UnicodeError):
            raise CannotSaveError(f"{self.path} cannot be read as readings. Move it away.") from None
        return _rows_of(self._written, self.path)

    def _set_aside(self, rows: list[Row]) -> None:
        """Add rows to the file of earlier readings, before they leave the other one."""
        try:
            before = _rows_of(self.earlier.read_text(encoding="utf-8-sig"), self.earlier)
        except FileNotFoundError:
            before = []
        except (OSError, UnicodeError):
            raise CannotSaveError(f"{self.earlier} cannot be read as readings. Move it away.") from None
        stream = StringIO()
        out = csv.DictWriter(stream, COLUMNS, extrasaction="ignore", restval="", lineterminator="\n")
        out.writeheader()
        out.writerows([*before, *rows])
        save_for_good(self.earlier, stream.getvalue(), self.inputs)

    def keep(self, name: str, text: str, edition: int) -> Entry:
        """Write a reading; it is on the disk when this returns. Sent twice, it counts once.

        Raises OvertakenError where the line has another edition, CannotSaveError where nothing can be written.
        """
        self._see_others()
        now = self.found.get(name, Entry())
        if now.text == text and now.edition:
            return now
        if edition != now.edition:
            raise OvertakenError(now)
        before = dict(self.found)
        self.found[name] = Entry(text, now.edition + 1)
        try:
            self._write()
        except CannotSaveError:
            self.found = before
            raise
        return self.found[name]

    def keep_further(self, row: Mapping[str, str]) -> None:
        """Write a measurement that the sheet does not have. Raises CannotSaveError."""
        if len(self.further) >= _MOST_FURTHER:
            raise CannotSaveError("There are too many further measurements. Move the file of readings away.")
        self._see_others()
        if dict(row) in self.further:
            return
        self.further.append(dict(row))
        try:
            self._write()
        except CannotSaveError:
            self.further.pop()
            raise

    def _write(self) -> None:
        text = self.text()
        save_for_good(self.path, text, self.inputs)
        self._written = text

    def text(self) -> str:
        """The whole file."""
        readings = {name: entry.text for name, entry in self.found.items()}
        annex = {line.id for line in self.sheet.lines if line.annex}
        full = any(readings[name] for name in annex & readings.keys())
        return sheet_csv(self.sheet, self.to.survey, full=full, readings=readings, further=self.further)

    def _see_others(self) -> None:
        """Take over what another program wrote into the file since."""
        try:
            text = self.path.read_text(encoding="utf-8-sig")
        except (OSError, UnicodeError):
            return
        if text == self._written:
            return
        before = self.found
        self.take_up(self.to)
        for name, entry in self.found.items():
            old = before.get(name, Entry())
            self.found[name] = old if old.text == entry.text else Entry(entry.text, old.edition + 1)


def _rows_of(text: str, path: Path) -> list[Row]:
    try:
        rows = list(csv.DictReader(StringIO(text), restkey="beyond", restval=""))
    except csv.Error:
        raise CannotSaveError(f"{path} is no CSV of readings. Move it away.") from None
    return [{key: value for key, value in row.items() if isinstance(value, str)} for row in rows]


def _what(row: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(_plain(row.get(column, "")) for column in _WHAT)


def _plain(cell: str) -> str:
    """A cell without the apostrophe that keeps a spreadsheet from running it."""
    text = " ".join(cell.split())
    return text[1:] if text.startswith("'") else text
