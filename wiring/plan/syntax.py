"""Getting text out of a file, and our words for what cannot be read in it as YAML."""

from __future__ import annotations

import re
import sys
from pathlib import Path
from typing import Any

from wiring.plan.fault import Fault, nearest
from wiring.plan.source import Place, Source

LARGEST_BYTES = 10_000_000
#: The path that stands for what is piped in.
STANDARD_INPUT = "-"
#: What places in it are called.
STANDARD_INPUT_NAME = "<stdin>"
#: What is no text: controls, halves of pairs, what is no character. One class of them all takes 3 ms to be made.
_UNPRINTABLE = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f]|[\ud800-\udfff]|\ufffe|\uffff")

#: A piece of the parser's message, then what is wrong, what was expected, how to mend it.
_PROBLEMS = (
    ("maximum nesting depth", "values are nested more than 50 deep", "a plan is at most a few levels deep", ""),
    ("unexpected end of stream", "this quoted text never ends", "a quote at its end", ""),
    (
        "unknown escape",
        "this escape is not known",
        "in double quotes a backslash is written twice",
        "or use single quotes",
    ),
    ("document indicator", "a line --- stands inside a quoted text", "a quote before it", ""),
    ("document separator", "a line --- stands inside a quoted text", "a quote before it", ""),
    ("tab character", "a tab stands where the line is indented", "spaces", "replace every tab by spaces"),
    (
        "cannot start any token",
        "this character cannot begin a value",
        "a text that begins with one of % @ ` stands in quotes",
        "",
    ),
    (
        "mapping values are not allowed",
        "a colon is not possible here",
        "one `key: value` a line, indented as its neighbours",
        "put a text with a colon and a space in quotes",
    ),
    ("mapping keys are not allowed", "a question mark cannot begin a value", "a text in quotes", ""),
    ("comment or line break", "only a line break may follow | or >", "the text on the next line, indented", ""),
    ("chomping", "only a line break may follow | or >", "the text on the next line, indented", ""),
    ("sequence entries are not allowed", "a list item cannot begin here", "each `- item` on a line of its own", ""),
    (
        "expected ',' or",
        "a comma or the closing bracket is missing",
        "`, ` between items and the bracket at the end",
        "a text with a colon, comma or bracket stands in quotes",
    ),
    (
        "expected key",
        "this does not belong to the mapping above",
        "`key: value`, indented as its neighbours",
        "check the indentation, brackets and quotes here and in the line above",
    ),
    (
        "expected <block end>",
        "this does not belong to what stands above",
        "an entry like its neighbours, with the same indentation",
        "check the indentation, brackets and quotes here and in the line above",
    ),
    ("expected '-' indicator", "this does not belong to the list above", "`- item`, indented as its neighbours", ""),
    ("could not find expected ':'", "a colon is missing", "`key: value`", "put a space behind the colon"),
    ("expected the node content", "a value is missing here", "a value before the closing bracket", ""),
    ("expected node content", "a value is missing here", "a value before the closing bracket", ""),
    ("alphabetic or numeric", "a name is missing behind & or *", "letters and digits", "put the text in quotes"),
    ("tag", "tags are not possible in a plan", "the value alone", "put a text that begins with ! in quotes"),
    ("directive", "this directive cannot be read", "a plan needs none", "remove the line"),
    ("document start", "something stands behind the end of the plan", "one document", "remove the line ..."),
)
_OTHERWISE = (
    "this cannot be read as YAML",
    "`key: value` lines, lists and texts",
    "check indentation, brackets and quotes",
)
_TAB = ("a tab stands where a value is wanted", "spaces", "replace every tab by spaces")


def _place(source: Source, mark: Any) -> Place:
    """The mark as a place, drawn back to the last line that has something on it."""
    line, column = mark.line, mark.column
    while line > 0 and (line >= len(source.lines) or not source.lines[line].strip()):
        line -= 1
        column = len(source.lines[line].rstrip()) if line < len(source.lines) else 0
    return Place(source.file, line + 1, column + 1)


