"""The size of a wire type: all its wires have it, but for those that must be thicker."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf

from wiring.sizing.asked import Asked
from wiring.sizing.ladder import Key, Ladder, Step
from wiring.sizing.records import Wish


def sized_by_type(
    ladders: Mapping[Key, Ladder], asked: Mapping[Key, Asked], wanted: Mapping[Key, Step], wish: Wish
) -> tuple[dict[Key, Step], dict[str, Step]]:
    """The wanted steps with wires of one type at its size, and the size of every type.

    A type grows where most of its wires must.
    """
    found, types = dict(wanted), {}
    heirs: dict[str, list[Ladder]] = {}
    for ladder in ladders.values():
        if ladder.type:
            heirs.setdefault(ladder.type, []).append(ladder)
    for name, members in heirs.items():
        usual = _usual(members[0], sorted(wanted[one.key].high for one in members), wish)
        types[name] = members[0].step_of(usual)
        for one in members:
            most = asked[one.key].most() if one.key in asked else inf
            if wanted[one.key].high <= usual and types[name].meets(0.0, most):
                found[one.key] = one.step_of(usual)
    return found, types


def _usual(one: Ladder, sizes: Sequence[float], wish: Wish) -> float:
    """The size of a type: of all sizes up to the present one the largest, of half of them where most are above."""
    present = one.present.high
    fitting = [size for size in sizes if size <= present]
    half = 2 * len(fitting) >= len(sizes)
    return (fitting[-1] if wish.sizes_anew(one) else present) if half else sizes[len(sizes) // 2]
