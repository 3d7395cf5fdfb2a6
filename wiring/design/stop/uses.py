"""The stops of a plan as the proof works them: devices, start devices, and what each must make dead."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.alive import is_alive
from wiring.control.in_step import Steps, played, side_by_side
from wiring.control.inject import TOGETHER, Order
from wiring.control.net import build_net
from wiring.control.positions import in_positions, runs_at_rest
from wiring.control.screening import Screening
from wiring.control.script import StopUse, Target, operators_of, start_devices
from wiring.control.sound import SoundStop, screen_sound, sound_stop
from wiring.control.verdicts import FaultVerdict, at_worst, screened_verdicts
from wiring.control.without_volts import LetGo, WithoutVolts
from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.stop.hazards import brake_probes, brakes_of, is_commanded, probes_of
from wiring.design.stop.records import StopResult
from wiring.design.stop.running_states import worked_while_running
from wiring.design.stop.stops import targets as stop_targets
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Logic
from wiring.solver.lowering import Lowered
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import program_outputs


def targets_of(machine: Machine, parts: Sequence[Part]) -> tuple[Target, ...]:
    """The targets of parts: a motor by its drives, anything else by itself; the brake of an axis that falls as well."""
    found = [Target(part.name, probes_of(part, machine.axes), is_commanded(part, machine)) for part in parts]
    found += [Target(brake.name, brake_probes(brake)) for brake in brakes_of(machine.parts.values(), parts)]
    return tuple(target for target in found if target.probes)


def named_uses(machine: Machine, running: OperatingPoint, state: str = "") -> list[StopUse]:
    """The stops of a plan, each with the start devices that it names itself or that stand in its way, proved from the
    machine as it is `running` in a `state`."""
    worked = worked_while_running(machine, running)
    coils = {(part.name, coil.moves) for part, coil in machine.circuit.elements(Coil)}
    units = {(part.name, unit.outputs) for part, unit in machine.circuit.elements(Logic)}
    out = (frozenset(coils | units) - running.attracted) | (program_outputs(machine.circuit) - running.position.moved)
    found = []
    operators = operators_of(machine.circuit)
    stop_devices = tuple(device for stop in machine.plan.stops.values() for device in stop.devices)
    for name, stop in machine.plan.stops.items():
        devices = tuple(device for device in stop.devices if device in machine.parts)
        targets = targets_of(machine, stop_targets(machine.circuit, stop))
        starts = start_devices(machine.circuit, stop.reset, stop_devices)
        resets = (stop.reset,) if stop.reset and stop.reset in machine.parts else ()
        held = machine.circuit.hold_to_run & set(devices)
        found.append(
            StopUse(
                name,
                stop.category,
                devices,
                starts,
                targets,
                operators,
                worked,
                resets,
                out=out,
                let_go=held,
                state=state,
            )
        )
    return found


def together(found: Sequence[StopUse]) -> StopUse:
    """All stops as one, so that one run of the screen serves them all."""
    targets = {target.name: target for use in found for target in use.targets}
    devices = tuple(dict.fromkeys(device for use in found for device in use.devices))
    starts = tuple(dict.fromkeys(start for use in found for start in use.starts))
    resets = tuple(dict.fromkeys(reset for use in found for reset in use.resets))
    whole = StopUse("", 0, devices, starts, tuple(targets.values()), resets=resets)
    if not found:
        return whole
    first = found[0]
    return replace(
        whole,
        operators=first.operators,
        worked=first.worked,
        apart=first.apart,
        out=first.out,
        let_go=frozenset().union(*(use.let_go for use in found)),
        state=first.state,
    )


def unfed(operation: Operation, use: StopUse) -> tuple[str, ...]:
    """The targets that no state feeds."""
    points = operation.proved.values()
    return tuple(target.name for target in use.targets if not any(is_alive(target, point) for point in points))


def _verdicts(
    screening: Screening, use: StopUse, sounds: Sequence[SoundStop], orders: Sequence[Order], let_go: LetGo
) -> Steps[dict[str, list[FaultVerdict]]]:
    """The verdicts by device, each fault coming while the machine runs or with the stop in, as is worse."""
    net = screening.net

    def early() -> Steps[dict[str, list[FaultVerdict]]]:
        screened = {sound.device: screened_verdicts(screening, use, sound) for sound in sounds}
        at_rest = yield from runs_at_rest(net, use, screened, sounds, orders[0])
        return (yield from in_positions(net, use, at_rest, sounds, orders, let_go=let_go))

    screened = {sound.device: screened_verdicts(screening, use, sound, while_stopped=True) for sound in sounds}
    later = in_positions(net, use, screened, sounds, orders, while_stopped=True, let_go=let_go)
    both = yield from side_by_side([early(), later])
    return {
        device: [at_worst(*pair) for pair in zip(some, both[1][device], strict=True)]
        for device, some in both[0].items()
    }


class FromRunning(Struct, frozen=True):
    """The stops as they are proved from one `running` machine, with the screenings of its faults."""

    uses: Sequence[StopUse]
    screenings: Sequence[Screening]
    running: OperatingPoint
    orders: Sequence[Order] = (TOGETHER,)


class _Proved(Struct, frozen=True):
    """Stops that differ in name alone, `n` of the running machines that they are proved from, and what they do there on
    the sound machine."""

    n: int
    one: FromRunning
    uses: Sequence[StopUse]
    sound: tuple[SoundStop, ...]

    @property
    def use(self) -> StopUse:
        """Any of them."""
        return self.uses[0]


def _proved(found: Sequence[FromRunning], lowered: Lowered) -> Iterator[_Proved]:
    """All stops with devices and targets, on the sound machine."""
    wholes = [together(one.uses) for one in found]
    screens = played(
        side_by_side(
            [
                screen_sound(build_net(lowered, whole.targets), whole, one.orders)
                for one, whole in zip(found, wholes, strict=True)
            ]
        )
    )
    for n, (one, screen) in enumerate(zip(found, screens, strict=True)):
        alike: dict[StopUse, list[StopUse]] = {}
        for use in one.uses:
            if use.devices and use.targets:
                alike.setdefault(use.unnamed, []).append(use)
        for uses in alike.values():
            yield _Proved(
                n, one, uses, tuple(sound_stop(screen, uses[0], device, one.running) for device in uses[0].devices)
            )


def results_of(found: Sequence[FromRunning], lowered: Lowered, operation: Operation) -> list[dict[str, StopResult]]:
    """For each of the running machines the verdicts stop by stop, all of them searched in step; stops without devices
    or targets are left out."""
    proved = list(_proved(found, lowered))
    searched = iter(
        played(
            side_by_side(
                [
                    _verdicts(
                        screening,
                        each.use,
                        each.sound,
                        each.one.orders,
                        WithoutVolts(screening.net, lowered, each.use, each.one.running).of,
                    )
                    for each in proved
                    for screening in each.one.screenings
                ]
            )
        )
    )
    results: list[dict[str, StopResult]] = [{} for _ in found]
    for each in proved:
        screened = [next(searched) for _ in each.one.screenings]
        verdicts = tuple(verdict for one in each.sound for by_device in screened for verdict in by_device[one.device])
        for use in each.uses:
            results[each.n][use.called] = StopResult(use, each.sound, verdicts, each.one.running, unfed(operation, use))
    return [
        {use.called: some[use.called] for use in one.uses if use.called in some}
        for one, some in zip(found, results, strict=True)
    ]
