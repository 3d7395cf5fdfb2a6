"""Sources put together in blocks, each with the rails that they reach."""

from __future__ import annotations

from collections.abc import Sequence
from math import isinf
from typing import NamedTuple

from msgspec import Struct, field

from wiring.control.net import Source

#: What sources of one potential have in common: the voltage; of a phase and where it follows the input, their number.
PotentialKey = tuple[str, float]


class Potential(NamedTuple):
    """The lanes of the sources of a block that stand at one potential; `star` as in `Source`."""

    key: PotentialKey
    star: int
    lanes: int


class Block(Struct):
    """Some groups of sources, the first of them number `first`: their rails by node, and their lanes that are alive.
    Elsewhere than at `plus_at` and `minus_at` no rail of them reaches."""

    first: int
    groups: tuple[tuple[Source, ...], ...]
    plus: list[int]
    minus: list[int]
    potentials: tuple[Potential, ...]
    sure: int = 0
    perhaps: int = 0
    shorted: int = 0
    plus_at: frozenset[int] | set[int] = frozenset()
    minus_at: frozenset[int] | set[int] = frozenset()
    suited: dict[tuple[str, float], int] = field(default_factory=dict)


def grouped(sources: Sequence[Source]) -> list[tuple[Source, ...]]:
    """Outputs of programs that share their return count as one source; every other source stands alone."""
    groups: dict[object, list[Source]] = {}
    for n, source in enumerate(sources):
        groups.setdefault(n if source.certain else (source.part, source.minus), []).append(source)
    return [tuple(group) for group in groups.values()]


def potentials(first: int, groups: Sequence[tuple[Source, ...]], lanes: Sequence[int]) -> tuple[Potential, ...]:
    """The potentials among some groups, the first of them number `first`: sources of one voltage stand at one,
    phases and those whose voltage follows their input each at its own."""
    found: dict[PotentialKey, Potential] = {}
    for n, (group, lane) in enumerate(zip(groups, lanes, strict=False)):
        source = group[0]
        alone = source.is_mains or isinf(source.volts)
        key = ("own", float(first + n)) if alone else ("volts", source.volts)
        known = found.get(key, Potential(key, source.star, 0))
        found[key] = known._replace(lanes=known.lanes | lane)
    return tuple(found.values())
