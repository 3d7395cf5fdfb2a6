"""The complete stop proof: every single fault settled in numbers and tried in pairs; and stops with conductors away."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping

from msgspec.structs import replace

from wiring.control.fault_record import Fault
from wiring.control.faults import single_faults
from wiring.control.left_out import torque_off_inside, unit_inside
from wiring.control.screening import screen_faults
from wiring.control.settle import settle_all
from wiring.control.verdicts import Verdict
from wiring.design.stop.records import StopProof, StopResult, merged
from wiring.design.stop.stopping import Stopping
from wiring.design.stop.uses import FromRunning, results_of, together
from wiring.solver.settling import program_outputs

#: What is being done, how far it is, and of how much.
Progress = Callable[[str, int, int], None]
#: A fault that may be left out and is found so from one state is not tried from another one.
_TOLD = (Verdict.DANGEROUS, Verdict.UNDECIDED)


def dangerous_without(stopping: Stopping, conductors: Collection[str]) -> Mapping[str, frozenset[str]]:
    """By stop, the faults that logic finds dangerous with some conductors taken away."""
    edges = tuple(edge for edge in stopping.machine.lowered.edges if edge.id not in conductors)
    lowered = replace(stopping.machine.lowered, edges=edges)
    faults = [
        fault
        for fault in stopping.proof.faults
        if not {*fault.opened, *fault.subjects} & set(conductors) and not _is_inside(stopping, fault, conductors)
    ]
    results: dict[str, StopResult] = {}
    for one in stopping.from_states:
        if any(use.called in stopping.proof.results for use in one.uses):
            screenings = screen_faults(lowered, one.whole, faults)
            started = FromRunning(one.uses, screenings, one.running)
            results |= results_of([started], lowered, stopping.operation)[0]
    return {name: frozenset(one.fault.id for one in result.dangerous) for name, result in results.items()}


def _is_inside(stopping: Stopping, fault: Fault, conductors: Collection[str]) -> bool:
    """Whether a fault inside a bought unit may be left out once some conductors are away."""
    part = stopping.machine.parts.get(fault.subjects[0])
    if part is None or fault.kind not in ("weld", "held"):
        return False
    circuit = stopping.machine.circuit
    return bool(unit_inside(circuit, part, conductors) or torque_off_inside(circuit, part, conductors))


def full_proof(
    stopping: Stopping, stop: str | None = None, fault: str | None = None, progress: Progress | None = None
) -> StopProof:
    """The whole proof: every order of contacts, open questions and dangers in numbers, then pairs of faults.

    `stop` keeps to one stop, `fault` to one fault by its id.
    """
    running, net = stopping.from_states[0].running, None
    whole = together([use for use in stopping.from_states[0].uses if stop in (None, use.name)])
    if not whole.devices or not whole.targets:
        return StopProof((), {}, running, None, True)
    faults = single_faults(stopping.machine.circuit)
    results: dict[str, StopResult] = {}
    lowered = stopping.machine.lowered
    for one in stopping.unlike(results):
        found, orders = [use for use in one.uses if stop in (None, use.name)], one.unfaulted.orders
        told = {v.fault.id for r in results.values() for v in r.verdicts if v.fault.excluded and v.verdict in _TOLD}
        tried = [fault for fault in faults if fault.id not in told]
        screenings = screen_faults(lowered, together(found), tried, orders)
        results |= results_of([FromRunning(found, screenings, one.running, orders)], lowered, stopping.operation)[0]
        net = net or screenings[0].net
    settled = merged(_settled(stopping, result, fault, progress) for result in results.values())
    assumed = tuple(fault for fault in faults if not fault.excluded)
    left_out = tuple(fault for fault in faults if fault.excluded)
    return StopProof(assumed, settled, running, net, True, left_out)


def _settled(
    stopping: Stopping,
    result: StopResult,
    only: str | None,
    progress: Progress | None,
) -> StopResult:
    from wiring.control.pairs import next_faults, with_next

    use, running, found = result.use, result.running, []
    open_: list[tuple[str, str, str]] = []
    machine, orders = stopping.machine, stopping.from_state_of(result).unfaulted.orders
    programs = bool(program_outputs(machine.circuit))
    chosen = [one for one in result.verdicts if only in (None, one.fault.id)]
    told = f"stop {use.called}"
    step = _step(progress, f"{told}: settle")
    settled = settle_all(chosen, use, result.sound, running, programs, step, orders)
    rest = [one for one in result.verdicts if only not in (None, one.fault.id)]
    for sound in result.sound:
        mine, others = ([one for one in some if one.device == sound.device] for some in (settled, rest))
        step = _step(progress, f"{told}, {sound.device}: pairs")
        following = next_faults(running, use, sound, mine, others, step)
        found += with_next(mine, following.next)
        open_ += [(one.device, one.first.id, one.second.id) for one in following.open]
    return replace(result, verdicts=tuple(found), open_pairs=tuple(open_))


def _step(progress: Progress | None, what: str) -> Callable[[int, int], None] | None:
    return None if progress is None else lambda done, total: progress(what, done, total)
