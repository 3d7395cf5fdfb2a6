"""One sheet before its frame."""

from __future__ import annotations

from dataclasses import dataclass

from wiring.drawing.shapes import Group


@dataclass(frozen=True, slots=True)
class Content:
    """What a sheet is called, its kind, and what stands on it."""

    title: str
    kind: str
    groups: tuple[Group, ...]
