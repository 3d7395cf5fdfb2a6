"""The command that draws the sheets: draw."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

from wiring.cli_arguments import Argument, Option
from wiring.cli_output import end_with_failed, opened, refuse, tell


class SheetFormat(StrEnum):
    """What `draw` writes."""

    SVG = "svg"
    PDF = "pdf"
    PNG = "png"


class PaperName(StrEnum):
    """The paper of the sheets."""

    A3 = "A3"
    A4 = "A4"
    LETTER = "letter"
    TABLOID = "tabloid"


def draw(
    plan: Annotated[Path, Argument(metavar="PLAN", help="the plan file of the machine")],
    out: Annotated[Path, Option(metavar="DIR", help="the folder that the sheets are written to")],
    format: Annotated[SheetFormat, Option(help="svg and png: a file a sheet; pdf: one file")] = SheetFormat.SVG,
    sheet: Annotated[int | None, Option(metavar="N", help="this sheet only")] = None,
    paper: Annotated[PaperName | None, Option(help="A3, or tabloid under the na rulebook, by default")] = None,
) -> None:
    """Draw the sheets: cover, power overview, cabinet, circuits by function, findings in full."""
    from wiring.drawing.command import DrawingRefusedError, drawn_files, told_progress

    found = opened(plan, "text")
    try:
        with told_progress() as progress:
            size = paper.value if paper else None
            files, failed = drawn_files(found.design, out, format.value, sheet, size, progress, found.inputs)
    except DrawingRefusedError as refusal:
        refuse(str(refusal))
    tell(f"Wrote {len(files)} file{'s' if len(files) != 1 else ''} to {out}.")
    end_with_failed(failed)
