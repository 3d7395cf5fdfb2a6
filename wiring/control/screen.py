"""All faults at once: the sequence of a stop played in three-valued logic, one bit a case.

Every coil, contact and rail has two sets of cases: those in which it is surely on, and those in which it may be. What
is dead even where all that may conduct does conduct is safe; what is alive even where only the certain conducts is
dangerous; everything else is left to the numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field

from wiring.control.bits import mask
from wiring.control.field import Field
from wiring.control.inject import Case
from wiring.control.net import Net, Unit
from wiring.control.rails import OFF, On
from wiring.control.script import Moment, Operator, StopUse, is_program
from wiring.solver.assembly import Actuator

#: Rounds after which contacts that still move are taken never to come to rest.
_ROUNDS = 32
_EVENTS = 4


@dataclass(frozen=True, slots=True)
class Sight:
    """What was seen at one moment: the cases in which each target is alive, surely and perhaps, and the cases in which
    each coil and unit is on. `early` is what the targets were before anything delayed had moved."""

    targets: tuple[On, ...]
    early: tuple[On, ...]
    coils: tuple[On, ...]


@dataclass(frozen=True)
class Screened:
    """The sights by moment, the cases whose contacts never came to rest, those that a short circuit left open.

    `presses` start devices were pressed until everything ran again, or all there are. `on_reset` are the cases in which
    each target started when the reset of the stop, and with it a unit, was pressed and let go.
    """

    seen: Mapping[Moment, Sight]
    unstable: int
    collapsing: int
    presses: int
    on_reset: tuple[int, ...]

    def answers(self, place: int) -> Hashable:
        """How every coil and target answers in a case: operators on which nothing hangs leave all of it as it is."""
        return tuple(
            (sure >> place & 1, perhaps >> place & 1)
            for sight in self.seen.values()
            for sure, perhaps in (*sight.coils, *sight.targets)
        )


@dataclass(slots=True)
class _Memory:
    """What units remember between moments: the reset as it was, and channels that were open while the outputs were."""

    pressed: dict[Actuator, On] = field(default_factory=dict)
    opened: dict[Actuator, On] = field(default_factory=dict)


class Screen:
    """One net with a list of cases; `play` runs the sequence once."""

    def __init__(self, net: Net, cases: Sequence[Case], use: StopUse) -> None:
        self.net, self.use = net, use
        orders: dict[Actuator, list[int]] = {}
        for n, case in enumerate(cases):
            if case.order is not None:
                orders.setdefault(case.order, []).append(n)
        self.faster = {actuator: mask(held, len(cases)) for actuator, held in orders.items()}
        self.field = Field(net, cases)
        self.all = self.field.all
        self.memory = _Memory()
        self.unstable = 0
        self.early: tuple[On, ...] = ()
        self.presses = 0
        self.on_reset = [0] * len(net.targets)
        self.hands = [one for one in use.operators if one.actuator in self.field.movers]

    def play(self) -> Screened:
        """The whole sequence, from the running machine to the return of the mains."""
        seen: dict[Moment, Sight] = {}
        self._start()
        seen[Moment.RUN] = self._sight()
        self._appear()
        seen[Moment.FAULT] = self._sight()
        self._outputs(0)
        devices = self.field.injected.devices
        self._press({(device, "operator"): (bits, bits) for device, bits in devices.items()})
        seen[Moment.STOP] = self._sight()
        seen[Moment.TRIED] = self._tried() if self.hands else seen[Moment.STOP]
        known = {one.actuator for one in self.hands}
        self._press({(device, "operator"): OFF for device in devices if (device, "operator") not in known})
        self._stand(self._left_alone)
        seen[Moment.RELEASE] = seen[Moment.HELD] = self._sight()
        seen[Moment.AGAIN] = self._restart(seen[Moment.RUN])
        self._outputs(0)
        for on, moment in ((False, Moment.MAINS_OFF), (True, Moment.MAINS_ON)):
            self.field.mains = on
            self._stand(self._left_alone)
            seen[moment] = self._sight()
        return Screened(seen, self.unstable, self.field.rails.collapsing, self.presses, tuple(self.on_reset))

    # Operators beside the stop.

    def _base(self, actuator: Actuator) -> On:
        """An operator as it stands while the machine runs."""
        return (self.all, self.all) if actuator in self.use.worked else OFF

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

    def _stand(self, where: Callable[[Operator], On]) -> None:
        self._press({one.actuator: where(one) for one in self.hands})

    def _tried(self) -> Sight:
        """Every other operator worked while the stop is in, then let go."""
        worked = self.field.injected.devices
        stopped = {device: (bits, bits) for device, bits in worked.items()}

        def both(where: Callable[[Operator], On]) -> Callable[[Operator], On]:
            def at(one: Operator) -> On:
                sure, perhaps = where(one)
                bits = stopped.get(one.actuator[0], OFF)[0]
                return sure | bits, perhaps | bits

            return at

        self._stand(both(self._in_hand))
        sight = self._sight()
        self._stand(both(self._left_alone))
        return sight

    def _restart(self, running: Sight) -> Sight:
        """The start devices pressed and let go one after the other, until everything runs again in every case."""
        for device in self.use.starts or ("",):
            if device in self.use.resets:
                self._reset(device)
            else:
                self._hands_and_programs_on()
                self._push(device)
            self.presses += 1
            self._hands_and_programs_on()
            if all(not was[1] & ~now[0] for now, was in zip(self._targets(), running.targets, strict=True)):
                break
        return self._sight()

    def _push(self, device: str) -> None:
        """A button pressed and let go."""
        self._press({(device, "operator"): (self.all, self.all)})
        self._press({(device, "operator"): OFF})

    def _reset(self, device: str) -> None:
        """The reset pressed and let go, no hand on anything else, no program asking: does that start anything?"""
        self._outputs(0)
        self._stand(self._unhanded)
        before, closed = self._targets(), self._units_on(1)
        self._push(device)
        taken = self._units_on(0) & ~closed
        rows = zip(self.on_reset, before, self._targets(), strict=True)
        self.on_reset = [found | now[0] & ~was[1] & taken for found, was, now in rows]

    def _hands_and_programs_on(self) -> None:
        """Operators and outputs as the running machine has them."""
        self._outputs(self.all)
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
        """The running machine: everything attracted, and what cannot stay so has fallen out."""
        here = self.field
        for actuator in [coil.actuator for coil in self.net.coils] + [unit.outputs for unit in self.net.units]:
            here.set(actuator, self.all, self.all)
        self._outputs(self.all)
        for one in self.hands:
            here.set(one.actuator, *self._base(one.actuator))
        here.start()
        self.settle()

    def _appear(self) -> None:
        here = self.field
        here.faulty = True
        for actuator in dict.fromkeys([*here.on, *here.injected.on, *here.injected.off]):
            here.set(actuator, *here.on.get(actuator, OFF))
        here.renew()
        here.move(())
        self.settle()

    def _outputs(self, sure: int) -> None:
        """Outputs of programs: on while the machine runs, in their worst position while it is stopped."""
        for actuator in self.field.movers:
            if is_program(actuator[1]):
                self.field.set(actuator, sure, self.all)

    def _press(self, operators: Mapping[Actuator, On]) -> None:
        for actuator, (sure, perhaps) in operators.items():
            self.field.set(actuator, sure, perhaps)
        self.field.move(self.field.movers)
        self.settle()

    def _sight(self) -> Sight:
        here = self.field
        coils = [coil.actuator for coil in self.net.coils] + [unit.outputs for unit in self.net.units]
        return Sight(self._targets(), self.early, tuple(here.on.get(actuator, OFF) for actuator in coils))

    def _targets(self) -> tuple[On, ...]:
        here, found = self.field, []
        for target in self.net.targets:
            sure = perhaps = 0
            for pair, needs in target.pairs:
                fed, on = here.fed(pair), here.all_on(needs)
                sure, perhaps = sure | fed[0] & on[0], perhaps | fed[1] & on[1]
            found.append((sure, perhaps))
        return tuple(found)

    # Coming to rest.

    def settle(self) -> None:
        """Let contacts and coils come to rest, then the resets, then what is delayed."""
        delayed = any(coil.rises_late or coil.falls_late for coil in self.net.coils)
        delayed = delayed or any(unit.falls_late for unit in self.net.units)
        for late in (False, True) if delayed else (True,):
            self._come_to_rest(late)
            for _ in range(_EVENTS):
                if not self._resets():
                    break
                self._come_to_rest(late)
            if delayed and not late:
                self.early = self._targets()
        if not delayed:
            self.early = ()

    def _come_to_rest(self, late: bool) -> None:
        here, restless = self.field, 0
        moving: dict[Actuator, int] = {}
        rounds = _ROUNDS + (2 * len(self.net.coils) if self.faster else 0)
        for count in range(rounds):
            moved, restless = [], 0
            for actuator, (sure, perhaps) in self._ordered(self._wanted(late)).items():
                was = here.on.get(actuator, OFF)
                if here.set(actuator, sure, perhaps):
                    moved.append(actuator)
                    now = here.on[actuator]
                    change = (was[0] ^ now[0]) | (was[1] ^ now[1])
                    restless |= change
                    if count >= rounds // 2:
                        moving[actuator] = moving.get(actuator, 0) | change
            if not here.move(moved) and not moved:
                return
        self.unstable |= restless
        self._loosen(moving)

    def _loosen(self, moving: Mapping[Actuator, int]) -> None:
        """What never comes to rest may be on or off; everything that hangs on it follows, until nothing new is open."""
        here = self.field
        for _ in range(_ROUNDS):
            moved = []
            for actuator, change in moving.items():
                was = here.on.get(actuator, OFF)
                if here.set(actuator, was[0] & ~change, was[1] | change):
                    moved.append(actuator)
            for actuator, (sure, perhaps) in self._wanted(True).items():
                was = here.on.get(actuator, OFF)
                open_ = self.unstable
                if here.set(actuator, was[0] & (sure | ~open_), was[1] | perhaps & open_):
                    moved.append(actuator)
            if not here.move(moved) and not moved:
                return

    def _wanted(self, late: bool) -> dict[Actuator, On]:
        """What every coil and unit would be now; a delayed one stays as it is while `late` is False."""
        here = self.field
        wanted: dict[Actuator, On] = {}
        for coil in self.net.coils:
            sure, perhaps = here.fed(coil.pair)
            was = here.on.get(coil.actuator, OFF)
            if coil.falls_late and not late:
                sure, perhaps = sure | was[0], perhaps | was[1]
            if coil.rises_late and not late:
                sure, perhaps = sure & was[0], perhaps & was[1]
            wanted[coil.actuator] = (sure, perhaps)
        for unit in self.net.units:
            sure, perhaps = here.on.get(unit.outputs, OFF)
            if late or not unit.falls_late:
                on = here.all_on(unit.needs)
                sure, perhaps = sure & on[0], perhaps & on[1]
            wanted[unit.outputs] = (sure, perhaps)
        return wanted

    def _ordered(self, wanted: dict[Actuator, On]) -> dict[Actuator, On]:
        """What moves in this round: everything, but in a case with a faster coil that one alone, when it would."""
        here = self.field
        moves = dict.fromkeys(wanted, here.all)
        for actuator, cases in self.faster.items():
            (sure, perhaps), was = wanted[actuator], here.on.get(actuator, OFF)
            alone = ((sure ^ was[0]) | (perhaps ^ was[1])) & cases & ~self._stuck(actuator)
            if alone:
                moves = {other: bits if other == actuator else bits & ~alone for other, bits in moves.items()}
        held = {}
        for actuator, cases in moves.items():
            now, was = wanted[actuator], here.on.get(actuator, OFF)
            held[actuator] = was[0] & ~cases | now[0] & cases, was[1] & ~cases | now[1] & cases
        return held

    def _stuck(self, actuator: Actuator) -> int:
        """The cases in which a fault holds the actuator itself."""
        injected = self.field.injected
        held = injected.on.get(actuator, 0) | injected.off.get(actuator, 0) if self.field.faulty else 0
        return held & ~injected.soft

    # Resets.

    def _resets(self) -> bool:
        """Close the outputs of units that a reset releases now; True when any did."""
        here, moved = self.field, []
        for unit in self.net.units:
            ready, pressed = here.all_on(unit.needs), here.on.get(unit.reset, OFF)
            fire = self._fires(unit, pressed)
            was = here.on.get(unit.outputs, OFF)
            if here.set(unit.outputs, was[0] | fire[0] & ready[0], was[1] | fire[1] & ready[1]):
                moved.append(unit.outputs)
            self.memory.pressed[unit.outputs] = pressed[0] & ready[0], pressed[1] & ready[1]
        if moved:
            here.move(moved)
        return bool(moved)

    def _fires(self, unit: Unit, pressed: On) -> On:
        """The cases in which the reset counts: when let go, in a monitored unit; while closed, in others."""
        fire = pressed
        if unit.mode == "monitored":
            before = self.memory.pressed.get(unit.outputs, OFF)
            fire = before[0] & ~pressed[1], before[1] & ~pressed[0]
        if unit.paired:
            self._watch_channels(unit)
            for channel in unit.channels:
                opened = self.memory.opened[channel]
                fire = fire[0] & opened[0], fire[1] & opened[1]
        return fire

    def _watch_channels(self, unit: Unit) -> None:
        """Remember in which cases each channel was open while the outputs were; a unit without supply forgets."""
        here = self.field
        closed, powered = here.on.get(unit.outputs, OFF), here.on.get(unit.needs[0], OFF)
        for channel in unit.channels:
            on, seen = here.on.get(channel, OFF), self.memory.opened.get(channel, OFF)
            sure = (seen[0] | ~on[1] | ~powered[1]) & ~closed[1] & self.all
            perhaps = (seen[1] | ~on[0] | ~powered[0]) & ~closed[0] & self.all
            self.memory.opened[channel] = sure, perhaps
