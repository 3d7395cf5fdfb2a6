"""Pages of kinds and library parts for the terminal, and lists of what a word finds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from wiring.documents.keys_asked import rules_that_ask
from wiring.parts.library_index import Entry, Library
from wiring.parts.library_search import Hit
from wiring.parts.part_sheet import KeyNote, Row, Sheet, common_notes, entry_sheet, kind_sheet
from wiring.reports.lines import cells, wrapped
from wiring.reports.page import Page
from wiring.reports.words import CAUTION_IN_SHORT
from wiring.wording import as_written, counted

_ROWS_MOST = 24
#: Columns of the frame around a row: its indent, and the ends of its lines.
_BOX = 10
_TYPICAL = "Values of the generic parts are typical of their class: put in those of your own data sheet."


def render_hits(hits: Sequence[Hit], words: str, width: int, encoding: str) -> str:
    """Kinds and parts in two lists, a line or two each."""
    page = Page(width, encoding)
    page.text(words)
    _print_hits(page, "Kinds of part: `kind: NAME` with their data", [hit for hit in hits if hit.is_kind])
    _print_hits(
        page, "Library parts: `use: NAME`, data that differ beside it", [hit for hit in hits if not hit.is_kind]
    )
    page.blank()
    page.text("wiring library NAME prints terminals, keys and an example of one.")
    page.text(f"{_TYPICAL} {CAUTION_IN_SHORT}")
    return page.render(colour=False)


def _print_hits(page: Page, title: str, hits: Sequence[Hit]) -> None:
    if not hits:
        return
    page.blank()
    page.text(title)
    room = min(max(cells(hit.name) for hit in hits) + 4, page.width // 2)
    for hit in hits:
        page.text(hit.about, room, f"  {hit.name} ")


def render_kind(kind: str, library: Library, width: int, encoding: str) -> str:
    """The page of a kind. Raises KeyError for a kind that does not exist."""
    sheet = kind_sheet(kind)
    page = Page(width, encoding)
    page.text(f"{kind}, a kind of part")
    page.text(sheet.about)
    _print_picture(page, sheet)
    _print_keys(page, kind, sheet.keys)
    page.blank()
    names = ", ".join(note.name for note in common_notes())
    page.text(f"Keys of every part: {names}. wiring library part explains them.")
    _print_example(page, sheet)
    same = [key for key in library.names() if (entry := library.find(key)) and entry.kind == kind]
    if same:
        page.blank()
        page.text(f"Library parts of this kind: {', '.join(same)}.")
    _print_end(page)
    return page.render(colour=False)


def render_common(width: int, encoding: str) -> str:
    """The page of what every part may say."""
    page = Page(width, encoding)
    page.text("part: the keys that every part may have, whatever its kind")
    _print_keys(page, "metalwork", common_notes())
    _print_end(page)
    return page.render(colour=False)


def render_entry(entry: Entry, width: int, encoding: str) -> str:
    """The page of a library part: its values, and what its kind could still be told."""
    sheet = entry_sheet(entry)
    page = Page(width, encoding)
    page.text(f"{entry.key}, a library part of the kind {entry.kind}")
    page.text(f"{entry.data.get('title', entry.kind)}: {sheet.about}")
    page.text(f"Its values are {entry.standing}: {entry.source}.")
    _print_picture(page, sheet)
    known = {note.name: note for note in (*sheet.keys, *common_notes())}
    page.blank()
    page.text("What it says")
    for key, value in entry.data.items():
        if key != "title":
            _print_key(page, entry.kind, known.get(key), key, as_written(value))
    open_ = [note for note in sheet.keys if note.name not in entry.data and rules_that_ask(entry.kind, note.name)]
    if open_:
        page.blank()
        page.text("What it leaves open, and rules ask for")
        for note in open_:
            _print_key(page, entry.kind, note, note.name, note.form)
    _print_example(page, sheet)
    page.blank()
    page.text(f"All keys of the kind: wiring library {entry.kind}.")
    _print_end(page)
    return page.render(colour=False)


def _print_picture(page: Page, sheet: Sheet) -> None:
    """A box with a line for whatever lies between two terminals."""
    rows = sheet.rows[:_ROWS_MOST]
    if not rows:
        return
    page.blank()
    page.text("Terminals")
    left = max(cells(page.clean(row.left)) for row in rows)
    right = max(cells(page.clean(row.right)) for row in rows)
    inner = min(max(cells(row.what) for row in rows), page.width - left - right - _BOX)
    for row in rows:
        page.lines([page.clean(line) for line in _boxed(row, left, inner, page)])
    if len(sheet.rows) > len(rows):
        page.text(f"and {len(sheet.rows) - len(rows)} more", left + 5)


def _boxed(row: Row, left: int, inner: int, page: Page) -> Iterator[str]:
    """The lines of a row; what lies between its terminals goes on under itself where it is too long."""
    pad = " " * (left - cells(page.clean(row.left)))
    for n, part in enumerate(wrapped(row.what, inner)):
        what = f"{part}{' ' * (inner - cells(part))}"
        start = f"  {pad}{row.left} ─┤" if n == 0 else f"  {' ' * left}  │"
        yield f"{start} {what} " + (f"├─ {row.right}" if row.right and n == 0 else "│")


def _print_keys(page: Page, kind: str, notes: Iterable[KeyNote]) -> None:
    ordered = list(notes)
    for title, some in (
        ("Keys that must be given", [note for note in ordered if note.required]),
        ("Keys that may be left out", [note for note in ordered if not note.required]),
    ):
        if some:
            page.blank()
            page.text(title)
        for note in some:
            _print_key(page, kind, note, note.name, note.form)


def _print_key(page: Page, kind: str, note: KeyNote | None, key: str, value: str) -> None:
    """A key with a value, and below what it means, what holds without it, and which rules ask for it."""
    page.text(f"{key}: {value}", 2)
    asked = rules_that_ask(kind, key)
    pieces = [
        note.text if note else "",
        f"left out: {note.default}" if note and note.default not in ("", "not known", "none") else "",
        f"asked for by {', '.join(asked)}" if asked else "",
    ]
    if told := "; ".join(filter(None, pieces)):
        page.text(told, 6)


def _print_example(page: Page, sheet: Sheet) -> None:
    page.blank()
    page.text("In a plan")
    page.text("parts:", 2)
    page.text(sheet.example, 4)


def _print_end(page: Page) -> None:
    page.blank()
    page.text(f"{_TYPICAL} {CAUTION_IN_SHORT}")


def found_words(count: int, word: str) -> str:
    """What a list of hits begins with."""
    return f"{counted(count, 'thing')} that {word} may mean" if word else "All kinds of part and library parts"
