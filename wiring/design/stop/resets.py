"""What the reset of a stop starts by itself, played in numbers with no hand on anything else and no program asking."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.condition import Condition
from wiring.control.layers import solved_from
from wiring.control.numeric_simulation import ControlSimulator, Snapshot
from wiring.control.script import StopUse, springing_back
from wiring.design.machine import Machine
from wiring.design.stop.hazards import is_told_to_run, moves_people
from wiring.design.stop.stopping import FromState, Stopping
from wiring.parts.elements import Coil, Logic
from wiring.parts.switching import Coiled
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint


class ResetStart(Struct, frozen=True):
    """A stop whose `reset` alone brings the targets `started` back, after any of `devices`.

    `held` are the contactors and relays that stayed attracted while the stop was worked, `left_on` the operators that
    stand worked and without which nothing starts.
    """

    stop: str
    reset: str
    devices: tuple[str, ...]
    started: tuple[str, ...]
    held: tuple[str, ...]
    left_on: tuple[str, ...] = ()


def reset_starts(stopping: Stopping) -> tuple[ResetStart, ...]:
    """Every stop whose reset closes a unit, or a relay behind which an operator was left on, and thereby starts what no
    drive commands, or what is told to run all the while: by a relay that stayed picked up, or by a wire."""
    found = []
    coils = stopping.machine.circuit.elements(Coil)
    falls_late = any(isinstance(coil, Coil) and coil.off_delay_s > 0.0 for _, coil in coils)
    proved = [(one, False) for one in stopping.from_states]
    # By stop but its name, and machine that runs
    told: dict[tuple[StopUse, int], Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {}
    for one, latched, use in ((*row, use) for row in (*proved, *_latched(stopping)) for use in row[0].named):
        running = one.running
        if not use.resets or not use.targets:
            continue
        like = use.unnamed, id(running)
        if like not in told:
            told[like] = {device: _play(stopping.machine, running, use, device) for device in use.devices}
        played = told[like]
        started = {device: names for device, (names, _) in played.items() if names}
        if not started and falls_late:
            played = {device: _play(stopping.machine, running, use, device, at_once=True) for device in use.devices}
            started = {device: names for device, (names, _) in played.items() if names}
        if latched:
            moving = {
                name for names in started.values() for name in names if moves_people(stopping.machine.parts[name])
            }
            started = {device: names for device, names in started.items() if moving & set(names)}
        if started:
            alive = dict.fromkeys(n for names in started.values() for n in names if not latched or n in moving)
            held = dict.fromkeys(name for device in started for name in played[device][1])
            left_on = _left_on(stopping.machine, running, use, next(iter(started)), set(alive))
            found.append(ResetStart(use.name, use.resets[0], tuple(started), tuple(alive), tuple(held), left_on))
    return tuple(dict.fromkeys(found))


def _left_on(
    machine: Machine, running: OperatingPoint, use: StopUse, device: str, started: set[str]
) -> tuple[str, ...]:
    """The operators that stay where they were put and without each of which none of `started` starts."""
    staying = sorted(use.worked - springing_back(use.operators))
    without = {one: _play(machine, running, replace(use, worked=use.worked - {one}), device)[0] for one in staying}
    return tuple(dict.fromkeys(one[0] for one, names in without.items() if not started & set(names)))


def _latched(stopping: Stopping) -> Iterator[tuple[FromState, bool]]:
    """The states, proved as part of others, in which something stays worked when it is let go that is not worked in
    those: what it starts is looked for in them too, as far as it moves."""
    worked = {actuator for one in stopping.from_states for use in one.named for actuator in use.worked}
    for one in stopping.other_states:
        stays = {op.actuator for use in one.named for op in use.operators if not op.springs_back} & {
            actuator for use in one.named for actuator in use.worked
        }
        if stays - worked:
            worked |= stays
            yield one, True


def _play(
    design: Machine, running: OperatingPoint, use: StopUse, device: str, *, at_once: bool = False
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The stop worked and released, then its reset pressed and let go: what starts, and what held through the stop;
    `at_once` before anything that falls late has fallen."""
    machine, left_alone, held = _stopped(running, use, device, at_once)
    before, closed = machine.rest(at_once=at_once), set(machine.attracted)
    after = _reset(machine, left_alone, at_once)
    started = [name for name in after.alive if name not in before.alive]
    units = {
        (part.name, unit.outputs) for part, unit in running.lowered.circuit.elements(Logic) if isinstance(unit, Logic)
    }
    if started and not units & (machine.attracted - closed):
        left_on = _by_what_was_left_on(running, use, device, at_once) if left_alone else ()
        started = [name for name in started if name in left_on]
    commanded = {target.name for target in use.targets if target.commanded}
    waiting = {name for name in commanded if not is_told_to_run(design.parts[name], design.axes, after.point)}
    return tuple(name for name in started if name not in waiting), held


def _stopped(
    running: OperatingPoint, use: StopUse, device: str, at_once: bool
) -> tuple[ControlSimulator, frozenset[Actuator], tuple[str, ...]]:
    """The machine stopped, the stop about to be released: operators that stand worked then, and what held through."""
    left_alone = use.worked - springing_back(use.operators)
    machine = ControlSimulator(running, use, device, (), Condition(outputs_on=False), solved_from(running))
    machine.programs = frozenset()
    machine.operated = use.stopped(device, left_alone)
    machine.rest(at_once=at_once)
    parts = running.lowered.circuit.parts
    held = tuple(sorted(name for name, _ in machine.attracted if isinstance(parts[name].data, Coiled)))
    machine.operated = use.released(device, left_alone)
    return machine, machine.operated, held


def _reset(machine: ControlSimulator, hands: frozenset[Actuator], at_once: bool) -> Snapshot:
    """Every reset of the stop pressed and let go."""
    for reset in machine.use.resets:
        machine.operated = hands | {(reset, "operator")}
        machine.rest(at_once=at_once)
        machine.operated = hands
    return machine.rest(at_once=at_once)


def _by_what_was_left_on(running: OperatingPoint, use: StopUse, device: str, at_once: bool) -> tuple[str, ...]:
    """What starts when an operator is turned on after the reset: that is its start, and the reset none. What wants the
    reset again has its start in it."""
    machine, left_alone, _ = _stopped(running, use, device, at_once)
    machine.operated = frozenset()
    machine.rest(at_once=at_once)
    before = _reset(machine, frozenset(), at_once)
    machine.operated = left_alone
    return tuple(name for name in machine.rest(at_once=at_once).alive if name not in before.alive)
