"""The stop proof of a plan: which stops there are, what each must make dead, and what every single fault does to it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from wiring.control.alive import is_alive
from wiring.control.faults import Fault, single_faults
from wiring.control.inject import ORDERS, alike
from wiring.control.net import Net
from wiring.control.screening import Screening, Unfaulted, screen_faults, screen_unfaulted
from wiring.control.script import StopUse, Target, start_devices
from wiring.control.settle import settle_all
from wiring.control.verdicts import FaultVerdict, SoundStop, Verdict, screened_verdicts, sound_stop
from wiring.design.hazards import brake_probes, brakes_of, hazards, probes_of
from wiring.design.stops import targets as stop_targets
from wiring.parts.base import Part
from wiring.parts.operators import GuardSwitch
from wiring.parts.switching import Coiled
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import program_outputs

if TYPE_CHECKING:
    from wiring.design.design import Design

#: What is being done, how far it is, and of how much.
Progress = Callable[[str, int, int], None]


@dataclass(frozen=True)
class StopResult:
    """One stop: its devices on the sound machine, and the verdict on every fault under every device."""

    use: StopUse
    sound: tuple[SoundStop, ...]
    verdicts: tuple[FaultVerdict, ...]

    def of(self, word: Verdict, *, excluded: bool = False) -> tuple[FaultVerdict, ...]:
        """The faults with a verdict, each once with the first device that shows it."""
        found: dict[str, FaultVerdict] = {}
        for one in self.verdicts:
            if one.verdict is word and bool(one.fault.excluded) is excluded:
                found.setdefault(one.fault.id, one)
        return tuple(found.values())

    @cached_property
    def dangerous(self) -> tuple[FaultVerdict, ...]:
        """Faults that must be assumed and defeat the stop."""
        return self.of(Verdict.DANGEROUS)

    @cached_property
    def hidden(self) -> tuple[FaultVerdict, ...]:
        """Faults that must be assumed, leave the stop working and stay unseen, and the next fault is dangerous; without
        those dangerous elsewhere. Known of a complete proof only."""
        return self._lesser(Verdict.HIDDEN)

    @cached_property
    def unseen(self) -> tuple[FaultVerdict, ...]:
        """Faults that must be assumed, leave the stop working and stay unseen, as far as logic tells; second faults are
        not tried."""
        return self._lesser(Verdict.UNSEEN)

    def _lesser(self, word: Verdict) -> tuple[FaultVerdict, ...]:
        worse = {one.fault.id for one in self.dangerous}
        return tuple(one for one in self.of(word) if one.fault.id not in worse)

    @cached_property
    def undecided(self) -> tuple[FaultVerdict, ...]:
        """Faults on which neither logic nor numbers give a verdict."""
        return self.of(Verdict.UNDECIDED) + self.of(Verdict.UNDECIDED, excluded=True)


@dataclass(frozen=True)
class StopProof:
    """The proof of every stop of a plan. `complete`: open questions are settled in numbers, and pairs tried."""

    faults: tuple[Fault, ...]
    results: Mapping[str, StopResult]
    running: OperatingPoint
    net: Net | None = None
    complete: bool = False


def targets_of(design: Design, parts: Sequence[Part]) -> tuple[Target, ...]:
    """The targets of parts: a motor by its drives, anything else by itself; the brake of an axis that falls as well."""
    found = [Target(part.name, probes_of(part, design.axes)) for part in parts]
    found += [Target(brake.name, brake_probes(brake)) for brake in brakes_of(design.parts.values(), parts)]
    return tuple(target for target in found if target.probes)


def uses(design: Design) -> tuple[StopUse, ...]:
    """The stops of a plan as the proof works them, each with the start devices that the whole machine needs."""
    return tuple(replace(use, starts=design.unfaulted.starts) for use in _named(design))


def _named(design: Design) -> list[StopUse]:
    found = []
    stop_devices = tuple(device for stop in design.plan.stops.values() for device in stop.devices)
    for name, stop in design.plan.stops.items():
        devices = tuple(device for device in stop.devices if device in design.parts)
        targets = targets_of(design, stop_targets(design.circuit, stop))
        starts = start_devices(design.circuit, stop.reset, stop_devices)
        found.append(StopUse(name, stop.category, devices, starts, targets))
    return found


def unfaulted(design: Design) -> Unfaulted:
    """The machine without a fault: unrest of its contacts, and the start devices that it needs after a stop."""
    whole = together(_named(design))
    if not whole.devices or not whole.targets:
        return Unfaulted((), whole.starts)
    return screen_unfaulted(design.lowered, whole)


def unclaimed_guards(design: Design) -> StopUse | None:
    """The guard switches that no stop names, worked on everything that can hurt; None when there are none."""
    claimed = {device for stop in design.plan.stops.values() for device in stop.devices}
    guards = tuple(
        name for name, part in design.parts.items() if isinstance(part.data, GuardSwitch) and name not in claimed
    )
    targets = targets_of(design, hazards(design.circuit))
    return StopUse("guards", 0, guards, design.unfaulted.starts, targets) if guards else None


def together(found: Sequence[StopUse]) -> StopUse:
    """All stops as one, so that one run of the screen serves them all."""
    targets = {target.name: target for use in found for target in use.targets}
    devices = tuple(dict.fromkeys(device for use in found for device in use.devices))
    starts = tuple(dict.fromkeys(start for use in found for start in use.starts))
    return StopUse("", 0, devices, starts, tuple(targets.values()))


def running_point(design: Design, targets: Sequence[Target]) -> OperatingPoint:
    """The state in which most targets are alive: the worst moment for a stop."""
    counts = {name: sum(is_alive(target, point) for target in targets) for name, point in design.states.items()}
    return design.states[max(counts, key=lambda name: (counts[name], name))]


def screened_proof(design: Design) -> StopProof:
    """The proof as far as logic carries it: quick enough for every check. Faults that may be left out are left out."""
    found = uses(design)
    whole = together(found)
    running = running_point(design, whole.targets)
    if not whole.devices or not whole.targets:
        return StopProof((), {}, running)
    faults = tuple(fault for fault in single_faults(design.circuit) if not fault.excluded)
    screenings = screen_faults(design.lowered, whole, faults)
    return StopProof(faults, _results(found, screenings, running), running, screenings[0].net)


def dangerous_without(design: Design, conductors: Collection[str]) -> Mapping[str, frozenset[str]]:
    """By stop, the faults that logic finds dangerous with some conductors taken away."""
    found = uses(design)
    edges = tuple(edge for edge in design.lowered.edges if edge.id not in conductors)
    lowered = replace(design.lowered, edges=edges)
    faults = [fault for fault in design.stop_proof.faults if not {*fault.opened, *fault.subjects} & set(conductors)]
    screenings = screen_faults(lowered, together(found), faults)
    results = _results(found, screenings, design.stop_proof.running)
    return {name: frozenset(one.fault.id for one in result.dangerous) for name, result in results.items()}


def _results(
    found: Sequence[StopUse], screenings: Sequence[Screening], running: OperatingPoint
) -> dict[str, StopResult]:
    results = {}
    for use in found:
        if not use.devices or not use.targets:
            continue
        sound = tuple(sound_stop(screenings[0], use, device, running) for device in use.devices)
        verdicts = [
            verdict for one in sound for screening in screenings for verdict in screened_verdicts(screening, use, one)
        ]
        results[use.name] = StopResult(use, sound, tuple(verdicts))
    return results


def hidden_welds(design: Design) -> dict[str, dict[str, tuple[str, ...]]]:
    """By stop, contacts of contactors and relays that may fail closed unseen: ids of faults, each with those of the
    next ones that are then dangerous. The same as the hidden faults of a complete proof, tried for these alone."""
    from wiring.control.pairs import Trial, dangerous

    proof, net = design.stop_proof, design.stop_proof.net
    if net is None:
        return {}
    found: dict[str, dict[str, tuple[str, ...]]] = {}
    for name, result in proof.results.items():
        trials = []
        for sound in result.sound:
            mine = {one.fault.id: one for one in result.verdicts if one.device == sound.device}
            welds = [one for one in mine.values() if _is_weld(design, one) and _carries(mine, one)]
            firsts = alike(net, [one.fault for one in welds if one.runs])
            seconds = alike(net, [one.fault for one in welds])
            trials += [
                Trial(sound.device, first, second)
                for first in firsts.values()
                for second in seconds.values()
                if first.subjects != second.subjects
            ]
        known: dict[str, tuple[str, ...]] = {}
        for trial in dangerous(net, result.use, trials):
            known[trial.first.id] = tuple(dict.fromkeys((*known.get(trial.first.id, ()), trial.second.id)))
        if known:
            found[name] = known
    return found


def _carries(verdicts: Mapping[str, FaultVerdict], one: FaultVerdict) -> bool:
    """Whether anything that counts hangs on a contact or device: it answers otherwise when that stays open."""
    kind, name = one.fault.id.split(":", 1)
    opposite = verdicts.get(f"{'stay' if kind == 'weld' else 'dead'}:{name}")
    return opposite is None or opposite.traced or not opposite.runs


def unseen_welds(design: Design) -> dict[str, dict[str, tuple[str, ...]]]:
    """The same by part: contactors and relays, each with those whose failing next is dangerous."""
    part_of = {fault.id: fault.subjects[0] for fault in design.stop_proof.faults}
    found: dict[str, dict[str, tuple[str, ...]]] = {}
    for name, welds in design.hidden_welds.items():
        parts: dict[str, set[str]] = {}
        for first, seconds in welds.items():
            parts.setdefault(part_of[first], set()).update(part_of[second] for second in seconds)
        found[name] = {part: tuple(sorted(others)) for part, others in parts.items()}
    return found


def _is_weld(design: Design, one: FaultVerdict) -> bool:
    """Whether a contactor or relay fails closed, and the stop bears it."""
    fails = one.fault.kind in ("weld", "held") and one.verdict in (Verdict.SAFE, Verdict.UNSEEN)
    return fails and isinstance(design.parts[one.fault.subjects[0]].data, Coiled)


def full_proof(
    design: Design, stop: str | None = None, fault: str | None = None, progress: Progress | None = None
) -> StopProof:
    """The whole proof: every order of contacts, open questions and dangers in numbers, then pairs of faults.

    `stop` keeps to one stop, `fault` to one fault by its id.
    """
    found = [use for use in uses(design) if stop in (None, use.name)]
    whole = together(found)
    running = running_point(design, whole.targets)
    if not whole.devices or not whole.targets:
        return StopProof((), {}, running, None, True)
    faults = single_faults(design.circuit)
    screenings = screen_faults(design.lowered, whole, faults, ORDERS)
    results = {
        name: _settled(design, result, running, fault, progress)
        for name, result in _results(found, screenings, running).items()
    }
    return StopProof(faults, results, running, screenings[0].net, True)


def _settled(
    design: Design, result: StopResult, running: OperatingPoint, only: str | None, progress: Progress | None
) -> StopResult:
    from wiring.control.pairs import next_faults, with_next

    use, found = result.use, []
    programs = bool(program_outputs(design.circuit))
    chosen = [one for one in result.verdicts if only in (None, one.fault.id)]
    told = f"stop {use.name}"
    settled = settle_all(chosen, use, result.sound, running, programs, _step(progress, f"{told}: settle"))
    rest = [one for one in result.verdicts if only not in (None, one.fault.id)]
    for sound in result.sound:
        mine, others = ([one for one in some if one.device == sound.device] for some in (settled, rest))
        step = _step(progress, f"{told}, {sound.device}: pairs")
        found += with_next(mine, next_faults(design.lowered, use, sound.device, mine, others, step))
    return replace(result, verdicts=tuple(found))


def _step(progress: Progress | None, what: str) -> Callable[[int, int], None] | None:
    return None if progress is None else lambda done, total: progress(what, done, total)
