"""The command that says what a plan can be made of: kinds, library parts, their terminals and keys."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

from wiring.cli_arguments import Argument, Option
from wiring.cli_output import encoding, refuse, tell, width, write

if TYPE_CHECKING:
    from wiring.parts.library_index import Library

#: The word whose page has the keys of every part.
_EVERY_PART = "part"


def library(
    word: Annotated[
        str | None,
        Argument(metavar="WORD", help="a kind, a library part, or any word; without it all are listed"),
    ] = None,
    own: Annotated[
        Path | None, Option(metavar="PATH", help="a plan with library folders of its own, or such a folder")
    ] = None,
) -> None:
    """Print what a plan can be made of: kinds and library parts, their terminals, keys, and an example of each.

    Exit status: 0 found, 2 nothing bears that name.
    """
    from wiring.parts.kinds import KIND_NAMES
    from wiring.parts.library_search import everything, nearest_kinds, nearest_parts, search
    from wiring.reports.library_report import found_words, render_common, render_entry, render_hits, render_kind

    known = _library(own)
    if not word:
        write(render_hits(list(everything(known)), found_words(0, ""), width(), encoding()))
    elif word in KIND_NAMES:
        write(render_kind(word, known, width(), encoding()))
    elif entry := known.find(word):
        write(render_entry(entry, width(), encoding()))
    elif word == _EVERY_PART:
        write(render_common(width(), encoding()))
    elif hits := search(known, word):
        write(render_hits(hits, found_words(len(hits), word), width(), encoding()))
    else:
        near = dict.fromkeys([*nearest_kinds(word), *nearest_parts(known, word)])
        hint = f" Nearest known: {', '.join(near)}." if near else ""
        refuse(
            f"No kind and no library part is called {word[:60]}, and no text on one has that word.{hint} "
            "`wiring library` lists all of them."
        )


def _library(own: Path | None) -> Library:
    """The generic library and the user's own; the faults of those files are told, and leave with 2."""
    from wiring.parts.library_index import Library, library_of_folder, load_library
    from wiring.plan.fault import Fault, in_order
    from wiring.plan.read import read

    if own is None:
        return Library()
    faults: list[Fault] = []
    found = library_of_folder(own, faults) if own.is_dir() else load_library(read(own), faults)
    if not own.exists():
        refuse(f"There is no plan or folder {own}.")
    if faults:
        for fault in in_order(faults):
            tell(str(fault))
        refuse("The library cannot be read.")
    if not found.own:
        tell(f"{own} brings no library parts of its own.")
    return found
