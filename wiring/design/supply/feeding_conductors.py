"""How thick the conductors on the way to loads must be for the least voltage that these need."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import islice

from msgspec import Struct

from wiring.design.conductor.load_drops import MOST_ON_A_WAY
from wiring.design.conductor.wire_resistance import conductor_ohm
from wiring.design.design import Design

#: The conductors may lose this share of what they could: currents move a little with each step (own choice).
_USED = 0.99


class Starved(Struct, frozen=True):
    """A load that gets `volts` and needs `least_v` [V].

    `amps` is what it will take at that voltage where it takes nothing now [A], else 0: then `volts` is with its load,
    whose current rises as the voltage falls, or falls with it where it is `resistive`.
    """

    part: str
    volts: float
    least_v: float
    amps: float = 0.0
    resistive: bool = False

    @property
    def grows(self) -> float:
        """Its current at its least voltage, as a multiple of the present one."""
        if self.amps:
            return 1.0
        return self.least_v / self.volts if self.resistive else self.volts / self.least_v


def areas_that_feed(design: Design, loads: Sequence[Starved]) -> Mapping[str, tuple[float, str]]:
    """The cross-sections of the conductors on the way to loads and back at which all of these get their voltage [mm2],
    and the load that asks for it.

    All on one way change alike. What conductors cannot help is left out: a source that gives too little itself, and
    ways on which a size or a length is not known.
    """
    ways = {load.part: way for load in loads if load.volts > 0.0 and (way := _way(design, load.part))}
    added: dict[str, float] = {}
    for load in loads:
        for name in ways.get(load.part, {}):
            added[name] = added.get(name, 0.0) + load.amps
    found: dict[str, tuple[float, str]] = {}
    for load in loads:
        way = ways.get(load.part, {})
        lost_v = sum(ohm * added[name] if load.amps else design.conductors[name].drop_v for name, ohm in way.items())
        rest_v = load.volts - load.least_v + (0.0 if load.amps else lost_v)
        if lost_v > 0.0 and rest_v > 0.0:
            for name in way:
                area_mm2 = _area_mm2(design, name) * load.grows * lost_v / (_USED * rest_v)
                found[name] = max(found.get(name, (0.0, "")), (area_mm2, load.part))
    return found


def _area_mm2(design: Design, name: str) -> float:
    size = design.circuit.conductor[name].size
    assert size is not None
    return size.area_mm2


def _way(design: Design, part: str) -> Mapping[str, float]:
    """The conductors to a part and back with their resistance when warm [ohm]; empty where not all are known, or
    they are more than sizes are worked out for."""
    shorts = design.short_circuits
    short = max(shorts.at_part.get(part, ()), key=lambda one: one.hot_ohm, default=None)
    names = list(islice(shorts.round(short), MOST_ON_A_WAY + 1)) if short is not None else []
    if len(names) > MOST_ON_A_WAY:
        return {}
    wires = [design.circuit.conductor[name] for name in names]
    if any(wire.size is None or wire.length_m is None or wire.id not in design.conductors for wire in wires):
        return {}
    return {wire.id: conductor_ohm(design.book, wire, design.conductors[wire.id].insulation_c) for wire in wires}
