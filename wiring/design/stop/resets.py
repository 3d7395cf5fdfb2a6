"""The resets of stops: whether a hand must close their loops, what stands in them, and what a reset starts by itself,
played in numbers with no hand on anything else and no program asking.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.control.condition import Condition
from wiring.control.layers import solved_from
from wiring.control.numeric_simulation import ControlSimulator
from wiring.control.script import StopUse
from wiring.design.design import Design
from wiring.design.machine import Machine
from wiring.design.nets import Net, NetEdge
from wiring.design.stop.hazards import drives_of
from wiring.design.stop.stopping import Stopping
from wiring.parts.base import Part, split_pair
from wiring.parts.drives import Inverter
from wiring.parts.elements import Logic, Switch
from wiring.parts.switching import Coiled, Contactor, SafetyRelay
from wiring.solver.operating import OperatingPoint

#: Above this share of its voltage a signal input is on: 11 V of 24 V, type 3 of IEC 61131-2 (from memory).
_ON_SHARE = 11.0 / 24.0
#: Voltage of a signal input where the plan gives none (common practice) [V].
_USUAL_SIGNAL_V = 24.0


class ResetLoop(Struct, frozen=True):
    """The loop between the reset terminals of a unit. `closed`: it is closed while nothing is worked or attracted;
    `open`: nothing that is worked closes it."""

    unit: str
    mode: str
    closed: bool
    open: bool
    devices: tuple[str, ...]


def reset_loops(machine: Machine) -> Iterator[ResetLoop]:
    """The loop of every stop relay that is fed and of which an output is wired."""
    for part in machine.parts.values():
        if isinstance(part.data, SafetyRelay) and _is_used(machine, part.name, part.data):
            start, goal = (machine.nets.of[part.name, end] for end in split_pair(part.data.reset))
            at_rest, _ = _reached(machine, part.name, start, at_rest=True)
            worked, devices = _reached(machine, part.name, start, at_rest=False)
            mode = part.data.reset_mode
            yield ResetLoop(part.name, mode, goal in at_rest, goal not in worked, tuple(sorted(devices)))


def _is_used(machine: Machine, name: str, data: SafetyRelay) -> bool:
    ends = [end for pair in (*data.outputs, *data.delayed) for end in split_pair(pair)]
    return any((name, end) in machine.nets.joined for end in ends)


def _reached(machine: Machine, unit: str, start: Net, *, at_rest: bool) -> tuple[set[Net], set[str]]:
    """The nets that contacts join to one, all of them or those closed at rest, and the parts of these contacts."""

    def passes(edge: NetEdge) -> bool:
        switch = edge.element
        return edge.part != unit and isinstance(switch, Switch) and (not at_rest or switch.closed_at_rest)

    found = set(machine.nets.spread((start,), passes))
    inside = (net for net in found if not machine.nets.is_at_source(net))
    return found, {edge.part for net in inside for edge in machine.nets.edges_at.get(net, ()) if passes(edge)}


def loop_starts(design: Design) -> Iterator[tuple[str, Node]]:
    """Where reset loops begin: at a safety relay, or at the make contact of a reset device of relay logic."""
    units = [(part.name, part.data) for part in design.parts.values() if isinstance(part.data, SafetyRelay)]
    for name, data in units:
        yield name, (name, split_pair(data.reset)[0])
    for reset in dict.fromkeys(stop.reset for stop in design.plan.stops.values() if stop.reset) if not units else ():
        part = design.parts.get(reset)
        for switch in part.of(Switch) if part else ():
            if not switch.closed_at_rest:
                yield reset, (reset, switch.a)
                yield reset, (reset, switch.b)


def reset_contacts(design: Design, owner: str, start: Node) -> Iterator[tuple[str, Switch]]:
    """The break contacts of contactors in a reset loop."""
    ahead = [design.nets.of[start]]
    seen = set(ahead)
    while ahead:
        net = ahead.pop()
        if design.nets.is_at_source(net):
            continue
        for edge in design.nets.edges_at.get(net, ()):
            if not isinstance(edge.element, Switch) or edge.part == owner or edge.to in seen:
                continue
            seen.add(edge.to)
            ahead.append(edge.to)
            if isinstance(design.parts[edge.part].data, Contactor) and edge.element.closed_at_rest:
                yield edge.part, edge.element


class ResetStart(Struct, frozen=True):
    """A stop whose `reset` alone brings the targets `started` back, after any of `devices`.

    `held` are the contactors and relays that stayed attracted while the stop was worked.
    """

    stop: str
    reset: str
    devices: tuple[str, ...]
    started: tuple[str, ...]
    held: tuple[str, ...]


def reset_starts(stopping: Stopping) -> tuple[ResetStart, ...]:
    """Every stop whose reset closes a unit and thereby starts what no drive commands, or what a relay that stayed
    picked up through the stop commands to run."""
    found = []
    for use in stopping.uses:
        running = stopping.proof.running
        if not use.resets or not use.targets or not stopping.machine.circuit.elements(Logic):
            continue
        played = {device: _play(stopping.machine, running, use, device) for device in use.devices}
        started = {device: names for device, (names, _) in played.items() if names}
        if started:
            alive = dict.fromkeys(name for names in started.values() for name in names)
            held = dict.fromkeys(name for device in started for name in played[device][1])
            found.append(ResetStart(use.name, use.resets[0], tuple(started), tuple(alive), tuple(held)))
    return tuple(found)


def _play(
    design: Machine, running: OperatingPoint, use: StopUse, device: str
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The stop worked and released, then its reset pressed and let go: what starts, and what held through the stop."""
    springs = frozenset(one.actuator for one in use.operators if one.springs_back)
    left_alone = use.worked - springs
    machine = ControlSimulator(running, use, device, (), Condition(outputs_on=False), solved_from(running))
    machine.programs = frozenset()
    machine.operated = left_alone | {(device, "operator")}
    machine.rest()
    held = tuple(
        sorted(name for name, _ in machine.attracted if isinstance(running.lowered.circuit.parts[name].data, Coiled))
    )
    machine.operated = left_alone
    before, closed = machine.rest(), set(machine.attracted)
    for reset in use.resets:
        machine.operated = left_alone | {(reset, "operator")}
        machine.rest()
        machine.operated = left_alone
    after = machine.rest()
    units = {
        (part.name, unit.outputs) for part, unit in running.lowered.circuit.elements(Logic) if isinstance(unit, Logic)
    }
    if not units & (machine.attracted - closed):
        return (), ()
    commanded = {target.name for target in use.targets if target.commanded}
    waiting = {name for name in commanded if not _told_to_run(design, design.parts[name], held, after.point)}
    return tuple(name for name in after.alive if name not in before.alive and name not in waiting), held


def _told_to_run(machine: Machine, motor: Part, held: tuple[str, ...], point: OperatingPoint) -> bool:
    """Whether a relay of `held` keeps the run input of a drive of a motor fed."""
    for drive in drives_of(motor, machine.axes):
        signals = getattr(drive.data, "signals", None)
        on_v = _ON_SHARE * (signals.volts if signals else _USUAL_SIGNAL_V)
        for a, b in run_inputs(drive):
            nets = machine.nets.reach((drive.name, a)).ohm_to
            keeps = {edge.part for net in nets for edge in machine.nets.edges_at.get(net, ())}
            if keeps & set(held) and abs(point.between((drive.name, a), (drive.name, b), "DC")) > on_v:
                return True
    return False


def run_inputs(drive: Part) -> list[tuple[str, str]]:
    """The inputs that tell an inverter to run, as pairs of terminals; all of one whose functions no plan says."""
    data = drive.data
    if not isinstance(data, Inverter):
        return []
    pairs = [tuple(data.terminals.get(end, end) for end in pair) for pair in data.signal_inputs()]
    return [(a, b) for a, b in pairs if not data.functions or data.functions.get(a) in ("run", "reverse")]
