"""Coils that buttons start and that come in with another one, because a contact of that one lies beside their start.

Asked of the network with selectors in every position, the two coils in or out, and every other contact closed.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.switching.coil_feeds import can_be_fed
from wiring.design.switching.held_coils import start_buttons
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Switch
from wiring.parts.operators import PushButton, Selector
from wiring.parts.switching import Coiled

#: Selectors that are tried in both positions; with more of them nothing is said (own choice).
_MOST_SELECTORS = 4


class Together(Struct, frozen=True):
    """A coil that comes in with `other`, which `starts` bring in. `past` are the stop buttons in the way of its own
    start that then do not keep it out; of two that bring each other in, those that drop neither."""

    part: Part
    other: Part
    starts: tuple[str, ...]
    past: tuple[str, ...]
    mutual: bool


def coils_together(machine: Machine) -> Iterator[Together]:
    """Every relay and contactor that buttons start and stop and that one other such brings in past its stop."""
    buttons = frozenset(start_buttons(machine))
    coils = [part for part in machine.parts.values() if isinstance(part.data, Coiled)]
    selectors = [part.name for part in machine.parts.values() if isinstance(part.data, Selector)]
    if not buttons or len(selectors) > _MOST_SELECTORS:
        return
    told: set[frozenset[str]] = set()
    for worked in product((False, True), repeat=len(selectors)):
        turned = frozenset(name for name, at in zip(selectors, worked, strict=True) if at)
        tried = _Tried(machine, buttons, frozenset(selectors), turned)
        brought = [part for part in coils if tried.fed(part, out=(part,))]
        for part, other in product(brought, coils):
            pair = frozenset((part.name, other.name))
            if part is not other and pair not in told and (found := _together(tried, part, other)):
                told.add(pair)
                yield found


def _together(tried: _Tried, part: Part, other: Part) -> Together | None:
    own, theirs = tried.starts(part, other), tried.starts(other, part)
    if not own or not theirs or not tried.fed(part, out=(part,), within=other.name):
        return None
    breaking = tried.stops(part, other, own)
    if tried.fed(other, out=(other,)):
        idle = [one for one in breaking if tried.fed(part, opened=one) and tried.fed(other, opened=one)]
        if idle:
            return Together(part, other, theirs, tuple(idle), mutual=True)
    past = [one for one in breaking if one not in tried.stops(other, part, theirs)]
    return Together(part, other, theirs, tuple(past), mutual=False) if past else None


class _Tried(Struct, frozen=True):
    """The network with some selectors `turned`."""

    machine: Machine
    buttons: frozenset[str]
    selectors: frozenset[str]
    turned: frozenset[str]

    def fed(
        self, part: Part, pressed: str = "", *, out: tuple[Part, ...] = (), within: str = "", opened: str = ""
    ) -> bool:
        """Whether a coil can be fed with one button pressed or none, some coils out, one in, and one part open."""
        still = {one.name for one in out}

        def closed(name: str, switch: Switch) -> bool:
            if name == opened:
                return False
            if name in still and switch.actuator in {coil.moves for coil in self.machine.parts[name].of(Coil)}:
                return switch.closed_at_rest
            if name == within:
                return not switch.closed_at_rest
            if name in self.selectors:
                return (name in self.turned) != switch.closed_at_rest
            return name == pressed or name not in self.buttons or switch.closed_at_rest

        return can_be_fed(self.machine, part, closed)

    def starts(self, part: Part, out: Part) -> tuple[str, ...]:
        """The buttons each of which brings a coil in while the other is out; none where it needs none."""
        if self.fed(part, out=(part, out)):
            return ()
        return tuple(sorted(name for name in self.buttons if self.fed(part, name, out=(part, out))))

    def stops(self, part: Part, out: Part, starts: tuple[str, ...]) -> tuple[str, ...]:
        """The buttons that only break and without which one of its start buttons does nothing."""
        return tuple(
            one.name
            for one in self.machine.parts.values()
            if isinstance(one.data, PushButton)
            and one.name not in self.buttons
            and not all(self.fed(part, name, out=(part, out), opened=one.name) for name in starts)
        )
