"""What the reset of a stop starts by itself, played in numbers: no hand on anything else, no program asking."""

from __future__ import annotations

from msgspec import Struct

from wiring.control.layers import solved_from
from wiring.control.numeric_simulation import Condition, ControlSimulator
from wiring.control.script import StopUse
from wiring.design.stop.stopping import Stopping
from wiring.parts.elements import Logic
from wiring.parts.switching import Coiled
from wiring.solver.operating import OperatingPoint


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
    """Every stop whose reset closes a unit and thereby starts what no drive commands."""
    found = []
    for use in stopping.uses:
        running = stopping.proof.running
        if not use.resets or not use.targets or not stopping.machine.circuit.elements(Logic):
            continue
        played = {device: _play(running, use, device) for device in use.devices}
        started = {device: names for device, (names, _) in played.items() if names}
        if started:
            alive = dict.fromkeys(name for names in started.values() for name in names)
            held = dict.fromkeys(name for device in started for name in played[device][1])
            found.append(ResetStart(use.name, use.resets[0], tuple(started), tuple(alive), tuple(held)))
    return tuple(found)


def _play(running: OperatingPoint, use: StopUse, device: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
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
    return tuple(name for name in after.alive if name not in before.alive and name not in commanded), held
