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
    count = len(cases)
    devices: dict[str, list[int]] = {}
    alike: dict[tuple[int, ...], tuple[tuple[Fault, ...], list[int]]] = {}
    for n, case in enumerate(cases):
        devices.setdefault(case.device, []).append(n)
        faults = case.faults
        key = (id(faults[0]),) if len(faults) == 1 else tuple(map(id, faults))
        alike.setdefault(key, (faults, []))[1].append(n)
    effects = {id(fault): effect(net, fault) for faults, _ in alike.values() for fault in faults}
    done = [([found for fault in faults if (found := effects[id(fault)])], places) for faults, places in alike.values()]
    return Injected(
        opened=_gathered(done, attrgetter("opened"), count),
        closed=_gathered(done, attrgetter("closed"), count),
        on=_gathered(done, attrgetter("on"), count),
        off=_gathered(done, attrgetter("off"), count),
        dead=_gathered(done, attrgetter("dead"), count),
        bridges=_bridges(done, count),
        devices={device: mask(held, count) for device, held in devices.items()},
        changed=_moved([case.changed for case in cases]),
        free=_moved([case.free for case in cases]),
        held=mask((n for n, case in enumerate(cases) if case.held), count),
        soft=mask((n for n, case in enumerate(cases) if case.soft), count),
        while_stopped=mask((n for n, case in enumerate(cases) if case.while_stopped), count),
        without_volts=_moved([case.without_volts for case in cases]),
        mixed=mask((n for effects, places in done if _is_mixed(net, effects) for n in places), count),
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
        bits = mask(held, len(operators)) if some else 0
        for actuator in some:
            found[actuator] = found.get(actuator, 0) | bits
    return found


def _gathered(done: Sequence[Placed], keys: Callable[[Effect], Sequence[K]], count: int) -> dict[K, int]:
    """The cases in which a fault concerns each key."""
    found: dict[K, list[int]] = {}
    for effects, places in done:
        for one in effects:
            for key in keys(one):
                found.setdefault(key, []).extend(places)
    return {key: mask(held, count) for key, held in found.items()}


def _bridges(done: Sequence[Placed], count: int) -> list[dict[int, tuple[int, int, frozenset[int]]]]:
    """The bridges of the cases by their rank in a case and by node, each with cases, surely and perhaps, and ends."""
    found: list[dict[int, tuple[list[int], list[int], set[int]]]] = []
    for effects, places in done:
        for rank, join in enumerate(one.bridge for one in effects if one.bridge is not None):
            if rank == len(found):
                found.append({})
            for node, other in (join[:2], join[1::-1]):
                sure, perhaps, others = found[rank].setdefault(node, ([], [], set()))
                perhaps += places
                others.add(other)
                if join[2]:
                    sure += places
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


#: Effects that come together, and the cases in which they do.
Placed = tuple[Sequence[Effect], Sequence[int]]


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
