"""Sheets as files: SVG by our writer, PDF and PNG by typst. A set is written whole or not at all."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import cast

from wiring.drawing.shapes import Sheet
from wiring.drawing.svg import number, svg_of
from wiring.outputs import CannotSaveError, save_all

#: Dots per inch of the pictures.
PNG_PPI = 144.0


def file_name(sheet: Sheet, suffix: str) -> str:
    """The name of a sheet's file: sheet-03.svg."""
    return f"sheet-{sheet.number:02d}.{suffix}"


def _typst_source(sheets: Sequence[Sheet]) -> str:
    pages = []
    for sheet in sheets:
        size = f"width: {number(sheet.width)}mm, height: {number(sheet.height)}mm"
        name = file_name(sheet, "svg")
        alt = f"sheet {sheet.number}: {sheet.title}".replace("\\", "").replace('"', "'")
        pages.append(f'#page({size}, margin: 0mm)[#image("{name}", width: 100%, alt: "{alt}")]')
    return '#set document(title: "Circuit diagrams", date: none)\n' + "\n".join(pages) + "\n"


def compiled(sheets: Sequence[Sheet], kind: str) -> list[bytes]:
    """The sheets by typst as "pdf" or "png": one PDF, or one PNG a sheet."""
    import typst

    with tempfile.TemporaryDirectory() as folder:
        for sheet in sheets:
            (Path(folder) / file_name(sheet, "svg")).write_text(svg_of(sheet), encoding="utf-8")
        source = Path(folder) / "sheets.typ"
        source.write_text(_typst_source(sheets), encoding="utf-8")
        if kind == "pdf":
            return [typst.compile(str(source), format="pdf", ignore_system_fonts=True, timestamp=0)]
        answer: object = typst.compile(str(source), format="png", ignore_system_fonts=True, timestamp=0, ppi=PNG_PPI)
    return answer if isinstance(answer, list) else [cast(bytes, answer)]


def write_sheets(
    sheets: Sequence[Sheet], folder: Path, kind: str, *, whole_set: bool = True, inputs: Iterable[Path] = ()
) -> list[Path]:
    """Write sheets as svg, png (one file each) or pdf (one file); all of them, or nothing changes.

    A `whole_set` takes the place of the one that is there: sheets of an older, longer set go. Files that the plan is
    read from, the `inputs`, are never touched. Returns what was written. Raises CannotSaveError.
    """
    if kind == "pdf":
        files = {folder / "sheets.pdf": compiled(sheets, "pdf")[0]}
    elif kind == "svg":
        files = {folder / file_name(sheet, "svg"): svg_of(sheet).encode("utf-8") for sheet in sheets}
    else:
        pictures = compiled(sheets, "png")
        files = {folder / file_name(sheet, "png"): data for sheet, data in zip(sheets, pictures, strict=True)}
    try:
        folder.mkdir(parents=True, exist_ok=True)
        named = re.compile(rf"sheet-\d{{2,}}\.{kind}")
        older = sorted(path for path in folder.iterdir() if named.fullmatch(path.name)) if whole_set else []
    except (FileExistsError, NotADirectoryError):
        raise CannotSaveError(
            f"{folder} cannot be written: sheets go into a folder, and a file is in the way. Choose another --out."
        ) from None
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise CannotSaveError(f"{folder} cannot be written: {reason}. Choose another --out.") from None
    save_all(files, inputs, older)
    return list(files)
