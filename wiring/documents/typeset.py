"""The typesetter: a template of this package and its data as JSON become a PDF, the same bytes for the same data."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

_HERE = Path(__file__).parent
#: What several templates import.
_SHARED = ("power_up_lines.typ",)
_LONG_WORD = re.compile(r"\S{23,}")
#: Zero width space.
_BREAK = "\u200b"
#: Signs beyond Cyrillic that the faces at hand have and that lists use.
_KNOWN_SIGNS = frozenset("–—‘’“”‹›…•†‰€→←↑↓▷△▲●○■□×·≤≥≈−Ω°µ√∞")
#: The last letter of the block Cyrillic: the faces at hand show every letter up to here, and not all beyond.
_LAST_LETTER = 0x04FF
#: What stands for any other letter in a picture, where a code would run into its neighbours.
_BOX = "□"


def printable(text: str) -> str:
    """The text on one line in letters that the typesetter's faces have; any other one as its code <U+4E2D>."""
    return "".join(map(_printable, unicodedata.normalize("NFC", text)))


def breakable(text: str) -> str:
    """The text with a place to break in every long word, so that none runs out of its cell."""
    return _LONG_WORD.sub(lambda found: _BREAK.join(re.findall(".{1,16}", found[0])), text)


@cache
def _printable(letter: str) -> str:
    category = unicodedata.category(letter)
    if category.startswith("Z") or letter in "\t\n\r\v\f":
        return " "
    shown = category[0] != "C" and (letter in _KNOWN_SIGNS or _is_plain(letter))
    return letter if shown else f"<U+{ord(letter):04X}>"


def _is_plain(letter: str) -> bool:
    code = ord(letter)
    if code <= 0xFF:
        return code >= 0x20
    return code <= _LAST_LETTER and unicodedata.category(letter)[0] == "L"


def picture_text(svg: str) -> str:
    """The SVG with a box in the place of every letter that the faces lack."""
    return "".join(letter if letter.isascii() or _printable(letter) == letter else _BOX for letter in svg)


def plain(data: Any) -> Any:
    """The data with every text in it made printable and breakable."""
    if isinstance(data, str):
        return breakable(printable(data))
    if isinstance(data, Mapping):
        return {key: plain(value) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [plain(item) for item in data]
    return data


def typeset(template: str, data: Mapping[str, Any], pictures: Mapping[str, str] | None = None) -> bytes:
    """The PDF of a template file of this package, tagged, its faces embedded.

    `data` reaches the template as JSON only, so that nothing in it is run. `pictures` are SVG texts by file name.
    """
    import typst

    files = {"main": (_HERE / template).read_bytes(), "data.json": _json(data)}
    files |= {name: (_HERE / name).read_bytes() for name in _SHARED}
    files |= {name: picture_text(text).encode() for name, text in (pictures or {}).items()}
    # The library takes files by name as well, which its annotations do not say.
    compiled: bytes = typst.compile(files, format="pdf", ignore_system_fonts=True, timestamp=0, pdf_standards=["ua-1"])  # type: ignore[call-overload]
    return compiled


def _json(data: Mapping[str, Any]) -> bytes:
    return json.dumps(plain(data), ensure_ascii=False).encode()
