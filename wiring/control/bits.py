"""Sets of cases as whole numbers: one bit a case, so that one operation serves thousands of faults at once."""

from __future__ import annotations

from collections.abc import Iterable

#: Cases of something that is on: for certain, and perhaps.
On = tuple[int, int]
OFF: On = (0, 0)


def mask(places: Iterable[int], count: int) -> int:
    """The number whose bits at `places` (0 to count - 1) are set."""
    held = bytearray((count >> 3) + 1)
    for place in places:
        held[place >> 3] |= 1 << (place & 7)
    return int.from_bytes(held, "little")


def places(bits: int) -> list[int]:
    """The places of the bits that are set, in order."""
    found = []
    base = 0
    while bits:
        low = bits & 0xFFFFFFFFFFFFFFFF
        while low:
            lowest = low & -low
            found.append(base + lowest.bit_length() - 1)
            low ^= lowest
        bits >>= 64
        base += 64
    return found
