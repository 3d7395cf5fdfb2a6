"""What is drawn for a moment when something is switched on: supplies, drives, transformers, motors, pumps.

Peaks add up when they come at once: everything that the same contactor switches, and everything that no contactor
switches, which comes with the main switch.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from wiring.circuit.model import Inner, Node
from wiring.design.device.devices import UPSTREAM
from wiring.design.fault.paths import MAINS, FaultPaths
from wiring.design.machine import Machine
from wiring.parts.base import Part
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw, Input, Switch
from wiring.parts.incoming import Transformer
from wiring.parts.loads import ProcessSource, Pump
from wiring.parts.motors import Motor
from wiring.parts.sources import Supply
from wiring.parts.switching import Coiled, SafetyRelay
from wiring.rulebooks.citation import Source
from wiring.rulebooks.transformers import switch_on_current, transformer_current


class Inrush(Struct, frozen=True):
    """One part on one line of the mains. `amps` is its peak (of a motor: its starting current), None when not given.

    `devices` and `contacts` are the parts that the peak passes, the one nearest to the source first; `moment` names the
    contactor that switches it on, "" for the main switch. `estimated` is where a typical multiple stands, None for a
    peak that is given.
    """

    part: str
    amps: float | None
    estimated: Source | None
    line: int
    devices: tuple[str, ...]
    contacts: tuple[str, ...]
    moment: str
    motor: bool


def _amps(part: Part) -> tuple[float | None, Source | None, bool] | None:
    """Peak, where it stands if it is estimated, whether it is that of a motor; None for a part without any."""
    data = part.data
    match data:
        case Supply() | ProcessSource() | Drive():
            return data.inrush, None, False
        case Transformer() if data.inrush is not None:
            return data.inrush, None, False
        case Transformer():
            rated = transformer_current(data.rated, data.primary.volts)
            peak = switch_on_current(rated, toroid=False, worst=False)
            return peak.value, peak.source, False
        case Motor():
            return (data.start_factor * data.rated_current if data.rated_current else None), None, True
        case Pump():
            return data.start_factor * data.rated.current_a, None, True
    return None


def _ends(part: Part) -> Iterator[str]:
    for element in part.elements:
        if isinstance(element, Input) or (isinstance(element, Draw) and element.name != "logic"):
            yield from (element.a, element.b)


def contacts_before(paths: FaultPaths, node: Node) -> dict[str, Node]:
    """The parts whose contacts lie on the way to a node, the nearest to the source first, each with its far end."""
    hot = paths.hot
    found: dict[str, Node] = {}
    at: Node | None = node
    while at is not None:
        back = hot[at].back
        if isinstance(back, Inner) and isinstance(back.element, Switch):
            found.setdefault(back.part, at)
        at = hot[at].before
    return dict(reversed(found.items()))


def _switched_by(machine: Machine, contacts: tuple[str, ...]) -> str:
    """The first part on the way that a coil moves."""
    return next((name for name in contacts if isinstance(machine.parts[name].data, Coiled | SafetyRelay)), "")


def inrushes(machine: Machine, paths: FaultPaths) -> tuple[Inrush, ...]:
    """Every peak on every line of the mains, by part."""
    found = []
    for part in machine.parts.values():
        known = _amps(part)
        if known is None:
            continue
        for end in dict.fromkeys(_ends(part)):
            reached = paths.hot.get((part.name, end))
            if reached is None or paths.origins[reached.origin].part != MAINS:
                continue
            contacts = tuple(contacts_before(paths, (part.name, end)))
            moment = _switched_by(machine, contacts)
            found.append(Inrush(part.name, *known[:2], reached.origin, reached.devices, contacts, moment, known[2]))
    return tuple(found)


def heaviest_together(rows: Iterable[Inrush]) -> tuple[float, tuple[Inrush, ...]]:
    """The largest sum of peaks [A] that come at one moment on one line, and what takes part; 0 without any."""
    groups: dict[tuple[int, str], list[Inrush]] = {}
    for row in rows:
        if row.amps is not None:
            groups.setdefault((row.line, row.moment), []).append(row)
    sums = {key: sum(row.amps or 0.0 for row in group) for key, group in groups.items()}
    if not sums:
        return 0.0, ()
    key = max(sums, key=lambda each: (sums[each], each))
    return sums[key], tuple(groups[key])


def inrushes_behind(rows: Iterable[Inrush]) -> dict[str, list[Inrush]]:
    """The peaks that each protective device passes, the devices of the machine before that of the building."""
    behind: dict[str, list[Inrush]] = {}
    for inrush in rows:
        for name in inrush.devices:
            behind.setdefault(name, []).append(inrush)
    return {name: behind[name] for name in sorted(behind, key=lambda key: (key == UPSTREAM, key))}
