"""The contacts of a net in all cases at once: which actuators are on, which paths conduct, which sources live."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from copy import copy
from typing import NamedTuple

from wiring.control.at_earth import AtEarth
from wiring.control.bits import OFF, On
from wiring.control.fault_vectors import NetValues
from wiring.control.inject import Case, Injected, inject
from wiring.control.net import Net, Pair, Source
from wiring.control.reach import Bridges
from wiring.control.source_blocks import Block
from wiring.solver.assembly import Actuator


class FieldState(NamedTuple):
    """What of a field changes from moment to moment; every number in it is immutable."""

    on: dict[Actuator, On]
    pending: set[Actuator]
    live: list[On]
    states: list[On]
    conducts: list[int]
    mains: bool
    blocks: list[Block]


class Fixed(NamedTuple):
    """The cases in which a fault holds a contact or an actuator: closed and open, those for certain first."""

    closed: On
    open: On

    def hold(self, sure: int, perhaps: int) -> On:
        """What becomes of the cases in which it would be on."""
        return (sure | self.closed[0]) & ~self.open[1], (perhaps | self.closed[1]) & ~self.open[0]


def _fixed(injected: Injected, path: str, faulty: int) -> Fixed | None:
    closed, open_ = injected.closed.get(path, 0) & faulty, injected.opened.get(path, 0) & faulty
    surely = ~injected.soft
    return Fixed((closed & surely, closed), (open_ & surely, open_)) if closed or open_ else None


def _stuck(injected: Injected, faulty: int) -> dict[Actuator, Fixed]:
    surely = ~injected.soft
    pairs = {
        one: (injected.on.get(one, 0) & faulty, injected.off.get(one, 0) & faulty)
        for one in (*injected.on, *injected.off)
    }
    return {one: Fixed((on & surely, on), (off & surely, off)) for one, (on, off) in pairs.items()}


class Field:
    """The paths of a net as they conduct now, and the rails that follow.

    `faulty` are the cases whose faults are there.
    """

    def __init__(self, net: Net, cases: Sequence[Case]) -> None:
        self.net = net
        self.all = (1 << len(cases)) - 1
        self.injected = inject(net, cases)
        self.rails = NetValues(net, len(cases), len(self.injected.bridges) < 2, self._still())
        self.at_earth = AtEarth(net, self.all)
        self.movers: dict[Actuator, list[int]] = {}
        for n, path in enumerate(net.paths):
            if path.moved_by is not None:
                self.movers.setdefault(path.moved_by, []).append(n)
        self.on: dict[Actuator, On] = {}
        self.stuck: dict[Actuator, Fixed] = {}
        self.fixed: list[Fixed | None] = [None] * len(net.paths)
        #: Actuators that were put otherwise, their contacts not yet.
        self.pending: set[Actuator] = set()
        #: When sources were last looked at, and with what.
        self.seen: tuple[int, bool, int] | None = None
        self.live: list[On] = [OFF] * len(self.rails.groups)
        self.faulty = 0
        self.bridges: Bridges = ()
        self.mains = True
        self.states: list[On] = []
        self.conducts: list[int] = []

    def _still(self) -> dict[Actuator, int]:
        """Main switches with the cases in which nobody works them."""
        moved, found = self.injected, {}
        for path in self.net.paths:
            actuator = path.moved_by
            if actuator is not None and actuator[1] == "handle":
                hands = moved.changed.get(actuator, 0) | moved.free.get(actuator, 0)
                found[actuator] = self.all & ~(hands | moved.devices.get(actuator[0], 0))
        return found

    def snapshot(self) -> FieldState:
        """The field as it stands."""
        blocks = [copy(block) for block in self.rails.blocks]
        return FieldState(
            dict(self.on),
            set(self.pending),
            list(self.live),
            list(self.states),
            list(self.conducts),
            self.mains,
            blocks,
        )

    def standing(self) -> Hashable:
        """Everything that the next round follows from."""
        rails = self.rails
        shorted = [block.shorted for block in rails.blocks]
        return tuple(self.on.values()), tuple(self.live), rails.collapsing, rails.lasting, tuple(shorted)

    def restore(self, state: FieldState) -> None:
        """The field as it stood; a state is restored once."""
        self.at_earth.forget()
        self.on, self.pending, self.live, self.states, self.conducts, self.mains, blocks = state
        self.rails.put_back(blocks)

    # Contacts.

    def set(self, actuator: Actuator, sure: int, perhaps: int) -> bool:
        """Put an actuator, faults of the actuator itself counted in; True when it changed."""
        if actuator in self.stuck:
            sure, perhaps = self.stuck[actuator].hold(sure, perhaps)
        if self.on.get(actuator, OFF) == (sure, perhaps):
            return False
        self.on[actuator] = (sure, perhaps)
        self.pending.add(actuator)
        return True

    def appear(self, cases: int) -> None:
        """The faults of some cases come."""
        self.faulty |= cases
        self.stuck = _stuck(self.injected, self.faulty)
        self.fixed = [_fixed(self.injected, path.id, self.faulty) for path in self.net.paths]
        for actuator in dict.fromkeys([*self.on, *self.stuck]):
            self.set(actuator, *self.on.get(actuator, OFF))
        self.renew()
        self.move()

    def start(self) -> None:
        """Every source alive, as in the running machine; outputs of programs perhaps."""
        self.live = [(self.all if group[0].certain else 0, self.all) for group in self.rails.groups]
        self.renew()

    def renew(self) -> None:
        """Every path and every rail anew."""
        self.pending.clear()
        self.at_earth.forget()
        wide = self.rails.wide
        always, perhaps = self.rails.full, self.rails.low
        self.states = [self._path(n) for n in range(len(self.net.paths))]
        known = {(self.all, self.all): always}
        paths = [known.get(state) or wide(*state) for state in self.states]
        self.conducts = paths + [always] * len(self.net.diodes) + [perhaps] * len(self.net.soft)
        if self.faulty:
            surely = ~self.injected.soft & self.faulty
            self.bridges = [
                {node: (wide(sure & surely, perhaps & self.faulty), to) for node, (sure, perhaps, to) in at.items()}
                for at in self.injected.bridges
            ]
        self._trace(self.rails.blocks)

    def move(self) -> bool:
        """Set the contacts of actuators that moved and the rails they touch; True when a source came or went."""
        touched: dict[int, Block] = {}
        self.at_earth.forget()
        moved, self.pending = self.pending, set()
        for actuator, paths in self.movers.items() if moved else ():
            for n in paths if actuator in moved else ():
                before, now = self.states[n], self._path(n)
                if before != now:
                    self.states[n] = now
                    self.conducts[n] = self.rails.wide(*now)
                    change, path = before[0] ^ now[0] | before[1] ^ now[1], self.net.paths[n]
                    if len(touched) < len(self.rails.blocks):
                        touched.update((block.first, block) for block in self.rails.touched(path.a, path.b, change))
        self._trace(touched.values())
        return self._renew_sources()

    def _path(self, n: int) -> On:
        path = self.net.paths[n]
        sure = perhaps = self.all
        if path.moved_by is not None:
            sure, perhaps = self.on.get(path.moved_by, OFF)
            if path.closed_at_rest:
                sure, perhaps = self.all ^ perhaps, self.all ^ sure
        fixed = self.fixed[n]
        return (sure, perhaps) if fixed is None else fixed.hold(sure, perhaps)

    def _trace(self, blocks: Iterable[Block]) -> None:
        for block in blocks:
            self.rails.trace(block, self.live, self.conducts, self.bridges)

    # Sources.

    def _renew_sources(self) -> bool:
        seen = self.rails.clock, self.mains, self.faulty
        if seen == self.seen:
            return False
        self.seen = seen
        had, self.live = self.live, [self._alive(group[0]) for group in self.rails.groups]
        if had == self.live:
            return False
        self.at_earth.forget()
        for block in self.rails.blocks:
            places = range(block.first, block.first + len(block.groups))
            changed = [n for n in places if self.live[n] != had[n]]
            if any(self.live[n][1] & ~had[n][1] or not self.live[n][1] for n in changed):
                self._trace([block])
            elif changed:
                self.rails.light(block, self.live)
        return True

    def _alive(self, source: Source) -> On:
        if source.is_mains:
            return (self.all, self.all) if self.mains else OFF
        dead = self.injected.dead.get(source.part, 0) & self.faulty
        sure, perhaps = (self.all, self.all) if source.feed is None else self.fed(source.feed)
        return (sure & ~dead if source.certain else 0), perhaps & ~(dead & ~self.injected.soft)

    # Who is fed.

    def fed(self, pair: Pair) -> On:
        """The cases in which a pair of nodes has its voltage: surely, and perhaps."""
        sure, perhaps = self.rails.fed(pair)
        lifted = perhaps & ~sure and perhaps & ~sure & self.at_earth.lifted_in(self.rails)
        if lifted:
            apart = self.at_earth.apart(self.rails, self.live, self.conducts, self.bridges)
            perhaps &= ~lifted | apart[pair.a] | apart[pair.b]
        return sure & ~(self.injected.mixed & self.faulty), perhaps

    def all_on(self, actuators: Iterable[Actuator]) -> On:
        """The cases in which every one of some actuators is on."""
        sure = perhaps = self.all
        for actuator in actuators:
            on = self.on.get(actuator, OFF)
            sure, perhaps = sure & on[0], perhaps & on[1]
        return sure, perhaps
