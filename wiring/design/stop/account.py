"""The stop proof made ready to be told: stories of faults, the contacts that cut each hazard, energy that lingers."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from math import sqrt

from msgspec import Struct

from wiring.control.cut import cut_layers
from wiring.control.fault_record import Fault
from wiring.control.in_step import played
from wiring.control.net import build_net
from wiring.control.numeric_simulation import Snapshot, run_script
from wiring.control.script import Moment, StopUse
from wiring.control.settle import condition_of, danger_in
from wiring.control.sound import SoundStop, screen_sound, sound_stop
from wiring.control.story import story_circuit, tell
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.design.machine import Machine
from wiring.design.stop.groups import FaultGroup, fault_groups
from wiring.design.stop.records import StopProof, StopResult, tells_more
from wiring.design.stop.stopping import Stopping
from wiring.parts.bus import run_on_time
from wiring.parts.drives import Drive
from wiring.parts.elements import Draw
from wiring.rulebooks.limits import tabled
from wiring.solver.operating import OperatingPoint

#: Voltage below which a live part is taken as no longer dangerous to touch [V].
TOUCH_V = tabled("iec", "residual_voltage_max").value


class Told(Struct, frozen=True):
    """One fault with its verdict and the steps of its story; a hidden one is told with the first of its next faults."""

    verdict: FaultVerdict
    steps: tuple[str, ...]


class Lingering(Struct, frozen=True):
    """A drive whose bus stays charged: volts while it runs, times to lock-out and to the voltage of touch [s]."""

    drive: str
    bus_v: float
    lockout_v: float
    lockout_s: float
    touch_s: float


class StopAccount(Struct, frozen=True, dict=True):
    """One stop told: its faults gathered by what they lead to, and one by one; with `everything` the safe ones too."""

    result: StopResult
    proof: StopProof
    everything: bool

    @cached_property
    def groups(self) -> tuple[FaultGroup, ...]:
        """The faults that are not safe, by what they lead to."""
        return fault_groups(self.result, self._faults)

    @cached_property
    def told(self) -> tuple[Told, ...]:
        """Every fault that is told, with its story."""
        use, result = self.result.use, self.result
        by_id = {fault.id: fault for fault in self._faults}
        left_out = [one for word in (Verdict.DANGEROUS, Verdict.UNDECIDED) for one in result.of(word, excluded=True)]
        chosen = [*result.dangerous, *left_out, *result.undecided, *result.hidden]
        if self.everything:
            known = {one.fault.id for one in chosen}
            chosen += [one for one in result.of(Verdict.SAFE) if one.fault.id not in known]
            chosen += [one for one in result.of(Verdict.SAFE, excluded=True) if one.fault.id not in known]
        return tuple(Told(one, _story(result.running, use, one, by_id, self._sound[one.device])) for one in chosen)

    @cached_property
    def cuts(self) -> Mapping[str, tuple[tuple[str, ...], ...]]:
        """For each target the layers of contacts that cut it."""
        use, running = self.result.use, self.result.running
        stopped = self._sound[use.devices[0]][Moment.STOP].point
        return {target.name: cut_layers(running, stopped, target) for target in use.targets}

    def circuit_of(self, fault: str) -> frozenset[str]:
        """The conductors and contacts of the circuits that a fault keeps alive: targets, and coils that stay in."""
        one = next((told.verdict for told in self.told if told.verdict.fault.id == fault), None)
        if one is None:
            return frozenset()
        faults = _faults_told(one, {known.id: known for known in self._faults})
        use, running = self.result.use, self.result.running
        seen = run_script(running, use, one.device, faults, condition_of(one))
        moment = danger_in(seen)[0] or Moment.STOP
        return story_circuit(use, seen[moment], self._sound[one.device][moment], faults)

    @property
    def _faults(self) -> tuple[Fault, ...]:
        return (*self.proof.faults, *self.proof.left_out)

    @cached_property
    def _sound(self) -> Mapping[str, Mapping[Moment, Snapshot]]:
        use = self.result.use
        return {device: run_script(self.result.running, use, device, ()) for device in use.devices}


class Account(Struct, frozen=True):
    """Everything that a report of the proof prints. `guards` are guard switches that no stop names."""

    proof: StopProof
    stops: tuple[StopAccount, ...]
    guards: tuple[tuple[StopUse, SoundStop], ...]
    lingering: tuple[Lingering, ...]
    book: str


def account(stopping: Stopping, proof: StopProof, everything: bool = False) -> Account:
    """The account of a proof; `everything` tells safe faults as well."""
    stops = tuple(
        StopAccount(result, proof, everything)
        for result in proof.results.values()
        if result.says_more or not result.use.state
    )
    guards, lingering = _guards(stopping), _lingering(stopping.machine, proof.running)
    return Account(proof, stops, tuple(guards), tuple(lingering), stopping.machine.plan.rulebook)


def _story(
    running: OperatingPoint,
    use: StopUse,
    one: FaultVerdict,
    by_id: Mapping[str, Fault],
    sound: Mapping[Moment, Snapshot],
) -> tuple[str, ...]:
    faults = _faults_told(one, by_id)
    seen = run_script(running, use, one.device, faults, condition_of(one))
    moment, _ = danger_in(seen)
    return tell(use, one.device, faults, seen, sound, moment or Moment.STOP, condition_of(one))


def _faults_told(one: FaultVerdict, by_id: Mapping[str, Fault]) -> tuple[Fault, ...]:
    """The fault of a story, with the next one where it stays unseen."""
    if one.verdict is Verdict.HIDDEN and one.next and one.next[0] in by_id:
        return (one.fault, by_id[one.next[0]])
    return (one.fault,)


def _guards(stopping: Stopping) -> list[tuple[StopUse, SoundStop]]:
    """The guards that no stop names, each from every state that tells more of it than those before."""
    found: list[tuple[StopUse, SoundStop]] = []
    for use, running in stopping.unclaimed_guards():
        screen = played(screen_sound(build_net(stopping.machine.lowered, use.targets), use))
        for device in use.devices:
            sound = sound_stop(screen, use, device, running)
            before = [known for _, known in found if known.device == device]
            if not before or tells_more(sound, before):
                found.append((use, sound))
    return found


def _lingering(machine: Machine, running: OperatingPoint) -> list[Lingering]:
    found = []
    for part in machine.parts.values():
        data = part.data
        buses = [e for e in part.of(Draw) if e.name == "bus"]
        if not isinstance(data, Drive) or not data.bus_capacitance or not buses:
            continue
        bus = buses[0]
        volts = abs(running.between((part.name, bus.a), (part.name, bus.b), bus.kind))
        peak = 1.0 if bus.kind == "DC" else sqrt(2.0)
        load_w = float(getattr(data, "quiescent", 0.0))
        lockout_s, touch_s = (
            run_on_time(data.bus_capacitance, volts * peak, end_v, load_w) for end_v in (bus.lockout_v * peak, TOUCH_V)
        )
        found.append(Lingering(part.name, volts * peak, bus.lockout_v * peak, lockout_s, touch_s))
    return found
