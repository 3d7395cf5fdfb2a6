"""The cases of a screen put into its net: which faults hold in which cases, as sets of bits."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from operator import attrgetter
from typing import NamedTuple, TypeVar

from msgspec import Struct

from wiring.control.bits import mask
from wiring.control.fault_record import Fault
from wiring.control.net import Net
from wiring.solver.assembly import Actuator

#: The coil or unit that is faster than all others, which move at once; None where none is. The outcome of a sound
#: circuit is the same whichever it is.
Order = Actuator | None
TOGETHER: Order = None

K = TypeVar("K", bound=Hashable)


class Case(Struct, frozen=True):
    """One device worked on a machine with some faults (none, one, or a pair), one coil moving first by `order`.

    A `soft` case has its faults perhaps: any of them, or none. They come while the machine runs, or `while_stopped`,
    with the stop in.

    While the stop is in, the `changed` operators are moved from where they stand, those that are `free` may stand
    anywhere, and coils `without_volts` let go. What springs back is let go before the stop is released, unless it is
    `held`.
    """

    device: str
    faults: tuple[Fault, ...]
    order: Order = TOGETHER
    changed: frozenset[Actuator] = frozenset()
    free: frozenset[Actuator] = frozenset()
    held: bool = False
    soft: bool = False
    while_stopped: bool = False
    without_volts: frozenset[Actuator] = frozenset()


class Injected(Struct, frozen=True):
    """Sets of cases: by path id, by actuator, by part, by device.

    `bridges` holds the first bridge of every case, then every second one, and so on: by node that a bridge ends at, the
    cases in which it does so for certain, and perhaps, and where it leads. In the `mixed` ones a bridge leads AC to DC.
    """

    opened: dict[str, int]
    closed: dict[str, int]
    on: dict[Actuator, int]
    off: dict[Actuator, int]
    dead: dict[str, int]
    bridges: list[dict[int, tuple[int, int, frozenset[int]]]]
    devices: dict[str, int]
    changed: dict[Actuator, int]
    free: dict[Actuator, int]
    held: int
    soft: int
    while_stopped: int
    without_volts: dict[Actuator, int]
    mixed: int


def inject(net: Net, cases: Sequence[Case]) -> Injected:
    """The sets of a list of cases."""
    places: dict[str, list[int]] = {}
    for n, case in enumerate(cases):
        places.setdefault(case.device, []).append(n)
    effects = {
        fault.id: effect(net, fault) for fault in {id(one): one for case in cases for one in case.faults}.values()
    }
    done = [[found for fault in case.faults if (found := effects[fault.id])] for case in cases]
    return Injected(
        opened=_gathered(done, attrgetter("opened")),
        closed=_gathered(done, attrgetter("closed")),
        on=_gathered(done, attrgetter("on")),
        off=_gathered(done, attrgetter("off")),
        dead=_gathered(done, attrgetter("dead")),
        bridges=_bridges(done),
        devices={device: mask(held, len(cases)) for device, held in places.items()},
        changed=_moved([case.changed for case in cases]),
        free=_moved([case.free for case in cases]),
        held=mask((n for n, case in enumerate(cases) if case.held), len(cases)),
        soft=mask((n for n, case in enumerate(cases) if case.soft), len(cases)),
        while_stopped=mask((n for n, case in enumerate(cases) if case.while_stopped), len(cases)),
        without_volts=_moved([case.without_volts for case in cases]),
        mixed=mask((n for n, effects in enumerate(done) if _is_mixed(net, effects)), len(cases)),
    )


def _is_mixed(net: Net, effects: Sequence[Effect]) -> bool:
    return any(one.bridge is not None and net.is_mixed(*one.bridge[:2]) for one in effects)


def _moved(operators: Sequence[frozenset[Actuator]]) -> dict[Actuator, int]:
    """The cases in which each operator is among those of the case: most cases have the same ones."""
    alike: dict[frozenset[Actuator], list[int]] = {}
    for n, some in enumerate(operators):
        alike.setdefault(some, []).append(n)
    found: dict[Actuator, int] = {}
    for some, held in alike.items():
        bits = mask(held, len(operators))
        for actuator in some:
            found[actuator] = found.get(actuator, 0) | bits
    return found


def _gathered(done: Sequence[Sequence[Effect]], keys: Callable[[Effect], Sequence[K]]) -> dict[K, int]:
    """The cases in which a fault concerns each key."""
    found: dict[K, list[int]] = {}
    for n, effects in enumerate(done):
        for one in effects:
            for key in keys(one):
                found.setdefault(key, []).append(n)
    return {key: mask(held, len(done)) for key, held in found.items()}


def _bridges(done: Sequence[Sequence[Effect]]) -> list[dict[int, tuple[int, int, frozenset[int]]]]:
    """The bridges of the cases by their rank in a case and by node, each with cases, surely and perhaps, and ends."""
    found: list[dict[int, tuple[list[int], list[int], set[int]]]] = []
    for n, effects in enumerate(done):
        for rank, join in enumerate(one.bridge for one in effects if one.bridge is not None):
            if rank == len(found):
                found.append({})
            for node, other in (join[:2], join[1::-1]):
                sure, perhaps, others = found[rank].setdefault(node, ([], [], set()))
                perhaps.append(n)
                others.add(other)
                if join[2]:
                    sure.append(n)
    count = len(done)
    return [
        {node: (mask(sure, count), mask(perhaps, count), frozenset(to)) for node, (sure, perhaps, to) in at.items()}
        for at in found
    ]


class Effect(NamedTuple):
    """What a fault does to a net: paths that it opens and closes, a bridge, actuators that it holds or kills, parts."""

    opened: tuple[str, ...]
    closed: tuple[str, ...]
    bridge: tuple[int, int, bool] | None
    on: tuple[Actuator, ...]
    off: tuple[Actuator, ...]
    dead: tuple[str, ...]


def effect(net: Net, fault: Fault) -> Effect | None:
    """What a fault does to the net: faults with the same effect behave alike. None when it does nothing."""
    bridge = net.bridge(*fault.bridge) if fault.bridge is not None else None
    found = Effect(net.paths_of(fault.opened), net.paths_of(fault.closed), bridge, fault.on, fault.off, fault.dead)
    return found if any(found) else None


def alike(net: Net, faults: Sequence[Fault]) -> dict[Effect, Fault]:
    """One fault for each effect that there is."""
    found: dict[Effect, Fault] = {}
    for fault in faults:
        key = effect(net, fault)
        if key is not None:
            found.setdefault(key, fault)
    return found
