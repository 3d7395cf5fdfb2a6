"""Every conductor that is neither bonding nor of a motor, on as few ways of metal as pass them all."""

from __future__ import annotations

from collections.abc import Sequence

from wiring.circuit.model import Conductor, Inner, Node, named
from wiring.parts.drives import Drive
from wiring.powerup.bonding import is_protective, way_between
from wiring.powerup.builder import UNPLUGGED, Builder
from wiring.powerup.drives import with_power
from wiring.powerup.feedback import loop_opens
from wiring.powerup.metal_ways import Way, ways_over
from wiring.powerup.neighbours import would_destroy
from wiring.powerup.ohms import measure, measure_fixed
from wiring.powerup.step import Meter, Stage
from wiring.powerup.survey import pairs_of
from wiring.powerup.wires import JOINED_OHM, LEADS_OHM, LENGTH_SHARE, is_seen_with_winding

#: A joint of a few ohms in a conductor with this current gets hot [A]: it is measured on the main sheet (derived:
#: 10 ohm and 1 A give 10 W in a terminal).
POWER_A = 1.0
#: A joint of 10 ohm with this current takes half a volt [A]: it is worth twice one that nothing feels.
_FELT_A = 0.05
#: A current above this has a direction [A].
_FLOWS_A = 1e-3


def continuity(to: Builder) -> None:
    """With the machine at rest: a conductor in the neighbour's terminal that goes past a contact shows there only."""
    wanted = {
        wire.id
        for wire in to.design.circuit.conductors
        if wire.kind != "shield" and not is_protective(to, wire) and not is_seen_with_winding(to, wire.id)
    } - _seen_with_bonds(to)
    needed = {name for name in wanted if _carries(to, name) >= POWER_A}
    needed |= (_dangerous_wires(to) | _incoming(to) | _reports_of_drives(to)) & wanted
    ways = ways_over(to, wanted)
    for name in to.survey.contactors:
        loop_opens(to, name, ways)
    left = wanted - _measure_ways(to, ways, wanted, needed)
    alone = [(*to.design.circuit.conductor[name].ends, (name,)) for name in sorted(left & needed)]
    _measure_ways(to, alone, left, needed)


def _seen_with_bonds(to: Builder) -> set[str]:
    """The conductors of the returns that were measured down to earth."""
    return {
        wire.id
        for line in to.lines
        if line.stage is Stage.POLARITY and line.meter is Meter.OHM and line.red and line.black
        for wire in way_between(to, line.black, line.red)
    }


def _incoming(to: Builder) -> set[str]:
    """The conductors from the inlet to the first protective devices: all that the machine takes goes through them."""
    inlet, devices = to.survey.inlet, to.survey.devices
    live = [node for name, node in inlet.items() if name != "PE"]
    came = to.design.circuit.walk(live, lambda edge, _far: not (isinstance(edge, Inner) and edge.part in devices))
    return {wire.id for node in came for wire in to.design.circuit.conductors_at(node)}


def _reports_of_drives(to: Builder) -> set[str]:
    """The conductors by which a drive tells of a fault: no row on the live machine has it tell of one."""
    drives = {part.name: part.data for part in to.design.parts.values() if isinstance(part.data, Drive)}
    ends = [(name, end) for name, data in drives.items() for pair in data.fault_outputs() for end in pair]
    return {wire.id for end in ends for wire in to.design.circuit.conductors_at(end)}


def _dangerous_wires(to: Builder) -> set[str]:
    """The conductors that destroy something in the neighbour's terminal: where DC is fed, where voltages meet."""
    parts, volts_at = to.design.parts.values(), to.survey.safety.volts_at
    pairs = [pair for part in parts for pair in pairs_of(part)]
    fed = [pair.a for pair in pairs if pair.takes_power and not pair.is_coil and pair.kind == "DC"]
    beside = [((part.name, a), (part.name, b)) for part in parts for a, b in part.beside]
    meeting = [max(ends, key=volts_at) for ends in beside if would_destroy(to, *ends)]
    wires = to.design.circuit.conductors_at
    return {wire.id for end in fed for wire in wires(end)} | {
        wire.id for end in meeting for wire in wires(end) if not _is_fed_here(to, wire, end)
    }


def _is_fed_here(to: Builder, wire: Conductor, end: Node) -> bool:
    """Whether a conductor takes its direct current from this end, so that it brings none to another terminal."""
    current = to.run(with_power(to, "", plugged=False, outputs=True)).point.path_current("DC").get(wire.id, 0.0).real
    return (current if end == wire.a else -current) > _FLOWS_A


def _carries(to: Builder, wire: str) -> float:
    figure = to.design.conductors.get(wire)
    return figure.current_a if figure else 0.0


def _measure_ways(to: Builder, ways: Sequence[Way], wanted: set[str], needed: set[str]) -> set[str]:
    """Lines for ways on which a joint shows; what they pass comes back."""
    main: list[Way] = []
    annex: list[Way] = []
    passed: set[str] = set()
    for way in ways:
        new = (set(way[2]) & wanted) - passed
        if new and not _has_second(to, way, min(new)):
            is_main = bool(new & needed)
            (main if is_main else annex).append(way)
            passed |= new
            if not is_main:
                to.offered[_told(way)] = sum(1 + (_carries(to, name) >= _FELT_A) for name in new)
    for some, in_annex in ((main, False), (annex, True)):
        with to.annex(in_annex):
            to.ohms(
                Stage.POLARITY,
                UNPLUGGED,
                [way[:2] for way in some],
                [_told(way) for way in some],
                "open, a loose joint, a device that is out, or an end in the neighbour's terminal",
                LENGTH_SHARE,
                LEADS_OHM,
                rows=[("", _passed(way)) for way in some],
            )
    return passed


def _has_second(to: Builder, way: Way, wire: str) -> bool:
    """Whether the ohmmeter finds another way beside the one of metal, so that an open conductor would not show, or
    electronics beside it."""
    if not measure_fixed(to.survey.cold, UNPLUGGED, [way[:2]])[0].fixed:
        return True
    shorted = measure(to.survey.cold, UNPLUGGED, [way[:2]], opened=frozenset({wire}))[0]
    return shorted is not None and shorted < LEADS_OHM + JOINED_OHM


def _told(way: Way) -> str:
    return f"{named(way[0])} to {named(way[1])}{_passed(way)}"


def _passed(way: Way) -> str:
    """The devices and switches on the way."""
    names = dict.fromkeys(path.split(":")[0] for path in way[2] if ":" in path)
    inner = [name for name in names if name not in (way[0][0], way[1][0])]
    return f", through {', '.join(inner)}" if inner else ""