def _at_end(source: Source, mark: Any) -> bool:
    rest = (
        [source.lines[mark.line][mark.column :], *source.lines[mark.line + 1 :]]
        if mark.line < len(source.lines)
        else []
    )
    return not any(line.strip() for line in rest)


def syntax_fault(error: Any, source: Source) -> Fault:
    """The fault for what the YAML parser refused, at its mark and in our words."""
    problem = str(getattr(error, "problem", "") or getattr(error, "reason", ""))
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    if mark is None:
        return Fault(Place(source.file, 1, 1), *_OTHERWISE)
    place, opened = _place(source, mark), getattr(error, "context_mark", None)
    if opened and ("expected ',' or" in problem or "node content" in problem) and _at_end(source, mark):
        at_bracket = _place(source, opened)
        return Fault(at_bracket, "this bracket is never closed", "a closing bracket", "", (), (place,))
    if opened and "unexpected end of stream" in problem:
        place = _place(source, opened)
    words = next((words for piece, *words in _PROBLEMS if piece in problem), list(_OTHERWISE))
    if "cannot start any token" in problem and source.lines[place.line - 1][place.column - 1 : place.column] == "\t":
        words = list(_TAB)
    other = (_place(source, opened),) if opened and "expected ',' or" in problem else ()
    return Fault(place, words[0], words[1], words[2], (), other)


def _place_of(file: str, before: str) -> Place:
    lines = Source.of(file, before).lines
    return Place(file, len(lines), len(lines[-1]) + 1)


def shown_name(path: str | Path) -> str:
    """What a file is called in places and reports."""
    return STANDARD_INPUT_NAME if str(path) == STANDARD_INPUT else str(path)


def _beside(path: Path) -> tuple[str, ...]:
    """Files in the folder of a path whose names are like its own."""
    try:
        names = sorted(file.name for file in path.parent.iterdir() if file.is_file())
    except (OSError, ValueError):
        return ()
    return tuple(str(path.with_name(name)) for name in nearest(path.name, names))


def read_bytes(path: Path) -> bytes | Fault:
    """What is in the file, or the fault that keeps it from being read; `-` is the standard input."""
    try:
        if str(path) == STANDARD_INPUT and sys.stdin is not None:
            data = sys.stdin.buffer.read(LARGEST_BYTES + 1)
        else:
            with path.open("rb") as file:
                data = file.read(LARGEST_BYTES + 1)
    except IsADirectoryError:
        return Fault(None, "this is a folder", "the path of a file")
    except FileNotFoundError:
        return Fault(None, "there is no such file", "the path of a file that is there", near=_beside(path))
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        return Fault(None, f"{str(path)!r} cannot be read: {reason}", "a file that may be read")
    if len(data) > LARGEST_BYTES:
        return Fault(
            Place(str(path), 1, 1), f"the file is larger than {LARGEST_BYTES // 1_000_000} MB", "a plan is far smaller"
        )
    return data


def decode(file: str, data: bytes, byte_order_mark: bool = False) -> str | Fault:
    """The bytes as text in UTF-8, or the fault at the first byte that is none. A leading mark may be dropped."""
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        return Fault(Place(file, 1, 1), "the file is in UTF-16", "UTF-8", "save it again with the encoding UTF-8")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        place = _place_of(file, data[: error.start].decode("utf-8"))
        return Fault(
            place, f"byte {data[error.start]:#04x} is not UTF-8", "UTF-8", "save it again with the encoding UTF-8"
        )
    return text.removeprefix("\ufeff") if byte_order_mark else text


def unreadable(file: str, text: str) -> Fault | None:
    """The fault at the first character that no plan may have, None where there is none."""
    if text.startswith("\ufeff"):
        return Fault(
            Place(file, 1, 1),
            "the file begins with a byte order mark",
            "UTF-8 without one",
            "save it again without the mark",
        )
    found = _UNPRINTABLE.search(text)
    if not found:
        return None
    place = _place_of(file, text[: found.start()])
    return Fault(place, f"character U+{ord(found[0]):04X} cannot be printed", "text", "remove the character")
