"""Motors, fans and pumps behind a semiconductor that a temperature controller turns on and off many times a minute."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.parts.base import Part
from wiring.parts.contacts import split_pair
from wiring.parts.elements import Coil, Draw
from wiring.parts.heating import TemperatureController
from wiring.parts.loads import Fan, Pump
from wiring.parts.motors import Motor
from wiring.parts.switching import SolidStateRelay


class PulsedMotor(Struct, frozen=True):
    """Something that turns, the semiconductor in its feed, and the controller whose pulses reach that."""

    load: str
    switch: str
    controller: str


def pulsed_motors(machine: Machine) -> Iterator[PulsedMotor]:
    """Everything that turns across the line behind a semiconductor that gets pulses."""
    pulsed = {
        part.name: controller
        for part in machine.parts.values()
        if isinstance(part.data, SolidStateRelay) and (controller := _pulsing(machine, part))
    }
    for load in machine.parts.values() if pulsed else ():
        turns = isinstance(load.data, Motor | Fan | Pump) and load.name not in machine.topology.drive_of
        for name in sorted(name for name in pulsed if _is_behind(machine, load, name)) if turns else ():
            yield PulsedMotor(load.name, name, pulsed[name])


def _is_behind(machine: Machine, load: Part, switch: str) -> bool:
    """Whether a load reaches a source at one of its ends through a switch, and in no other way."""
    nets = machine.nets

    def fed(end: str, without: str = "") -> bool:
        return any(map(nets.is_at_source, nets.spread((nets.of[load.name, end],), lambda edge: edge.part != without)))

    return any(fed(end) and not fed(end, switch) for draw in load.of(Draw) for end in (draw.a, draw.b))


def _pulsing(machine: Machine, switch: Part) -> str:
    """The controller whose pulses reach the input of a semiconductor, through whatever contacts; "" for none."""
    nets = machine.nets
    ends = {(switch.name, end) for coil in switch.of(Coil) for end in ("A1", coil.b)}
    reached = {node for net in nets.spread({nets.of[end] for end in ends}) for node in nets.members[net]}
    return min((name for name, end in reached if end in _pulses(machine.parts[name])), default="")


def _pulses(part: Part) -> set[str]:
    """The plus terminals of the pulse outputs of a controller."""
    if not isinstance(part.data, TemperatureController):
        return set()
    pulses = (pair for pair, word in part.data.outputs.items() if word.startswith("pulse"))
    return {part.data.terminals.get(a, a) for a, _ in map(split_pair, pulses)}
