"""Coils that hold themselves by a contact of their own, and the contacts that then drop them no more.

Asked of the network: start buttons are let go, every contact that no hand, cam or heat moves stands as it likes, and
the coil's own contacts stand as while it is in.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain, combinations

from msgspec import Struct
from msgspec.structs import replace

from wiring.design.machine import Machine
from wiring.design.switching.coil_feeds import Closed, can_be_fed
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Switch
from wiring.parts.heating import ThermalCutOut
from wiring.parts.operators import EmergencyStop, Guarding, LimitSwitch, PressureSwitch, PushButton
from wiring.parts.protection import MotorProtector
from wiring.parts.switching import Coiled

#: What stops or limits, and means it, and a pressure that parts, which mostly does; level and warmth may give leave.
_STOPPING = (PushButton, EmergencyStop, Guarding, LimitSwitch, ThermalCutOut, MotorProtector, PressureSwitch)
_Contact = tuple[str, str]
#: Main poles, which stand in no control circuit.
_MAIN = frozenset("123456")
#: Coils that are tried in and out; with more of them their contacts stand as they like (own choice).
_MOST_THROWS = 5


class Held(Struct, frozen=True):
    """A coil that holds itself, with `past`: the (part, contact) that keep it from coming in and do not drop it, and
    `kept`: the start buttons that must stay pressed although it has a contact to hold itself. `beaten` are the stop
    buttons that drop it, and that a start button leads past while it is pressed. `idle` are stop buttons in the way of
    its start that have nothing to drop, as neither it nor another coil behind them holds itself."""

    part: Part
    past: tuple[_Contact, ...]
    kept: tuple[str, ...]
    beaten: tuple[_Contact, ...] = ()
    idle: tuple[str, ...] = ()
    starts: tuple[str, ...] = ()


def held_coils(machine: Machine) -> Iterator[Held]:
    """Every relay and contactor with a make contact of its own in the way to its coil."""
    buttons = tuple(start_buttons(machine))
    every = [
        (part, _held(machine, part, buttons))
        for part in machine.parts.values()
        if isinstance(part.data, Coiled) and any(not s.closed_at_rest for s in _own(machine, part))
    ]
    useful = {name for part, one in every if not one.idle for name in _dropping(machine, part, buttons)}
    for _, found in every:
        idle = tuple(name for name in found.idle if name not in useful)
        if found.past or found.kept or found.beaten or idle:
            yield replace(found, idle=idle)


def _dropping(machine: Machine, part: Part, buttons: tuple[str, ...]) -> Iterator[str]:
    """The stop buttons in the way of a coil, its start buttons pressed."""
    for other in machine.parts.values():
        if isinstance(other.data, PushButton) and other.name not in buttons:
            for switch in other.of(Switch):
                opened = other.name, switch.name
                if not can_be_fed(machine, part, _stands(part, buttons, True, frozenset(buttons), opened)):
                    yield other.name


def _own(machine: Machine, part: Part) -> list[Switch]:
    """The contacts that the coil of a part moves and that are wired at both ends."""
    moves = {coil.moves for coil in part.of(Coil)}
    wired = machine.nets.joined
    return [s for s in part.of(Switch) if s.actuator in moves and {(part.name, s.a), (part.name, s.b)} <= wired]


def start_buttons(machine: Machine) -> Iterator[str]:
    """The push-buttons with a make contact."""
    for part in machine.parts.values():
        if isinstance(part.data, PushButton) and any(not s.closed_at_rest for s in part.of(Switch)):
            yield part.name


def _held(machine: Machine, part: Part, buttons: tuple[str, ...]) -> Held:
    throws = two_throws(machine, part)

    def fed(held: bool, pressed: frozenset[str], opened: _Contact | None = None) -> bool:
        return any(
            can_be_fed(machine, part, _stands(part, buttons, held, pressed, opened, frozenset(inside), throws))
            for inside in subsets(throws)
        )

    none, every = frozenset[str](), frozenset(buttons)
    if fed(held=False, pressed=none) or not fed(held=False, pressed=every):
        return Held(part, (), ())  # a program or a switch that stays brings it, or nothing does
    alone = [frozenset((name,)) for name in buttons]
    starts = [one for one in alone if fed(held=False, pressed=one)]
    if not fed(held=True, pressed=none):
        kept = (name for one in alone if one not in starts and fed(held=True, pressed=one) for name in one)
        idle = tuple(dict.fromkeys(_dropping(machine, part, buttons))) if starts else ()
        return Held(part, (), tuple(kept), idle=idle, starts=tuple(name for one in starts for name in one))

    def starts_past(contact: _Contact) -> bool:
        return any(fed(held=False, pressed=one, opened=contact) for one in starts)

    stopping = [
        (other, (other.name, s.name))
        for other in machine.parts.values()
        if isinstance(other.data, _STOPPING) and starts
        for s in other.of(Switch)
        if s.closed_at_rest
    ]
    past, beaten = [], []
    for other, contact in stopping:
        holds = fed(held=True, pressed=none, opened=contact)
        if holds and not starts_past(contact):
            past.append(contact)
        elif not holds and isinstance(other.data, PushButton) and starts_past(contact):
            beaten.append(contact)
    return Held(part, tuple(past), (), tuple(beaten))


def two_throws(machine: Machine, part: Part) -> tuple[str, ...]:
    """The other relays and contactors with both break and make contacts in use; none where they are too many, so that
    their contacts then stand as they like."""
    found = []
    for other in machine.parts.values():
        if other is not part and isinstance(other.data, Coiled):
            wired = [s for s in _own(machine, other) if s.a not in _MAIN and s.b not in _MAIN]
            if len({s.closed_at_rest for s in wired}) > 1:
                found.append(other.name)
    return tuple(found) if len(found) <= _MOST_THROWS else ()


def subsets(names: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Every choice of some names."""
    return chain.from_iterable(combinations(names, count) for count in range(len(names) + 1))


def _stands(
    part: Part,
    buttons: tuple[str, ...],
    held: bool,
    pressed: frozenset[str],
    opened: _Contact | None,
    inside: frozenset[str] = frozenset(),
    throws: tuple[str, ...] = (),
) -> Closed:
    moves = {coil.moves for coil in part.of(Coil)}

    def closed(name: str, switch: Switch) -> bool:
        if (name, switch.name) == opened:
            return False
        if name == part.name and switch.actuator in moves:
            return held != switch.closed_at_rest
        if name in throws:
            return (name in inside) != switch.closed_at_rest
        if name in buttons and not switch.closed_at_rest:
            return name in pressed
        return True

    return closed
