"""Sizes, counts and terminals of a plan: an outer size, a range of conductor sizes, poles, a terminal."""

from __future__ import annotations

import re
from typing import ClassVar, Self

from wiring import quantities
from wiring.plan.fault import Refusal
from wiring.plan.values import Written
from wiring.quantities import parse_lengths, parse_wire_size_range

_SPACE = re.compile(r"\s")


class WireSizeRange(Written, frozen=True):
    """Conductor sizes from the thinnest, `low`, to the thickest, `high`, both in one system."""

    description: ClassVar[str] = "conductor sizes that a terminal takes, the thinner first"
    examples: ClassVar[tuple[str, ...]] = ("0.2..2.5 mm2", "22..12 AWG")

    low: quantities.WireSize
    high: quantities.WireSize

    @classmethod
    def read(cls, text: str) -> Self:
        return cls(*parse_wire_size_range(text))


def _positive_lengths(text: str, count: int) -> tuple[float, ...]:
    values = parse_lengths(text, count)
    if min(values) <= 0:
        raise Refusal(f"{text!r} has a length that is not above zero", "lengths above zero")
    return values


class Box(Written, frozen=True):
    """Outer size of a box in m."""

    description: ClassVar[str] = "width x height x depth"
    examples: ClassVar[tuple[str, ...]] = ("500 x 500 x 210 mm",)

    width: float
    height: float
    depth: float

    @classmethod
    def read(cls, text: str) -> Self:
        return cls(*_positive_lengths(text, 3))


class Pair(Written, frozen=True):
    """Width and height in m."""

    description: ClassVar[str] = "width x height"
    examples: ClassVar[tuple[str, ...]] = ("40 x 60 mm",)

    width: float
    height: float

    @classmethod
    def read(cls, text: str) -> Self:
        return cls(*_positive_lengths(text, 2))


class Spot(Written, frozen=True):
    """A point in m from the lower left corner, seen from the front; neither is below zero."""

    description: ClassVar[str] = "to the right x upwards, from the lower left corner"
    examples: ClassVar[tuple[str, ...]] = ("120 x 340 mm",)

    x: float
    y: float

    @classmethod
    def read(cls, text: str) -> Self:
        x, y = parse_lengths(text, 2)
        if min(x, y) < 0:
            raise Refusal(f"{text!r} lies outside", "two lengths of zero or more, from the lower left corner")
        return cls(x, y)


class Poles(Written, frozen=True):
    """Number of switched poles, 1 to 4."""

    description: ClassVar[str] = "number of poles"
    examples: ClassVar[tuple[str, ...]] = ("2",)

    count: int

    @classmethod
    def read(cls, text: str) -> Self:
        if text not in ("1", "2", "3", "4"):
            raise Refusal(f"{text[:40]!r} is no number of poles", "1, 2, 3 or 4")
        return cls(int(text))


class TerminalRef(Written, frozen=True, order=True):
    """One terminal of one part."""

    description: ClassVar[str] = "PART:TERMINAL"
    examples: ClassVar[tuple[str, ...]] = ("G1:V+", "K1:A1")

    part: str
    terminal: str

    def __str__(self) -> str:
        return f"{self.part}:{self.terminal}"

    @classmethod
    def read(cls, text: str) -> Self:
        part, _, terminal = text.partition(":")
        if not part or not terminal or _SPACE.search(text):
            raise Refusal(f"{text[:60]!r} is no terminal", "a part, a colon and its terminal, for example G1:V+")
        return cls(part, terminal)
