"""All faults at once: the sequence of a stop played in three-valued logic, one bit a case.

Every coil, contact and rail has two sets of cases: those in which it is surely on, and those in which it may be. What
is dead even where all that may conduct does conduct is safe; what is alive even where only the certain conducts is
dangerous; everything else is left to the numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.bits import OFF, On
from wiring.control.inject import Case
from wiring.control.net import Net
from wiring.control.script import Moment, Operator, StopUse, is_program
from wiring.control.settling_net import SettlingNet
from wiring.solver.assembly import Actuator


class MomentState(Struct, frozen=True):
    """What was seen at one moment: the cases in which each target is alive, surely and perhaps, and the cases in which
    each coil and unit is on. `early` is what the targets were before anything delayed had moved."""

    targets: tuple[On, ...]
    early: tuple[On, ...]
    coils: tuple[On, ...]


class SimulationResult(Struct, frozen=True, dict=True):
    """The sights by moment, the cases whose contacts never came to rest, those that a short circuit left open.

    `presses` start devices were pressed. `on_reset` are the cases in which
    each target started when the reset of the stop, and with it a unit, was pressed and let go.
    """

    seen: Mapping[Moment, MomentState]
    unstable: int
    collapsing: int
    presses: int
    on_reset: tuple[int, ...]

    def part(self, first: int, count: int) -> SimulationResult:
        """The same of `count` cases from the case number `first` on."""
        every = (1 << count) - 1

        def cut(on: On) -> On:
            return on[0] >> first & every, on[1] >> first & every

        seen = {
            moment: MomentState(*(tuple(map(cut, row)) for row in (sight.targets, sight.early, sight.coils)))
            for moment, sight in self.seen.items()
        }
        unstable, collapsing, *on_reset = (
            bits >> first & every for bits in (self.unstable, self.collapsing, *self.on_reset)
        )
        return SimulationResult(seen, unstable, collapsing, self.presses, tuple(on_reset))

    def answers(self, place: int) -> Hashable:
        """How every coil and target answers in a case: operators on which nothing hangs leave all of it as it is."""
        at, bit = place >> 3, place & 7
        octets, rows = self._octets
        if not octets or at >= len(octets[0]):  # nothing answers in this case or a later one
            return bytes(len(rows))
        unlike = bytes([eight[at] >> bit & 1 for eight in octets])
        if unlike not in self._answered:
            self._answered[unlike] = bytes([unlike[n] for n in rows])
        return self._answered[unlike]

    @cached_property
    def _answered(self) -> dict[bytes, bytes]:
        """Answers of all rows by those of the rows that differ: cases by the hundred answer alike."""
        return {}

    @cached_property
    def _octets(self) -> tuple[list[bytes], list[int]]:
        """The cases of everything that answers, eight in a byte: a single one is found without a shift of all. Each row
        that there is once, and for every row which of these it is."""
        rows = [bits for sight in self.seen.values() for on in (*sight.coils, *sight.targets) for bits in on]
        unlike = {bits: n for n, bits in enumerate(dict.fromkeys(rows))}
        length = (max([bits.bit_length() for bits in unlike], default=0) >> 3) + 1
        return [bits.to_bytes(length, "little") for bits in unlike], [unlike[bits] for bits in rows]


def _come_alive(before: tuple[On, ...], now: tuple[On, ...]) -> tuple[On, ...]:
    """What is alive and was dead before; a battery may carry on what was started, with the mains and without."""
    return tuple((sure & ~could, perhaps & ~was) for (was, could), (sure, perhaps) in zip(before, now, strict=True))


class ParallelSimulation(SettlingNet):
    """One net with a list of cases; `run` runs the sequence once.

    Where not all cases are of the same stop and state, `shares` gives the use of each and how many cases follow each
    other; hands, start devices and resets are those of `use`.
    """

    def __init__(
        self, net: Net, cases: Sequence[Case], use: StopUse, shares: Sequence[tuple[StopUse, int]] = ()
    ) -> None:
        super().__init__(net, cases)
        self.use = use
        self.worked: dict[Actuator, int] = {}
        self.out: dict[Actuator, int] = {}
        self.either: dict[Actuator, int] = {}
        self.let_go: dict[str, int] = {}
        first = 0
        for one, count in shares or ((use, len(cases)),):
            bits = ((1 << count) - 1) << first
            first += count
            for actuator in one.worked:
                self.worked[actuator] = self.worked.get(actuator, 0) | bits
            for actuator in one.out:
                self.out[actuator] = self.out.get(actuator, 0) | bits
            for actuator in one.either:
                self.either[actuator] = self.either.get(actuator, 0) | bits
            for device in one.let_go:
                self.let_go[device] = self.let_go.get(device, 0) | bits
        self.presses = 0
        self.on_reset = [0] * len(net.targets)
        self.hands = [one for one in use.operators if one.actuator in self.field.movers]

    def running(self) -> MomentState:
        """The running machine alone, before anything is done to it."""
        self._start()
        return self._sight()

    def run(self, *, until_running: bool = False) -> SimulationResult:
        """The whole sequence, from the running machine to the return of the mains; with every start device pressed, or
        only so many as it takes `until_running` in every case."""
        seen: dict[Moment, MomentState] = {}
        seen[Moment.RUN] = self.running()
        later = self.field.injected.while_stopped
        self._appear(self.all & ~later)
        seen[Moment.FAULT] = self._sight()
        self._outputs(free=True)
        devices = self.field.injected.devices
        stop = {
            (device, "operator"): self._stopped((device, "operator"), self._base((device, "operator")))
            for device in devices
        }
        self._stop(stop)
        self._appear(later)
        seen[Moment.STOP] = self._sight()
        seen[Moment.TRIED] = self._tried() if self.hands else seen[Moment.STOP]
        self.stop_in = False
        known = {one.actuator for one in self.hands}
        self._press({(device, "operator"): OFF for device in devices if (device, "operator") not in known})
        self._stand(self._released)
        seen[Moment.RELEASE] = seen[Moment.HELD] = self._sight()
        seen[Moment.AGAIN] = self._restart(seen[Moment.RUN] if until_running else None)
        self._outputs(free=True)
        running = self.snapshot()
        self._stop(stop)
        seen[Moment.DEMAND] = self._sight()
        self.stop_in = False
        self.restore(running)
        before = seen[Moment.AGAIN]
        for on, moment in ((False, Moment.MAINS_OFF), (True, Moment.MAINS_ON)):
            self.field.mains, self.at_rest = on, False
            self._stand(self._left_alone)
            now = self._sight()
            seen[moment] = replace(now, targets=_come_alive(before.targets, now.targets))
            before = now
        return SimulationResult(seen, self.unstable, self.field.rails.collapsing, self.presses, tuple(self.on_reset))

    def _stop(self, worked: Mapping[Actuator, On]) -> None:
        self.stop_in = True
        self._press(worked)

    # Operators beside the stop.

    def _base(self, actuator: Actuator) -> On:
        """An operator as it stands while the machine runs."""
        worked = self.worked.get(actuator, 0)
        return worked, worked

    def _in_hand(self, one: Operator) -> On:
        """An operator as each case has it while the stop is in: the device of the case stays where it is put."""
        injected, actuator = self.field.injected, one.actuator
        base = self._base(actuator)[0]
        mine = injected.devices.get(actuator[0], 0)
        sure = base ^ injected.changed.get(actuator, 0)
        free = injected.free.get(actuator, 0) & ~mine
        return sure & ~free, sure | free

    def _left_alone(self, one: Operator) -> On:
        """The same when the hand has gone: what springs back is at rest, but where it is held."""
        sure, perhaps = self._in_hand(one)
        if not one.springs_back:
            return sure, perhaps
        held = self.field.injected.held
        return sure & held, perhaps & held

    def _stopped(self, actuator: Actuator, elsewhere: On) -> On:
        """An operator that calls for the stop in its own cases, and stands in the others as it is given `elsewhere`."""
        mine = self.field.injected.devices.get(actuator[0], 0)
        stop = mine & ~self.let_go.get(actuator[0], 0)
        return elsewhere[0] & ~mine | stop, elsewhere[1] & ~mine | stop

    def _released(self, one: Operator) -> On:
        """An operator that is left alone while the stop is released; held to run, it stays let go in its own cases."""
        sure, perhaps = self._left_alone(one)
        mine = self.field.injected.devices.get(one.actuator[0], 0) & self.let_go.get(one.actuator[0], 0)
        return sure & ~mine, perhaps & ~mine

    def _stand(self, where: Callable[[Operator], On]) -> None:
        self._press({one.actuator: where(one) for one in self.hands})

    def _tried(self) -> MomentState:
        """Every other operator worked while the stop is in, then let go."""

        def both(where: Callable[[Operator], On]) -> Callable[[Operator], On]:
            return lambda one: self._stopped(one.actuator, where(one))

        self._stand(both(self._in_hand))
        sight = self._sight()
        self._stand(both(self._left_alone))
        return sight

    def _restart(self, until: MomentState | None) -> MomentState:
        """The start devices pressed and let go one after the other, all of them or until everything runs again."""
        for device in self.use.starts or ("",):
            if device in self.use.resets:
                self._reset(device)
            else:
                self._hands_and_programs_on()
                self._push(device)
            self.presses += 1
            self._hands_and_programs_on()
            if until and all(not was[1] & ~now[0] for now, was in zip(self.targets(), until.targets, strict=True)):
                break
        return self._sight()

    def _push(self, device: str) -> None:
        """A button pressed and let go."""
        self._press({(device, "operator"): (self.all, self.all)})
        self._press({(device, "operator"): OFF})

    def _reset(self, device: str) -> None:
        """The reset pressed and let go, no hand on anything else, no program asking: does that start anything?"""
        self._outputs(free=True)
        self._stand(self._unhanded)
        before, closed = self.targets(), self._units_on(1)
        self._push(device)
        taken = self._units_on(0) & ~closed
        rows = zip(self.on_reset, before, self.targets(), strict=True)
        self.on_reset = [found | now[0] & ~was[1] & taken for found, was, now in rows]

    def _hands_and_programs_on(self) -> None:
        """Operators and outputs as the running machine has them."""
        self._outputs(free=False)
        self._stand(lambda one: self._base(one.actuator))

    def _units_on(self, half: int) -> int:
        """The cases in which the outputs of any unit are closed: surely (0) or perhaps (1)."""
        found = 0
        for unit in self.net.units:
            found |= self.field.on.get(unit.outputs, OFF)[half]
        return found

    def _unhanded(self, one: Operator) -> On:
        """An operator as the running machine has it, with no hand on it."""
        return OFF if one.springs_back else self._base(one.actuator)

    def _start(self) -> None:
        """The running machine: everything attracted but what is out, perhaps what is in or out; what cannot stay so has
        fallen out."""
        here = self.field
        for actuator in [coil.actuator for coil in self.net.coils] + [unit.outputs for unit in self.net.units]:
            here.set(actuator, *self._in_at_work(actuator))
        self._outputs(free=False)
        for one in self.hands:
            here.set(one.actuator, *self._base(one.actuator))
        here.start()
        self.settle()

    def _appear(self, cases: int) -> None:
        if cases:
            self.field.appear(cases)
            self.settle()

    def _in_at_work(self, actuator: Actuator) -> On:
        """Something as it is while the machine runs: in, but in the cases where it is out, or perhaps so."""
        there = self.all & ~self.out.get(actuator, 0)
        return there & ~self.either.get(actuator, 0), there

    def _outputs(self, *, free: bool) -> None:
        """Outputs of programs as the running machine has them, or `free` for their worst while it is stopped."""
        for actuator in self.field.movers:
            where = (0, self.all) if free else self._in_at_work(actuator)
            if is_program(actuator[1]) and self.field.set(actuator, *where):
                self.at_rest = False

    def _press(self, operators: Mapping[Actuator, On]) -> None:
        for actuator, (sure, perhaps) in operators.items():
            if self.field.set(actuator, sure, perhaps):
                self.at_rest = False
        if not self.at_rest:
            self.field.move()
            self.settle()

    def _sight(self) -> MomentState:
        here = self.field
        coils = [coil.actuator for coil in self.net.coils] + [unit.outputs for unit in self.net.units]
        return MomentState(self.targets(), self.early, tuple(here.on.get(actuator, OFF) for actuator in coils))
