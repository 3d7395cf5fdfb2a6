"""One sheet before its frame."""

from __future__ import annotations

from msgspec import Struct

from wiring.drawing.shapes import Group


class Content(Struct, frozen=True):
    """What a sheet is called, its kind, and what stands on it."""

    title: str
    kind: str
    groups: tuple[Group, ...]
