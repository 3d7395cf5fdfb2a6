"""Where the number of axes that a plan bears is read off: the sizes that it has, and what axes ask more of them."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor, isfinite

from msgspec import Struct

from wiring.changes.axis import AxisParts
from wiring.design.design import Design
from wiring.parts.elements import Draw, Input
from wiring.rulebooks.limits import KEPT_FREE
from wiring.sizing.asked import requirements, sorted_by_ladder
from wiring.sizing.engine import ladders_of
from wiring.sizing.ladder import Key, by_item
from wiring.solver.assembly import ElementKey

#: More than so many that a supply bears are not taken for the limit.
_MANY = 6


class Leasts(Struct, frozen=True):
    """What is asked of every size at least, and the size that is there: A, VA, mm2 or m3/h, as its key says."""

    asked: Mapping[Key, tuple[float, float]]

    def borne(self, more: Leasts, count: int, most: int) -> int:
        """How many axes all sizes bear, if each asks as much more of them as `count` of them do in `more`; of any
        number up to `most`."""
        found = [most]
        for key, (least, size) in self.asked.items():
            slope = (more.asked.get(key, (least, size))[0] - least) / count
            if slope > 1e-9 * least and isfinite(slope) and size >= least:
                found.append(floor((size - least) / slope + 1e-6))
        return min(found)


def leasts_of(design: Design) -> Leasts:
    """What a design asks of its sizes."""
    ladders = ladders_of(design)
    asked = sorted_by_ladder(requirements(design, KEPT_FREE), by_item(ladders.values()))
    return Leasts({key: (one.least(firm=True), one.ladder.present.high) for key, one in asked.items()})


def guessed(design: Design, parts: AxisParts) -> int | None:
    """How many more axes the supplies bear by what one takes of each of them now, 1 at least; None where none limits
    them soon, for what many ask tells little: a supply in overload hides it, and wires without a place ask nothing.
    """
    found: list[int] = []
    for supply, draws in _draws(design, parts).items():
        for state, row in design.supplies[supply].items():
            free_a = (1.0 - KEPT_FREE) * row.available_a - row.current_a
            for point, left_a in ((design.states[state], free_a), (design.peaks[state], row.limit_a - row.peak_a)):
                amps = sum(abs(point.element_current(kind).get(key, 0.0)) for key, kind in draws)
                if amps > 0.0 and isfinite(left_a):
                    found.append(floor(left_a / amps))
    return max(min(found), 1) if found and min(found) <= _MANY else None


def _draws(design: Design, parts: AxisParts) -> dict[str, list[tuple[ElementKey, str]]]:
    """What the parts of an axis take of every supply: the elements with AC or DC, by supply."""
    found: dict[str, list[tuple[ElementKey, str]]] = {}
    for name in parts.own:
        for n, element in enumerate(design.parts[name].elements):
            if isinstance(element, Draw | Input):
                ends = ((name, element.a), (name, element.b))
                sources = {rail.source for end in ends for rail in design.roles.rails.get(end, ())}
                for source in sources & set(design.supplies):
                    found.setdefault(source, []).append(((name, n), element.kind))
    return found
