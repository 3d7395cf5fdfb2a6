"""Lines of plain text that stay within a width and carry nothing but printable characters."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from functools import lru_cache

from wiring.units import OWNERS
from wiring.wording import code

_PLAIN = {
    "µ": "u",
    "μ": "u",
    "·": ".",
    "°": "deg ",
    "²": "2",
    "³": "3",
    "Ω": "ohm",
    "×": "x",
    "›": ">",
    "─": "-",
    "│": "|",
    "┤": "|",
    "├": "|",
    "–": "-",
    "—": "-",
    "…": "...",
    "‘": "'",
    "’": "'",
    "“": '"',
    "”": '"',
}
_SELECTORS = range(0xFE00, 0xFE10)
# Wide since Unicode 16, so that terminals differ: the wider reading always fits.
_LATELY_WIDE = re.compile("[\u2630-\u2637\u268a-\u268f\u4dc0-\u4dff\U0001d300-\U0001d356\U0001d360-\U0001d376]")
_ELLIPSIS = "..."


def clean(text: str, encoding: str = "utf-8") -> str:
    """The text on one line, printable in `encoding`: control, format and unknown characters become `<U+001B>`."""
    if text.isascii() and text.isprintable():
        return text
    shown = "".join(_printed(character, encoding) for character in unicodedata.normalize("NFC", text))
    return shown.replace("deg C", "degC").replace("deg F", "degF") if "deg " in shown else shown


@lru_cache(maxsize=4096)
def _printed(character: str, encoding: str) -> str:
    category = unicodedata.category(character)
    if category.startswith("Z") or character in "\t\n\r\v\f":
        return " "
    if ord(character) in _SELECTORS:
        return ""
    if category.startswith("C"):
        return code(character)
    return character if _encodes(character, encoding) else _plain(character, encoding)


def _plain(character: str, encoding: str) -> str:
    """The nearest spelling in an encoding that lacks the character."""
    if character in _PLAIN:
        return _PLAIN[character]
    base = unicodedata.normalize("NFKD", character)[0]
    return base if base != character and _encodes(base, encoding) else code(character)


@lru_cache(maxsize=4096)
def _encodes(character: str, encoding: str) -> bool:
    try:
        character.encode(encoding)
    except (UnicodeEncodeError, LookupError):
        return character.isascii()
    return True


def cells(text: str) -> int:
    """Columns of the terminal that cleaned text takes: 2 for a wide character, 0 for a combining mark."""
    return len(text) if text.isascii() else sum(map(_cell, text))


@lru_cache(maxsize=4096)
def _cell(character: str) -> int:
    if unicodedata.category(character) in ("Mn", "Me"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" or _LATELY_WIDE.match(character) else 1


def head(text: str, room: int) -> str:
    """The longest beginning of the text that fits into `room` columns."""
    if text.isascii():
        return text[:room]
    used = 0
    for at, character in enumerate(text):
        used += _cell(character)
        if used > room:
            return text[:at]
    return text


def shortened(text: str, room: int) -> str:
    """The text, its end replaced by three dots when it takes more than `room` columns (4 or more)."""
    return text if cells(text) <= room else head(text, room - len(_ELLIPSIS)) + _ELLIPSIS


def wrapped(text: str, room: int) -> list[str]:
    """The words of the text in lines of at most `room` columns; only a word longer than a line is cut.

    A number stays with its unit.
    """
    room = max(room, 2)
    lines = [""]
    for word in _words(text, room):
        joined = f"{lines[-1]} {word}" if lines[-1] else word
        if cells(joined) <= room:
            lines[-1] = joined
        else:
            _break_line(lines, word, room)
    return lines


def _words(text: str, room: int) -> Iterator[str]:
    held = ""
    for word in text.split():
        if held[-1:].isdigit() and word.rstrip(".,;:)") in OWNERS and cells(held) + 1 + cells(word) <= room:
            held = f"{held} {word}"
            continue
        if held:
            yield held
        held = word
    if held:
        yield held


def _break_line(lines: list[str], word: str, room: int) -> None:
    if lines[-1]:
        lines.append("")
    while cells(word) > room:
        piece = head(word, room)
        lines[-1] = piece
        lines.append("")
        word = word[len(piece) :]
    lines[-1] = word


def indented(text: str, width: int, indent: int, first: str = "") -> list[str]:
    """The text wrapped to `width` columns in all; `first` stands in the indent of the first line."""
    margin = " " * indent
    lead = first + " " * (indent - cells(first))
    pieces = wrapped(text, width - indent)
    return [f"{lead if number == 0 else margin}{piece}".rstrip() for number, piece in enumerate(pieces)]
