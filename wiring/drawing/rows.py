"""Rows that keep wires straight: weighted medians, held in order by pooling adjacent violators.

The median is taken rather than the mean, which would leave every wire a little off its row.
"""

from __future__ import annotations

from collections.abc import Sequence

#: A wanted row with its weight.
Wish = tuple[int, int]


def _nearest_median(wishes: list[Wish], now: int) -> int:
    """The value of least cost that is nearest to `now`; every value between the two middle wishes costs the same."""
    ordered = sorted(wishes)
    total = sum(weight for _, weight in ordered)
    passed, low = 0, None
    for value, weight in ordered:
        passed += weight
        if low is None and 2 * passed >= total:
            low = value
        if low is not None and 2 * passed > total:
            return min(max(now, low), value)
    return ordered[-1][0]


def spread(wishes: Sequence[list[Wish]], steps: Sequence[int], now: Sequence[int]) -> list[int]:
    """Rows in ascending order, each at least `steps[n]` below the one before, as near to the wishes as can be.

    Minimises the weighted sum of distances to the wishes (isotonic regression in the L1 norm, by pooling); among rows
    of equal cost the one nearest to `now` is taken. A row without a wish stays as close as it can to the one before.
    """
    shift = 0
    pools: list[tuple[int, list[Wish], int, int]] = []  # value, wishes, members, present value
    shifts = []
    for own, step, present in zip(wishes, steps, now, strict=True):
        shift += step
        shifts.append(shift)
        wanted = [(value - shift, weight) for value, weight in own]
        at = present - shift
        if not wanted and pools:
            value, pooled, members, first = pools[-1]
            pools[-1] = (value, pooled, members + 1, first)
            continue
        pools.append((_nearest_median(wanted, at) if wanted else 0, wanted, 1, at))
        while len(pools) > 1 and (pools[-1][0] < pools[-2][0] or not pools[-2][1]):
            value, pooled, members, at = pools.pop()
            _, before, more, first = pools.pop()
            joined = before + pooled
            at = at if not before else first
            pools.append((_nearest_median(joined, at) if joined else value, joined, members + more, at))
    values = [value for value, _, members, _ in pools for _ in range(members)]
    return [value + shift for value, shift in zip(values, shifts, strict=True)]
