"""Labels on sheets of paper to cut apart: A4 or letter, five across, each 38 mm x 12 mm."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from wiring.design.design import Design
from wiring.documents.labels import Label, labels
from wiring.documents.typeset import printable, typeset
from wiring.wording import counted

PAPERS = {"A4": "a4", "letter": "us-letter"}
_ACROSS = 5
_ROOM_MM = 35.0
#: Advance of every letter as a share of the font size (DejaVu Sans Mono: 1233 / 2048).
_ADVANCE = 1233 / 2048
_LARGEST_MM, _BELOW_MM, _SMALLEST_MM = 4.0, 2.6, 1.4


def fitted(text: str, largest_mm: float) -> tuple[str, float]:
    """The text and its size [mm] so that it fits one line; one too long for the smallest size is cut."""
    shown = printable(text)
    size = min(largest_mm, _ROOM_MM / (_ADVANCE * max(len(shown), 1)))
    if size >= _SMALLEST_MM:
        return shown, round(size, 2)
    most = int(_ROOM_MM / (_ADVANCE * _SMALLEST_MM))
    return shown[: most - 1] + "…", _SMALLEST_MM


def _entry(label: Label) -> dict[str, Any]:
    text, size = fitted(label.text, _LARGEST_MM)
    below, below_size = fitted(label.below, _BELOW_MM)
    return {"text": text, "size": size, "below": below, "below_size": below_size}


def label_sheet(design: Design, paper: str, cautions: Sequence[str]) -> bytes:
    """The PDF of all labels, grouped by what they are for. `paper` is A4 or letter; the cautions stand on each page."""
    groups = []
    for what, found in groupby(labels(design), key=lambda label: label.what):
        entries = [_entry(label) for label in found]
        rows = [entries[n : n + _ACROSS] for n in range(0, len(entries), _ACROSS)]
        groups.append({"title": counted(len(entries), f"{what} label"), "rows": rows})
    title = f"Labels: {design.plan.machine}"[:120]
    return typeset("label_sheet.typ", {"title": title, "paper": PAPERS[paper], "groups": groups, "cautions": cautions})
