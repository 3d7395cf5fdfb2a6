"""Every conductor that is neither bonding nor of a motor, on as few ways of metal as pass them all."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from wiring.circuit.model import Conductor, Inner, Node, named
from wiring.circuit.roles import Role
from wiring.parts.elements import Switch
from wiring.powerup.bonding import is_protective, way_between
from wiring.powerup.builder import UNPLUGGED, Builder
from wiring.powerup.drives import with_power
from wiring.powerup.feedback import loop_opens
from wiring.powerup.metal_ways import Way, ways_over
from wiring.powerup.neighbours import would_destroy
from wiring.powerup.ohms import measure, measure_fixed
from wiring.powerup.step import Meter, Setting, Stage
from wiring.powerup.survey import MAINS_ROLES, pairs_of
from wiring.powerup.wires import JOINED_OHM, LEADS_OHM, LENGTH_SHARE, is_seen_with_winding

#: A joint of a few ohms in a conductor with this current gets hot [A]: it is measured on the main sheet (derived:
#: 10 ohm and 1 A give 10 W in a terminal). So are ways that pass as many new conductors as `_LONG`.
POWER_A, _LONG = 1.0, 3
#: A current above this has a direction [A].
_FLOWS_A = 1e-3


def continuity(to: Builder) -> None:
    """With the contactors held in what they switch, then the rest with the machine at rest."""
    wanted = {
        wire.id
        for wire in to.design.circuit.conductors
        if wire.kind != "shield" and not is_protective(to, wire) and not is_seen_with_winding(to, wire.id)
    } - _seen_with_bonds(to)
    needed = {name for name in wanted if _carries(to, name) >= POWER_A}
    needed |= (_dangerous_wires(to) | _incoming(to)) & wanted
    held = to.survey.held_in(*to.survey.contactors)
    switched = _measure_ways(to, held, _through_contactors(to, held, wanted), wanted, needed)
    wanted -= switched
    with to.annex():
        _measure_ways(to, UNPLUGGED, ways_over(to, UNPLUGGED, switched), switched, set())
    at_rest = ways_over(to, UNPLUGGED, wanted)
    for name in to.survey.contactors:
        loop_opens(to, name, at_rest)
    wanted -= _measure_ways(to, UNPLUGGED, ways_over(to, UNPLUGGED, wanted), wanted, needed)
    alone = [(*to.design.circuit.conductor[name].ends, (name,)) for name in sorted(wanted & needed)]
    _measure_ways(to, UNPLUGGED, alone, wanted, needed)


def _through_contactors(to: Builder, held: Setting, wanted: set[str]) -> list[Way]:
    """Ways through the closed poles of contactors that are held in.

    A conductor in the neighbour's terminal that goes past a pole shows at rest only: where the contactor does not open
    the other side too, its conductors are left to the ways at rest.
    """
    through = [
        (way, {path.split(":")[0] for path in way[2] if ":" in path} & set(to.survey.contactors))
        for way in ways_over(to, held, wanted)
    ]
    return [way for way, names in through if names and all(_opens_both_sides(to, name) for name in names)]


def _opens_both_sides(to: Builder, contactor: str) -> bool:
    """Whether the make contacts of a contactor lie in more than one conductor of each supply that they switch."""
    roles, nets = to.design.roles.role, to.design.nets.of
    contacts = to.design.parts[contactor].of(Switch)
    ends = [(contactor, contact.a) for contact in contacts if contact.actuator == "coil" and not contact.closed_at_rest]
    wired = [end for end in ends if to.survey.numbers(end)]
    mains = {nets[end] for end in wired if roles.get(end) in MAINS_ROLES}
    others = {roles.get(end) for end in wired} - set(MAINS_ROLES)
    return len(mains) != 1 and (not others or {Role.PLUS, Role.ZERO} <= others)


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


def _dangerous_wires(to: Builder) -> set[str]:
    """The conductors that destroy something in the neighbour's terminal: where DC is fed, where voltages meet."""
    parts, volts_at = to.design.parts.values(), to.survey.safety.volts_at
    pairs = [pair for part in parts for pair in pairs_of(part)]
    fed = [pair.a for pair in pairs if pair.takes_power and not pair.is_coil and pair.kind == "DC"]
    beside = [((part.name, a), (part.name, b)) for part in parts for a, b in pairwise(part.terminals)]
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


def _measure_ways(to: Builder, setting: Setting, ways: Sequence[Way], wanted: set[str], needed: set[str]) -> set[str]:
    """Lines for ways on which a joint shows; what they pass comes back. Ways of power stand with the rails."""
    main: list[Way] = []
    annex: list[Way] = []
    passed: set[str] = set()
    for way in ways:
        new = (set(way[2]) & wanted) - passed
        if new and not _has_second(to, setting, way, min(new)):
            (main if new & needed or len(new) >= _LONG else annex).append(way)
            passed |= new
    _lines(to, setting, main)
    with to.annex():
        _lines(to, setting, annex)
    return passed


def _lines(to: Builder, setting: Setting, ways: Sequence[Way]) -> None:
    if ways:
        to.ohms(
            Stage.SHORTS if setting.moved else Stage.POLARITY,
            setting,
            [way[:2] for way in ways],
            [f"{named(way[0])} to {named(way[1])}{_passed(way)}" for way in ways],
            "open, a loose joint, a device that is out, or an end in the neighbour's terminal",
            LENGTH_SHARE,
            LEADS_OHM,
            rows=[("", _passed(way)) for way in ways],
        )


def _has_second(to: Builder, setting: Setting, way: Way, wire: str) -> bool:
    """Whether the ohmmeter finds another way beside the one of metal, so that an open conductor would not show, or
    electronics beside it."""
    if not measure_fixed(to.survey.cold, setting, [way[:2]])[0].fixed:
        return True
    shorted = measure(to.survey.cold, setting, [way[:2]], opened=frozenset({wire}))[0]
    return shorted is not None and shorted < LEADS_OHM + JOINED_OHM


def _passed(way: Way) -> str:
    """The devices and switches on the way."""
    names = dict.fromkeys(path.split(":")[0] for path in way[2] if ":" in path)
    inner = [name for name in names if name not in (way[0][0], way[1][0])]
    return f", through {', '.join(inner)}" if inner else ""
