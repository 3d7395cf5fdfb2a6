"""Sources put together in blocks, each with the rails that they reach."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct, field

from wiring.control.net import Source


class Block(Struct):
    """Some groups of sources, the first of them number `first`: their rails by node, and their lanes that are alive."""

    first: int
    groups: tuple[tuple[Source, ...], ...]
    plus: list[int]
    minus: list[int]
    sure: int = 0
    perhaps: int = 0
    shorted: int = 0
    suited: dict[tuple[str, float], int] = field(default_factory=dict)


def grouped(sources: Sequence[Source]) -> list[tuple[Source, ...]]:
    """Outputs of programs that share their return count as one source; every other source stands alone."""
    groups: dict[object, list[Source]] = {}
    for n, source in enumerate(sources):
        groups.setdefault(n if source.certain else (source.part, source.minus), []).append(source)
    return [tuple(group) for group in groups.values()]
