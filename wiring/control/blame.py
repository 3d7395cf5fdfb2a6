"""Which conductor is to blame for a dangerous fault: without it the machine still runs and its stop bears the fault."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from wiring.circuit.roles import is_earth_point
from wiring.control.bits import places
from wiring.control.fault_record import Fault
from wiring.control.inject import Case, alike
from wiring.control.net import Net, build_net
from wiring.control.parallel_fault_simulation import ParallelSimulation, SimulationResult
from wiring.control.script import MUST_BE_DEAD, Moment, StopUse
from wiring.control.sound import SoundStop, alive_without_fault
from wiring.solver.lowering import Lowered


def conductors_to_blame(
    lowered: Lowered, use: StopUse, sound: SoundStop, dangerous: Sequence[Fault]
) -> Mapping[str, tuple[str, ...]]:
    """For each dangerous fault, by its id, the conductors without which it is not dangerous under one device.

    `dangerous` faults appear while the machine runs, with nobody at the other operators. One conductor stands for those
    in series with it. What earths is never to blame: taken off, it would hide the fault and leave metal live.
    """
    circuit = lowered.circuit
    breaks = [
        Fault(wire.id, "open", (wire.id,), "", "", opened=(wire.id,))
        for wire in circuit.conductors
        if wire.kind != "shield" and not any(is_earth_point(circuit, end) for end in wire.ends)
    ]
    net = build_net(lowered, use.targets, [*breaks, *dangerous])
    wires = list(alike(net, breaks).values())
    alone = [Case(sound.device, (wire,)) for wire in wires]
    runs = _running(net, sound, ParallelSimulation(net, alone, use).run(), len(alone)) if alone else 0
    both = [(fault, wires[n]) for fault in dangerous for n in places(runs)]
    found: dict[str, tuple[str, ...]] = {}
    if both:
        seen = ParallelSimulation(net, [Case(sound.device, pair) for pair in both], use).run()
        open_ = seen.unstable | seen.collapsing | _alive(net, use, sound, seen)
        for n in places(~open_ & ((1 << len(both)) - 1)):
            fault, wire = both[n]
            found[fault.id] = (*found.get(fault.id, ()), wire.id)
    return found


def _running(net: Net, sound: SoundStop, seen: SimulationResult, count: int) -> int:
    """The cases in which everything that ran still runs, and starts again."""
    runs = (1 << count) - 1
    for moment in (Moment.FAULT, Moment.AGAIN) if sound.again else (Moment.FAULT,):
        for target, (sure, _) in zip(net.targets, seen.seen[moment].targets, strict=True):
            runs &= sure if target.name in sound.running else runs
    return runs


def _alive(net: Net, use: StopUse, sound: SoundStop, seen: SimulationResult) -> int:
    """The cases in which a target may be alive that is not so without a fault."""
    taken, found = alive_without_fault(sound), 0
    for moment, name, perhaps in _rows(net, seen):
        if name not in taken[moment] and any(target.name == name for target in use.targets):
            found |= perhaps
    return found


def _rows(net: Net, seen: SimulationResult) -> Iterator[tuple[Moment, str, int]]:
    for moment in MUST_BE_DEAD:
        for target, (_, perhaps) in zip(net.targets, seen.seen[moment].targets, strict=True):
            yield moment, target.name, perhaps
