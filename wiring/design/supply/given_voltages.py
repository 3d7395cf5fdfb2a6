"""What the sources of a machine put across an element once every contact and output on its way is on."""

from __future__ import annotations

from typing import NamedTuple

from wiring.design.connection.signals import driven
from wiring.design.machine import Machine
from wiring.design.nets import SourcePole
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Resistance

#: What takes current at a voltage.
Loaded = Draw | Coil | Input | Resistance


class Reachable(NamedTuple):
    """A voltage [V] that contacts and outputs can put on a load, its kind, and the source it comes from."""

    volts: float
    kind: str
    source: str


def voltages_given(machine: Machine, part: Part, element: Loaded) -> list[Reachable]:
    """What the sources at rest put across an element once every contact and output on its way is on.

    Series resistances are counted with the current of a resistance or coil, for other loads not at all.
    """
    a, b = (part.name, element.a), (part.name, element.b)
    ohm = getattr(element, "ohm", None)
    found = [
        Reachable((feed.volts - feed.drop_v) * (ohm / (ohm + feed.ohm) if ohm else 1.0), "DC", feed.source)
        for feed in (*driven(machine, a, b), *driven(machine, b, a))
    ]
    first = [r.pole for r in machine.nets.reach(a).sources if r.pole.kind == "AC"]
    second = [r.pole for r in machine.nets.reach(b).sources if r.pole.kind == "AC"]
    found += [
        Reachable(_between(machine, x, y), "AC", x.source)
        for x in first
        for y in second
        if x.source == y.source and x.node != y.node
    ]
    return found


def _between(machine: Machine, one: SourcePole, other: SourcePole) -> float:
    lines = [level for rail, level in machine.levels.items() if rail.source == one.sign and level.source == one.source]
    if "N" in (one.sign, other.sign) and lines:
        return lines[0].earth_v
    return one.volts
