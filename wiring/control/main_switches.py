"""Main switches on which logic decides only position by position.

All poles of a switch move at once. Taken as perhaps, each of them does so for itself, and a current that comes over one
and turns back at another that is open then decides nothing. So every fault is screened with such a switch as it stands,
and faults in groups with it moved.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from msgspec.structs import replace

from wiring.control.bits import mask, places
from wiring.control.in_step import run_width
from wiring.control.inject import Case, Order
from wiring.control.net import Net
from wiring.control.parallel_fault_simulation import ParallelSimulation
from wiring.control.script import MUST_BE_DEAD, StopUse, other_operators
from wiring.solver.assembly import Actuator

#: Faults in a group, all of them perhaps there; those of a group in which something may be alive are tried one by one.
_GROUPS = (12, 1)
#: Switches from which their positions are too many.
_MOST = 2


def switches_apart(net: Net, use: StopUse) -> frozenset[Actuator]:
    """The main switches to be screened position by position: with them free something may be alive on the machine
    without a fault, and in each of their positions nothing is."""
    moved = [path.moved_by for path in net.paths if path.moved_by is not None and path.moved_by[1] == "handle"]
    apart = frozenset(actuator for actuator in moved if moved.count(actuator) > 1)
    if not apart or len(apart) > _MOST:
        return frozenset()
    together = [Case(device, (), free=frozenset(other_operators(use, device))) for device in use.devices]
    each = [
        replace(case, changed=changed, free=case.free - apart)
        for case in together
        for changed in (frozenset(), *_moved(apart))
    ]
    open_ = places(_may_be_alive(net, use, [*together, *each]))
    return apart if open_ and open_[-1] < len(together) else frozenset()


def alive_when_moved(
    net: Net, use: StopUse, cases: Sequence[Case], orders: Sequence[Order], *, while_stopped: bool
) -> int:
    """The cases, as bits, in which something may be alive with the switches of `use` that stand apart moved."""
    found = 0
    for changed in _moved(use.apart):
        left = list(range(len(cases)))
        for size in _GROUPS:
            left = _open_groups(net, use, cases, left, size, changed, orders, while_stopped)
        found |= mask(left, len(cases))
    return found


def _open_groups(
    net: Net,
    use: StopUse,
    cases: Sequence[Case],
    chosen: Sequence[int],
    size: int,
    changed: frozenset[Actuator],
    orders: Sequence[Order],
    while_stopped: bool,
) -> list[int]:
    """Of the chosen cases, by their place, those in a group of some size in which something may be alive."""
    by_device: dict[str, list[int]] = {}
    for n in chosen:
        by_device.setdefault(cases[n].device, []).append(n)
    groups = [some[n : n + size] for some in by_device.values() for n in range(0, len(some), size)]
    width = run_width(net)
    found: list[int] = []
    for start in range(0, len(groups), width):
        chunk = groups[start : start + width]
        tried = [
            replace(
                cases[some[0]],
                faults=tuple(fault for n in some for fault in cases[n].faults),
                changed=changed,
                soft=size > 1,
                while_stopped=while_stopped,
            )
            for some in chunk
        ]
        open_ = 0
        for order in orders:
            open_ |= _may_be_alive(net, use, [replace(case, order=order) for case in tried])
        found += [n for k in places(open_) for n in chunk[k]]
    return found


def _may_be_alive(net: Net, use: StopUse, cases: Sequence[Case]) -> int:
    result = ParallelSimulation(net, cases, use).run()
    open_ = result.unstable
    for moment in MUST_BE_DEAD:
        for _, perhaps in result.seen[moment].targets:
            open_ |= perhaps
    return open_


def _moved(apart: frozenset[Actuator]) -> Iterator[frozenset[Actuator]]:
    """Every way to move any of some switches."""
    for size in range(1, len(apart) + 1):
        yield from map(frozenset, combinations(sorted(apart), size))
