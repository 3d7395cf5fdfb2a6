"""The voltage to which capacitors at some terminals are charged."""

from __future__ import annotations

from wiring.design.design import Design
from wiring.design.fault.records import Short
from wiring.parts.base import Part


def charged_volts(design: Design, part: Part, ends: tuple[str, ...]) -> float:
    """The voltage to which capacitors at some terminals of a part are charged [V]; 0 where nothing feeds them."""
    shorts: list[Short] = [
        design.short_circuits.to_return[part.name, end]
        for end in ends
        if (part.name, end) in design.short_circuits.to_return
    ]
    rails = {rail.rectifier: rail.highest_v for rail in design.unregulated}
    return max((rails.get(short.origin.part, _peak_volts(short)) for short in shorts), default=0.0)


def _peak_volts(short: Short) -> float:
    return short.volts if short.dc else 2.0**0.5 * short.volts
