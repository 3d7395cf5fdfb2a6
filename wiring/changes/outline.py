"""Where every value of a plan's text begins and ends, so that a change touches nothing else.

Positions are characters counted from 0, ends exclusive. A value keeps the keys or items in it; a block's end is that of
the last value in it.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from msgspec import Struct, field
from yaml.events import (
    AliasEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from wiring.plan.edits import Step
from wiring.plan.tree import event_reader

#: The keys that give an item of a list its id.
_IDS = ("wire", "cable")


class Spot(Struct, eq=False):
    """One value: its text lies in [start, end). `form` is scalar, mapping, list or alias; `flow` has brackets.

    `keys` and `key_ends` are the bounds of a mapping's keys, `inner` its values in order.
    """

    form: str
    start: int
    end: int
    flow: bool = False
    text: str = ""
    names: list[str] = field(default_factory=list)
    keys: list[int] = field(default_factory=list)
    inner: list[Spot] = field(default_factory=list)

    def index(self, step: Step) -> int | None:
        """The place of a key, or of an item by its number or its id; None where there is none."""
        if self.form == "mapping":
            return self.names.index(str(step)) if str(step) in self.names else None
        if self.form != "list":
            return None
        if isinstance(step, int):
            return step if 0 <= step < len(self.inner) else None
        return next((n for n, item in enumerate(self.inner) if item.id == step), None)

    @property
    def id(self) -> str:
        """The id of a wire or cable, "" for anything else."""
        if self.form != "mapping":
            return ""
        return next((self.inner[n].text for n, name in enumerate(self.names) if name in _IDS), "")

    def follow(self, path: Sequence[Step]) -> tuple[Spot, int]:
        """The deepest value on the path, and how many of its steps were found."""
        spot = self
        for depth, step in enumerate(path):
            place = spot.index(step)
            if place is None:
                return spot, depth
            spot = spot.inner[place]
        return spot, len(path)

    def at(self, path: Sequence[Step]) -> Spot | None:
        """The value at exactly that path, None where there is none."""
        spot, depth = self.follow(path)
        return spot if depth == len(path) else None


class _Reader:
    """Builds the outline event by event; an event that opens something reads on to its end."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.events = event_reader(text)

    def next(self) -> Any:
        return self.events.get_event()

    def root(self) -> Spot:
        while True:
            event = self.next()
            if isinstance(event, MappingStartEvent | SequenceStartEvent | ScalarEvent):
                return self.value(event)
            if isinstance(event, StreamEndEvent):
                return Spot("scalar", 0, 0)

    def value(self, event: Any) -> Spot:
        start, end = event.start_mark.index, event.end_mark.index
        if isinstance(event, MappingStartEvent):
            return self.mapping(start, bool(event.flow_style))
        if isinstance(event, SequenceStartEvent):
            return self.list(start, bool(event.flow_style))
        if isinstance(event, AliasEvent):
            return Spot("alias", start, end)
        end = start + len(self.text[start:end].rstrip("\r\n")) if event.style in ("|", ">") else end
        return Spot("scalar", start, end, text=event.value)

    def mapping(self, start: int, flow: bool) -> Spot:
        spot = Spot("mapping", start, start, flow)
        while not isinstance(event := self.next(), MappingEndEvent):
            key = self.value(event)
            spot.names.append(key.text)
            spot.keys.append(key.start)
            spot.inner.append(self.value(self.next()))
        spot.end = _end(event) if flow else max((one.end for one in spot.inner), default=start)
        return spot

    def list(self, start: int, flow: bool) -> Spot:
        spot = Spot("list", start, start, flow)
        while not isinstance(event := self.next(), SequenceEndEvent):
            spot.inner.append(self.value(event))
        spot.end = _end(event) if flow else max((one.end for one in spot.inner), default=start)
        return spot


def _end(event: Any) -> int:
    """Where an event ends."""
    return int(event.end_mark.index)


@lru_cache(maxsize=2)  # many changes start from one plan
def outline(text: str) -> Spot:
    """The outline of a plan that the reader has taken without a fault. Raises yaml.YAMLError for any other text."""
    return _Reader(text).root()
