"""What a short circuit behind a semiconductor switch lets through it, against what it bears."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.fault.clearing import greatest_energy
from wiring.design.fault.origins import is_assumed
from wiring.design.fault.records import Short
from wiring.parts.protection import Fuse
from wiring.parts.switching import SolidStateRelay


class BurntSemiconductor(Struct, frozen=True):
    """A semiconductor relay with what the devices ahead of it let through at a current [A2s, A], and what it bears.

    `device` is the nearest device. `stated`: the energy is the one that the plan gives of a fuse.
    """

    part: str
    device: str
    short: Short
    amps: float
    energy: float
    bears: float
    stated: bool


def burnt_semiconductors(design: Design) -> Iterator[BurntSemiconductor]:
    """Every semiconductor relay of a known Joule integral with its strongest short circuit, where it does not outlive
    it."""
    for part in design.parts.values():
        if isinstance(part.data, SolidStateRelay) and part.data.i2t is not None:
            shorts = [one for one in design.short_circuits.at_part.get(part.name, ()) if one.devices]
            rows = [_row(design, part.name, part.data.i2t, one) for one in shorts if not is_assumed(design, one)]
            worst = max((row for row in rows if row.energy > row.bears), key=lambda row: row.energy, default=None)
            if worst is not None:
                yield worst


def unknown_semiconductors(design: Design) -> Iterator[str]:
    """The semiconductor relays behind a device whose Joule integral the plan does not give."""
    for part in design.parts.values():
        behind = any(one.devices for one in design.short_circuits.at_part.get(part.name, ()))
        if isinstance(part.data, SolidStateRelay) and part.data.i2t is None and behind:
            yield part.name


def _row(design: Design, name: str, bears: float, short: Short) -> BurntSemiconductor:
    amps = short.highest.initial_a
    tabled = greatest_energy(design.short_circuits.known, short, amps)
    fuses = [part.data for one in short.devices if (part := design.parts.get(one)) and isinstance(part.data, Fuse)]
    stated = min((fuse.i2t for fuse in fuses if fuse.i2t is not None), default=None)
    energy = tabled if stated is None else min(tabled, stated)
    return BurntSemiconductor(name, short.devices[-1], short, amps, energy, bears, energy == stated)
