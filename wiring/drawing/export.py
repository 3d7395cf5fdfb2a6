"""Sheets as files: SVG by our writer, PDF and PNG by typst. Every file is written beside its place and then renamed."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import cast

from wiring.drawing.shapes import Sheet
from wiring.drawing.svg import number, svg_of

#: Dots per inch of the pictures.
PNG_PPI = 144.0


def file_name(sheet: Sheet, suffix: str) -> str:
    """The name of a sheet's file: sheet-03.svg."""
    return f"sheet-{sheet.number:02d}.{suffix}"


def replace_file(path: Path, data: bytes) -> None:
    """Write a file so that a reader sees the old one or the new one, never a half."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        os.chmod(name, 0o644)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


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


def write_sheets(sheets: Sequence[Sheet], folder: Path, kind: str) -> list[Path]:
    """Write sheets as svg, png (one file each) or pdf (one file). Returns what was written."""
    if kind == "svg":
        files = [(folder / file_name(sheet, "svg"), svg_of(sheet).encode("utf-8")) for sheet in sheets]
    elif kind == "png":
        pictures = compiled(sheets, "png")
        files = [(folder / file_name(sheet, "png"), data) for sheet, data in zip(sheets, pictures, strict=True)]
    else:
        files = [(folder / "sheets.pdf", compiled(sheets, "pdf")[0])]
    for path, data in files:
        replace_file(path, data)
    return [path for path, _ in files]
