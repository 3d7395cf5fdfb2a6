"""Contacts, coils and units of a net in all cases at once, until they come to rest."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from functools import reduce
from operator import or_

from msgspec import Struct, field

from wiring.control.bits import OFF, On, mask
from wiring.control.field import Field, FieldState
from wiring.control.inject import Case
from wiring.control.net import Net, Unit
from wiring.effort import spend
from wiring.solver.assembly import Actuator
from wiring.solver.settling import enough_rounds

#: Rounds of a net with few coils after which contacts that still move are taken never to come to rest.
_ROUNDS = 32
_EVENTS = 4
#: What a round costs for each coil, in nodes.
_PER_COIL = 4
#: The longest turn, in rounds, in which contacts that go round are known to do so.
_LONGEST_TURN = 12


class _Memory(Struct):
    """What units remember between moments: the reset as it was, and channels that were open while the outputs were."""

    pressed: dict[Actuator, On] = field(default_factory=dict)
    opened: dict[Actuator, On] = field(default_factory=dict)


class SettlingNet:
    """One net with a list of cases; `settle` lets it come to rest as its operators stand."""

    def __init__(self, net: Net, cases: Sequence[Case]) -> None:
        self.net = net
        orders: dict[Actuator, list[int]] = {}
        for n, case in enumerate(cases):
            if case.order is not None:
                orders.setdefault(case.order, []).append(n)
        self.faster = {actuator: mask(held, len(cases)) for actuator, held in orders.items()}
        self.field = Field(net, cases)
        self.all = self.field.all
        self.rounds = enough_rounds(_ROUNDS, len(net.coils) + len(net.units))
        self.locked = [coil for coil in net.coils if coil.locks]
        self.memory = _Memory()
        self.unstable = 0
        self.early: tuple[On, ...] = ()
        #: Whether the stop is worked in all cases, so that faults leave coils without volts.
        self.stop_in = False
        #: Whether everything came to rest, and nothing was moved since.
        self.at_rest = False

    def snapshot(self) -> tuple[FieldState, _Memory]:
        """Everything as it stands, to be put back after a look at what would come next."""
        memory = _Memory(dict(self.memory.pressed), dict(self.memory.opened))
        return self.field.snapshot(), memory

    def restore(self, state: tuple[FieldState, _Memory]) -> None:
        """Put everything back as it was; what never rested or collapsed on the way stays open."""
        field_state, self.memory = state
        self.field.restore(field_state)
        self.at_rest = False

    def targets(self) -> tuple[On, ...]:
        """The cases in which each target is alive, surely and perhaps."""
        here, found = self.field, []
        for target in self.net.targets:
            sure = perhaps = 0
            for pair, needs in target.pairs:
                fed, on = here.fed(pair), here.all_on(needs)
                sure, perhaps = sure | fed[0] & on[0], perhaps | fed[1] & on[1]
            found.append((sure, perhaps))
        return tuple(found)

    def settle(self) -> None:
        """Let contacts and coils come to rest, then the resets, then what is delayed."""
        delayed = any(coil.rises_late or coil.falls_late for coil in self.net.coils)
        delayed = delayed or any(unit.falls_late for unit in self.net.units)
        self.at_rest = True
        for late in (False, True) if delayed else (True,):
            self._come_to_rest(late)
            for _ in range(enough_rounds(_EVENTS, len(self.net.units))):
                fired = self._resets()
                if not fired:
                    break
                self._come_to_rest(late)
            else:
                self.unstable |= fired
                self.at_rest = False
            if delayed and not late:
                self.early = self.targets()
        if not delayed:
            self.early = ()

    def _come_to_rest(self, late: bool) -> None:
        here = self.field
        past: list[Hashable] = []
        turns: list[dict[Actuator, int]] = []
        turn = 0
        while not turn and len(past) < self.rounds:
            spend(_PER_COIL * len(self.net.coils) * here.rails.weight)
            moved = {}
            for actuator, (sure, perhaps) in self._ordered(self._wanted(late)).items():
                was = here.on.get(actuator, OFF)
                if here.set(actuator, sure, perhaps):
                    now = here.on[actuator]
                    moved[actuator] = (was[0] ^ now[0]) | (was[1] ^ now[1])
            if not here.move() and not moved:
                return
            past.append(here.standing())
            turns.append(moved)
            turn = next((n for n in range(2, _LONGEST_TURN + 1) if past[-n - 1 : -n] == past[-1:]), 0)
        self.at_rest = False
        moving: dict[Actuator, int] = {}
        for moved in turns[-(turn or len(turns) // 2) :]:
            for actuator, change in moved.items():
                moving[actuator] = moving.get(actuator, 0) | change
                self.unstable |= change
        self._loosen(moving)

    def _loosen(self, moving: Mapping[Actuator, int]) -> None:
        """What never comes to rest may be on or off; everything that hangs on it follows, until nothing new is open."""
        here = self.field
        for _ in range(self.rounds):
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
            if not here.move() and not moved:
                return

    def _wanted(self, late: bool) -> dict[Actuator, On]:
        """What every coil and unit would be now; a delayed one stays as it is while `late` is False."""
        here = self.field
        wanted: dict[Actuator, On] = {}
        for coil in self.net.coils:
            sure, perhaps = here.fed(coil.pair)
            if self.stop_in and coil.actuator in here.injected.without_volts:
                fed = ~(here.injected.without_volts[coil.actuator] & here.faulty)
                sure, perhaps = sure & fed, perhaps & fed
            was = here.on.get(coil.actuator, OFF)
            if coil.falls_late and not late:
                sure, perhaps = sure | was[0], perhaps | was[1]
            if coil.rises_late and not late:
                sure, perhaps = sure & was[0], perhaps & was[1]
            wanted[coil.actuator] = (sure, perhaps)
        if self.locked:
            wanted |= self._locked(wanted)
        for unit in self.net.units:
            sure, perhaps = here.on.get(unit.outputs, OFF)
            if late or not unit.falls_late:
                on = here.all_on(unit.needs)
                sure, perhaps = sure & on[0], perhaps & on[1]
            wanted[unit.outputs] = (sure, perhaps)
        return wanted

    def _locked(self, wanted: Mapping[Actuator, On]) -> dict[Actuator, On]:
        """What mechanical locks leave of coils: one that is out comes in for certain where nothing that it is locked
        with is in or comes in beside it, and stays out for certain where something of that is in."""
        here, held = self.field, {}
        for coil in self.locked:
            (sure, perhaps), was = wanted[coil.actuator], here.on.get(coil.actuator, OFF)
            first = self.faster.get(coil.actuator, 0)
            for other in coil.locks:
                on, comes = here.on.get(other, OFF), wanted.get(other, OFF)
                sure &= was[0] | ~(on[1] | comes[1] & ~first)
                perhaps &= was[1] | ~on[0]
            held[coil.actuator] = sure, perhaps
        return held

    def _ordered(self, wanted: dict[Actuator, On]) -> dict[Actuator, On]:
        """What moves in this round: everything, but in a case with a faster coil that one alone, when it would."""
        if not self.faster:
            return wanted
        here = self.field
        alone: dict[Actuator, int] = {}
        for actuator, cases in self.faster.items():  # a case has one faster coil at most
            (sure, perhaps), was = wanted[actuator], here.on.get(actuator, OFF)
            alone[actuator] = ((sure ^ was[0]) | (perhaps ^ was[1])) & cases & ~self._stuck(actuator)
        kept = reduce(or_, alone.values())
        moves = {actuator: here.all & ~(kept & ~alone.get(actuator, 0)) for actuator in wanted}
        held = {}
        for actuator, cases in moves.items():
            now, was = wanted[actuator], here.on.get(actuator, OFF)
            held[actuator] = was[0] & ~cases | now[0] & cases, was[1] & ~cases | now[1] & cases
        return held

    def _stuck(self, actuator: Actuator) -> int:
        """The cases in which a fault holds the actuator itself."""
        injected = self.field.injected
        held = injected.on.get(actuator, 0) | injected.off.get(actuator, 0)
        return held & self.field.faulty & ~injected.soft

    # Resets.

    def _resets(self) -> int:
        """Close the outputs of units that a reset releases now; the cases in which any did."""
        here, moved = self.field, 0
        for unit in self.net.units:
            ready, pressed = here.all_on(unit.needs), here.on.get(unit.reset, OFF)
            fire = self._fires(unit, pressed)
            was = here.on.get(unit.outputs, OFF)
            if here.set(unit.outputs, was[0] | fire[0] & ready[0], was[1] | fire[1] & ready[1]):
                now = here.on[unit.outputs]
                moved |= was[0] ^ now[0] | was[1] ^ now[1]
            self.memory.pressed[unit.outputs] = pressed[0] & ready[0], pressed[1] & ready[1]
        if moved:
            here.move()
        return moved

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
