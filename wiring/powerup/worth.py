"""Which readings of the annex are worth the time that is left: those that tell the most for every minute."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wiring.powerup.collector import practice
from wiring.powerup.step import Line, Setting

if TYPE_CHECKING:
    from wiring.powerup.builder import Builder

#: Where a probe stands in each position.
Places = dict[Setting | None, set[str]]


def worth_measuring(to: Builder, spare_min: float) -> list[Line]:
    """As many of the offered lines as the time allows, as it is reckoned here, the best first."""
    stood: Places = {}
    for line in to.lines:
        if not line.annex:
            stood.setdefault(line.setting, set()).update(line.parts)
    offered = {line.action: line for line in to.lines if line.annex and line.action in to.offered}
    found: list[Line] = []
    while offered:
        best = max(offered, key=lambda name: (to.offered[name] / _minutes(offered[name], stood), name))
        line = offered.pop(best)
        if (cost := _minutes(line, stood)) <= spare_min:
            spare_min -= cost
            found.append(line)
            stood.setdefault(line.setting, set()).update(line.parts)
    return found


def _minutes(line: Line, stood: Places) -> float:
    """What a reading takes: the probe moves once, and to every part at which none stands yet."""
    moves = max(len(line.parts - stood.get(line.setting, set())), 1)
    return practice("minutes_reading") + practice("minutes_probe") * moves
