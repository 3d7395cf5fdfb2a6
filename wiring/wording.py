"""Names and counts as people order and write them; every layer may use it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping, Sequence

#: What a spreadsheet program takes for the beginning of a formula, the full-width signs of East Asian ones too.
FORMULA_SIGNS = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")
_BREAKS = re.compile(r"[\t\r\n\x0b\x0c\x85\u2028\u2029]+")
_DIGITS = re.compile(r"(\d+)")
#: Longer runs of digits are compared as text: no one counts so far, and reading them as a number is refused.
_LONGEST_NUMBER = 18


def natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """A key that sorts F2 before F10."""
    return tuple(
        (0, int(piece), piece) if piece.isdecimal() and len(piece) <= _LONGEST_NUMBER else (1, 0, piece)
        for piece in _DIGITS.split(name)
        if piece
    )


def does(names: Iterable[str], one: str, several: str) -> str:
    """Each name once and the verb that fits: "K1 lets go", "K1, K2 let go"."""
    listed = list(dict.fromkeys(names))
    return f"{', '.join(listed)} {agreeing(listed, one, several)}"


def agreeing(names: Iterable[str], one: str, several: str) -> str:
    """The word that fits the number of different names: "lets" or "let", "it" or "them"."""
    return one if len(set(names)) == 1 else several


def stops_called(names: Iterable[str]) -> str:
    """Stops by their names: "stop emergency", "stops emergency and hood"."""
    listed = list(dict.fromkeys(names))
    return f"{agreeing(listed, 'stop', 'stops')} {' and '.join(listed)}"


def listed(names: Sequence[str]) -> str:
    """Names for a sentence, the first six of them."""
    return ", ".join(names[:6]) + (" …" if len(names) > 6 else "")


def seconds(value: float) -> str:
    """A time in words that a person would use."""
    if value >= 3600.0:
        return f"{value / 3600.0:.3g} h"
    return f"{value:.2g} s" if value < 120.0 else f"{value / 60.0:.2g} min"


def counted(count: int, noun: str, several: str = "") -> str:
    """ "1 check", "3 checks"; `several` is the plural of a noun that does not take an s."""
    return f"1 {noun}" if count == 1 else f"{count} {several or f'{noun}s'}"


def as_written(value: object) -> str:
    """Plain data as a plan writes it on one line: `{13-14: NO}`, `[1-3]`, 6 A."""
    if isinstance(value, Mapping):
        return f"{{{', '.join(f'{key}: {as_written(item)}' for key, item in value.items())}}}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(as_written, value))}]"
    return str(value)


def code(character: str) -> str:
    """What is shown in the place of a character that must not take effect: "<U+001B>"."""
    return f"<U+{ord(character):04X}>"


def visible(text: str) -> str:
    """The text with its control and format characters shown, so that no terminal obeys them."""
    if text.isascii() and text.isprintable():
        return text
    return "".join(code(one) if unicodedata.category(one).startswith("C") else one for one in text)


def spreadsheet_text(text: str) -> str:
    """The text on one line, behind an apostrophe where a spreadsheet program would take it for a formula."""
    flat = visible(_BREAKS.sub(" ", text).strip())
    return f"'{flat}" if flat.startswith(FORMULA_SIGNS) else flat
