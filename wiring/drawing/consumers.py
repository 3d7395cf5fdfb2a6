"""What a column of a distribution feeds and nothing else does: it hangs at its foot, and power runs down.

A supply stands there with its outputs as references; its distribution begins with lines that arrive from it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from wiring.disjoint_sets import joined
from wiring.drawing.block import Block
from wiring.drawing.functions import AT_RING, BOND, DC, MAINS, PROCESS
from wiring.drawing.prepare import Prepared
from wiring.drawing.units import Form, Unit

#: Lays out the blocks of a function; supplies that stand in a column elsewhere are left out.
Lay = Callable[[Prepared, str, frozenset[str]], list[Block]]


class Consumer(Struct, frozen=True):
    """Units that stand at the foot of a column of the function that feeds them."""

    units: frozenset[str]
    feeder: str
    is_supply: bool = False


def consumers(prepared: Prepared) -> list[Consumer]:
    """Supplies that the mains feed, and loads that are wired to one distribution and to earth alone."""
    units = {unit.id: unit for unit in prepared.units}
    ends = _neighbours(prepared)
    found = [
        Consumer(frozenset((name,)), MAINS, True) for name, unit in units.items() if _is_supply(unit, prepared, units)
    ]
    loads = [name for name, unit in units.items() if unit.sheet == PROCESS]
    pairs = [(a, b) for a in loads for b in ends.get(a, ()) if units[b].sheet == PROCESS]
    first = joined(loads, pairs)
    for group in sorted(set(first.values())):
        own = frozenset(name for name in loads if first[name] == group)
        around = {units[far].sheet for name in own for far in ends.get(name, ()) if far not in own} - {BOND, AT_RING}
        found += [Consumer(own, feeder) for feeder in (MAINS, DC) if around == {feeder}]
    return found


def _neighbours(prepared: Prepared) -> Mapping[str, list[str]]:
    found: dict[str, list[str]] = {}
    for wire in prepared.names.conductors:
        a, b = prepared.names.spots[wire, 0][0], prepared.names.spots[wire, 1][0]
        found.setdefault(a, []).append(b)
        found.setdefault(b, []).append(a)
    return found


def _feeds(names: Iterable[str], prepared: Prepared, units: Mapping[str, Unit]) -> Iterator[tuple[str, str]]:
    """The wires by which these units are fed, each with the unit at its other end."""
    own = set(names)
    for wire, conductor in prepared.names.conductors.items():
        for n, node in enumerate(conductor.ends):
            name, lane = prepared.names.spots[wire, n]
            far = prepared.names.spots[wire, 1 - n][0]
            if name in own and far not in own and units[name].lanes[lane].left == node:
                yield wire, far


def _is_supply(unit: Unit, prepared: Prepared, units: Mapping[str, Unit]) -> bool:
    if unit.sheet != DC or unit.form is not Form.FRAME or not unit.main:
        return False
    fed_from = {units[far].sheet for _, far in _feeds((unit.id,), prepared, units)}
    return fed_from == {MAINS}


def with_consumers(prepared: Prepared, lay: Lay) -> tuple[Prepared, dict[str, list[Block]]]:
    """The units with the consumers that found their place, and the blocks of mains and DC."""
    chosen = consumers(prepared)
    while True:
        supplies = frozenset[str]().union(*(one.units for one in chosen if one.is_supply))
        moved = _moved(prepared, chosen)
        apart = _moved(prepared, [one for one in chosen if not one.is_supply])
        blocks = {MAINS: lay(moved, MAINS, frozenset()), DC: lay(apart, DC, supplies)}
        drawn = {route.wire for own in blocks.values() for block in own for route in block.routes}
        units = [one.unit.id for block in blocks[DC] for one in block.units]
        units += [one.unit.id for block in blocks[DC] for one in block.hung]
        still = supplies.intersection(units)
        kept = [one for one in chosen if not one.units & still and _fed(one, prepared, drawn)]
        if len(kept) == len(chosen):
            return moved, blocks
        chosen = kept


def _fed(one: Consumer, prepared: Prepared, drawn: set[str]) -> bool:
    units = {unit.id: unit for unit in prepared.units}
    return all(wire in drawn for wire, far in _feeds(one.units, prepared, units) if units[far].sheet == one.feeder)


def _moved(prepared: Prepared, chosen: Iterable[Consumer]) -> Prepared:
    feeder = {name: one.feeder for one in chosen for name in one.units}
    units = tuple(replace(unit, sheet=feeder.get(unit.id, unit.sheet)) for unit in prepared.units)
    return replace(prepared, units=units)
