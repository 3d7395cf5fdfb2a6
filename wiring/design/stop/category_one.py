"""What a stop of category 1 does before its power goes: for how long power stays, and what tells each drive to brake.

The drive must be brought to rest while it still has power (IEC 60204-1, 9.2.2). Asked of the network at the moment at
which the stop is worked: what a delay holds is still in, whatever else hangs on the stop has fallen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.motor.drive_ratings import asked_work
from wiring.design.stop.hazards import drives_of, run_inputs
from wiring.design.stop.records import StopResult
from wiring.design.stop.stopping import Stopping
from wiring.design.switching.dependence import depends_on
from wiring.design.switching.reachable import Reachability, Stand
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Function, Input, Logic, Switch
from wiring.parts.motors import Brake, Motor, ServoMotor, Shaft, StepperMotor
from wiring.parts.signals import IoCard
from wiring.solver.assembly import Actuator


class StopDelay(Struct, frozen=True):
    """A device that keeps power on for `delay_s` after a stop; the plan says that it is `stated_s`, None where not."""

    stop: str
    part: str
    key: str
    delay_s: float
    stated_s: float | None


class Untold(Struct, frozen=True):
    """A drive that a stop leaves in power for a while and does not tell to brake by a contact: `programs` hear of the
    stop and may tell it; none does where there are none. `inputs` are the run inputs that stay fed."""

    stop: str
    device: str
    motor: str
    drive: str
    inputs: tuple[str, ...]
    programs: tuple[str, ...]


def _late(result: StopResult) -> tuple[str, ...]:
    return tuple(dict.fromkeys(part for sound in result.sound for part in sound.late))


def stop_delays(stopping: Stopping) -> Iterator[StopDelay]:
    """Every delay on which the power of a category 1 stop rests, each once a stop."""
    machine = stopping.machine
    told: set[tuple[str, str]] = set()
    for result in stopping.by_logic.results.values():
        name = result.use.name
        if result.use.category != 1:
            continue
        late = _late(result)
        drives = [drive.name for part in late for drive in drives_of(machine.parts[part], machine.axes)]
        for part in sorted(depends_on(machine, (*late, *drives))):
            delay = _delay(machine.parts[part])
            if delay and (name, part) not in told and depends_on(machine, (part,)) & set(result.use.devices):
                told.add((name, part))
                yield StopDelay(name, part, *delay, machine.plan.stops[name].delay)


class Unable(Struct, frozen=True):
    """A drive that loses at once, at `lost`, what it needs to brake its motor in a stop of category 1: one whose torque
    `stays`, or whose motor runs on for `run_down_s`, longer than the stop waits. `by`: the contacts beside these."""

    stop: str
    motor: str
    drive: str
    lost: tuple[str, ...]
    by: tuple[str, ...]
    stays: bool
    run_down_s: float | None


def unable_drives(stopping: Stopping, reachable: Reachability) -> Iterator[Unable]:
    """Every drive that a category 1 stop robs of power, torque or logic before its time, once a stop."""
    machine = stopping.machine
    told: set[tuple[str, str]] = set()
    for result in stopping.by_logic.results.values():
        use, late = result.use, _late(result)
        delay = machine.plan.stops[use.name].delay
        for sound in result.sound if use.category == 1 else ():
            for motor in (name for name in sound.running if name not in sound.left):
                run_down = getattr(machine.parts[motor].data, "run_down", None)
                counts = motor in late or bool(delay and (run_down is None or run_down > delay))
                for drive in drives_of(machine.parts[motor], machine.axes) if counts else ():
                    stays = reachable.staying(((sound.device, "operator"),), frozenset())
                    lost = _lost_at_once(reachable, drive, (sound.device, "operator"), stays)
                    if lost and (use.name, drive.name) not in told:
                        told.add((use.name, drive.name))
                        by = _beside(machine, drive, lost, stays)
                        yield Unable(use.name, motor, drive.name, lost, by, motor in late, run_down)


def _lost_at_once(reachable: Reachability, part: Part, worked: Actuator, stays: frozenset[Actuator]) -> tuple[str, ...]:
    """The terminals of a part that are fed in running, and not any more once a device is worked."""
    pairs = [(one.a, one.b) for one in part.of(Input, Draw, Coil)]
    fed = [pair for pair in pairs if _is_fed(reachable, part, pair, reachable.everything, None)]
    return tuple(dict.fromkeys(pair[0] for pair in fed if not _is_fed(reachable, part, pair, stays, worked)))


def _beside(machine: Machine, part: Part, ends: Iterable[str], stays: frozenset[Actuator]) -> tuple[str, ...]:
    """The contacts beside some terminals that have opened."""
    edges = [edge for end in ends for edge in machine.nets.edges_at.get(machine.nets.of[part.name, end], ())]
    opened = (e for e in edges if isinstance(e.element, Switch) and (e.part, e.element.actuator) not in stays)
    return tuple(dict.fromkeys(edge.part for edge in opened if edge.part != part.name))


class EarlyBrake(Struct, frozen=True):
    """A brake that falls at once in a stop of category 1, while its motor keeps its torque for `delay_s`."""

    stop: str
    brake: str
    motor: str
    delay_s: float
    by: tuple[str, ...]


def early_brakes(stopping: Stopping, reachable: Reachability) -> Iterator[EarlyBrake]:
    """Every brake that closes on a motor that a stop leaves in torque for longer than the brake takes."""
    machine = stopping.machine
    told: set[tuple[str, str]] = set()
    brakes = [(part, part.data) for part in machine.parts.values() if isinstance(part.data, Brake)]
    for result in stopping.by_logic.results.values():
        use, late = result.use, _late(result)
        delay = machine.plan.stops[use.name].delay or 0.0
        for device in use.devices if use.category == 1 else ():
            stays = reachable.staying(((device, "operator"),), frozenset())
            for part, data in brakes:
                counts = data.holds in late and part.name not in late and delay > (data.apply or 0.0)
                lost = _lost_at_once(reachable, part, (device, "operator"), stays) if counts else ()
                if data.holds and lost and (use.name, part.name) not in told:
                    told.add((use.name, part.name))
                    yield EarlyBrake(use.name, part.name, data.holds, delay, _beside(machine, part, lost, stays))


class Ramp(Struct, frozen=True):
    """The least time in which a motor comes to rest by its greatest torque [s], from the highest speed of any state."""

    stop: str
    motor: str
    least_s: float


def least_ramps(stopping: Stopping) -> Iterator[Ramp]:
    """Of every motor of known inertia, speed and torque that a stop of category 1 brakes: t = J w / M."""
    machine = stopping.machine
    for result in stopping.by_logic.results.values():
        for name in _late(result) if result.use.category == 1 else ():
            data = machine.parts[name].data
            speeds = [work.speed for work in asked_work(stopping.operation, machine.parts[name]) if work.speed]
            torque = _greatest_torque(data) if isinstance(data, Shaft) else None
            if isinstance(data, Shaft) and speeds and torque and data.rotor_inertia and data.load_inertia:
                inertia = data.rotor_inertia + data.load_inertia
                yield Ramp(result.use.name, name, inertia * max(speeds) / torque)


def _greatest_torque(shaft: Shaft) -> float | None:
    """What a motor may brake with [N·m]: its peak torque, of an induction motor twice its rated one (IEC 60034-12:
    at least 1.6 to 2 times, from memory), of a stepper its holding torque; None where the plan does not say."""
    if isinstance(shaft, ServoMotor):
        return shaft.peak_torque
    if isinstance(shaft, StepperMotor):
        return shaft.holding_torque
    if isinstance(shaft, Motor) and shaft.max_speed:
        return 2.0 * shaft.rated_power / shaft.max_speed
    return None


def _delay(part: Part) -> tuple[str, float] | None:
    for key, seconds in (
        ("delay", max((unit.off_delay_s for unit in part.of(Logic)), default=0.0)),
        ("off_delay", max((coil.off_delay_s for coil in part.of(Coil)), default=0.0)),
    ):
        if seconds > 0.0:
            return key, seconds
    return None


def untold_drives(stopping: Stopping, reachable: Reachability) -> Iterator[Untold]:
    """Each drive of a category 1 stop that no contact tells to brake, for the first device that leaves it so."""
    machine = stopping.machine
    by_stop: dict[str, set[str]] = {}
    for result in stopping.by_logic.results.values():
        name = result.use.name
        told = by_stop.setdefault(name, set())
        for device in result.use.devices if result.use.category == 1 else ():
            worked = (device, "operator")
            for motor in _late(result):
                for drive in drives_of(machine.parts[motor], machine.axes):
                    if drive.name not in told and (one := _untold(reachable, name, worked, motor, drive)):
                        told.add(drive.name)
                        yield one


def _untold(reachable: Reachability, stop: str, worked: Actuator, motor: str, drive: Part) -> Untold | None:
    stays = reachable.staying((worked,), frozenset())
    pairs = [pair for pair in run_inputs(drive) if _is_fed(reachable, drive, pair, reachable.everything, None)]
    left = [pair for pair in pairs if _is_fed(reachable, drive, pair, stays, worked)]
    if pairs and not left:
        return None
    hearing = _hearing(reachable.machine, reachable.everything - stays | {worked})
    programs = frozenset(own for own in reachable.free if own[0] in hearing and own[1].startswith("output "))
    stays = reachable.staying((worked,), programs)
    still = [pair for pair in left if _is_fed(reachable, drive, pair, stays, worked)]
    by = hearing & _commanding(reachable.machine, drive) if not pairs else hearing if not still else set()
    inputs = tuple(a for a, _ in (still or left))
    return Untold(stop, worked[0], motor, drive.name, inputs, tuple(sorted(by)))


def _is_fed(
    reachable: Reachability, drive: Part, pair: tuple[str, str], may: frozenset[Actuator], worked: Actuator | None
) -> bool:
    held = frozenset((worked,)) if worked else frozenset[Actuator]()
    a, b = pair
    return reachable.joined((drive.name, a), (drive.name, b), Stand(may, held=held))


def _hearing(machine: Machine, moved: frozenset[Actuator]) -> set[str]:
    """The controllers of which an input is read through a contact that moves with the stop."""
    found = set()
    for part in machine.parts.values():
        if isinstance(part.data, IoCard):
            nets = machine.nets.spread({machine.nets.of[part.name, end] for end in part.data.inputs})
            edges = [
                e for net in nets if not machine.nets.is_at_source(net) for e in machine.nets.edges_at.get(net, ())
            ]
            if any(isinstance(e.element, Switch) and (e.part, e.element.actuator) in moved for e in edges):
                found.add(part.name)
    return found


def _commanding(machine: Machine, drive: Part) -> set[str]:
    """The controllers with an output at a signal input of a drive."""
    nets = {machine.nets.of[drive.name, end.name] for end in drive.terminals.values() if end.function is Function.INPUT}
    return {
        part.name
        for part in machine.parts.values()
        if isinstance(part.data, IoCard)
        for end in part.terminals.values()
        if end.function is Function.OUTPUT and machine.nets.of[part.name, end.name] in nets
    }
