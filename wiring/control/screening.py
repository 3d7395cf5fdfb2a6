"""Faults put into cases of the screen: each effect once for each device, beside the machine without a fault."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.fault_record import Fault
from wiring.control.in_step import run_width
from wiring.control.inject import TOGETHER, Case, Effect, Order, effect
from wiring.control.main_switches import alive_when_moved, switches_apart
from wiring.control.net import Net, build_net
from wiring.control.parallel_fault_simulation import ParallelSimulation, SimulationResult
from wiring.control.script import MUST_BE_DEAD, Moment, StopUse, other_operators
from wiring.effort import play_at_once, spend
from wiring.solver.assembly import Actuator
from wiring.solver.lowering import Lowered

#: What a case costs by itself, in steps.
_PER_CASE = 20


class Screening(Struct, frozen=True):
    """The screen of a list of faults, for each device first without a fault, then with one after the other.

    Faults that do the same to the net share a case, the first of them is among the `unlike` ones; one that does nothing
    to it has that without a fault. `rank` is the case of a fault among those of a device. In `screened` faults come
    while the machine runs, one run an order; in `while_stopped` with the stop in. `moved` are, of both, the cases in
    which something may be alive with a main switch moved that stands apart.
    """

    net: Net
    faults: tuple[Fault, ...]
    devices: tuple[str, ...]
    unlike: tuple[Fault, ...]
    rank: Mapping[str, int]
    screened: tuple[SimulationResult, ...]
    while_stopped: tuple[SimulationResult, ...]
    moved: tuple[int, int]

    @property
    def width(self) -> int:
        """The cases of one device."""
        return 1 + len(self.unlike)

    def first(self, device: str) -> int:
        """The case of a device without a fault."""
        return self.devices.index(device) * self.width

    def place(self, device: str, fault: str) -> int:
        """The case of a fault under a device."""
        return self.first(device) + self.rank[fault]


def runs_of(lowered: Lowered, use: StopUse, faults: Sequence[Fault]) -> tuple[tuple[Net, tuple[Fault, ...]], ...]:
    """The nets in which faults are screened, each with its faults.

    Broken conductors need the net with all its conductors; the others do with a smaller one, in a run of their own.
    """
    breaks = {wire.id for wire in lowered.circuit.conductors}
    broken = tuple(fault for fault in faults if breaks & set(fault.opened))
    others = tuple(fault for fault in faults if not breaks & set(fault.opened))
    return tuple((build_net(lowered, use.targets, some), some) for some in ((others, broken) if broken else (others,)))


def screen_faults(
    lowered: Lowered, use: StopUse, faults: Sequence[Fault], orders: Sequence[Order] = (TOGETHER,)
) -> tuple[Screening, ...]:
    """Every fault with every device of `use`, in one run for each order of contacts and each net."""
    return tuple(_screened(net, use, some, orders) for net, some in runs_of(lowered, use, faults))


def _screened(net: Net, use: StopUse, faults: tuple[Fault, ...], orders: Sequence[Order]) -> Screening:
    rank: dict[str, int] = {}
    at: dict[tuple[object, ...], int] = {(): 0}
    unlike: list[Fault] = []
    for fault in faults:
        key = _alone(net, effect(net, fault))
        if key not in at:
            at[key] = len(at)
            unlike.append(fault)
        rank[fault.id] = at[key]
    devices = tuple(dict.fromkeys(use.devices))
    spend(_PER_CASE * len(devices) * len(at) * len(orders))
    play_at_once(len(devices) * len(at), net.count)
    cases: list[Case] = []
    for device in devices:
        free = frozenset(other_operators(use, device)) - use.apart
        cases.append(Case(device, (), free=free))
        cases += [Case(device, (fault,), free=free) for fault in unlike]
    runs = tuple(_runs(net, use, cases, orders))
    moved = [alive_when_moved(net, use, cases, orders, while_stopped=while_stopped) for while_stopped in (False, True)]
    screened, while_stopped = runs[: len(orders)], runs[len(orders) :]
    return Screening(net, faults, devices, tuple(unlike), rank, screened, while_stopped, (moved[0], moved[1]))


def _runs(net: Net, use: StopUse, cases: Sequence[Case], orders: Sequence[Order]) -> Iterator[SimulationResult]:
    """The cases in each order, their faults coming while the machine runs, then with the stop in: as many of these at
    once as serve each other."""
    kinds = [(while_stopped, order) for while_stopped in (False, True) for order in orders]
    width = max(run_width(net) // len(cases), 1)
    for start in range(0, len(kinds), width):
        some = kinds[start : start + width]
        tried = [
            replace(case, order=order, while_stopped=while_stopped) for while_stopped, order in some for case in cases
        ]
        result = ParallelSimulation(net, tried, use).run()
        yield from (result.part(k * len(cases), len(cases)) for k in range(len(some)))


def _alone(net: Net, found: Effect | None) -> tuple[object, ...]:
    """An effect as a single fault has it: a bridge to zones that nothing feeds closes no circuit."""
    if (
        found
        and found.bridge is not None
        and not (found.bridge[0] in net.fed_zones and found.bridge[1] in net.fed_zones)
    ):
        found = found._replace(bridge=None)
    return tuple(found) if found is not None and any(found) else ()


class Unfaulted(Struct, frozen=True):
    """The machine without a fault. `unrest` are devices with "buzzer" where contacts never come to rest, "race" where
    their order decides; `starts` the start devices that a person needs, in turn, until everything runs again; `orders`
    those in which contacts come to rest; `apart` main switches that the screen tries position by position."""

    unrest: tuple[tuple[str, str], ...]
    starts: tuple[str, ...]
    orders: tuple[Order, ...] = (TOGETHER,)
    apart: frozenset[Actuator] = frozenset()

    @property
    def races(self) -> bool:
        """Whether the outcome hangs on the order of the contacts."""
        return any(word == "race" for _, word in self.unrest)


def screen_unfaulted(lowered: Lowered, use: StopUse) -> Unfaulted:
    """The machine without a fault under every device, in every order of contacts, in one run."""
    net = build_net(lowered, use.targets)
    cases = [Case(device, (), order) for device in use.devices for order in net.orders]
    screened = ParallelSimulation(net, cases, use).run(until_running=True)
    unrest = []
    for n, device in enumerate(use.devices):
        places = range(n * len(net.orders), (n + 1) * len(net.orders))
        restless = [bool(screened.unstable >> place & 1) for place in places]
        if all(restless):
            unrest.append((device, "buzzer"))
        elif any(restless) or len({_outcome(screened, place) for place in places}) > 1:
            unrest.append((device, "race"))
    width = len(net.orders)
    resting = [
        order
        for k, order in enumerate(net.orders)
        if not any(screened.unstable >> n * width + k & 1 for n in range(len(use.devices)))
    ]
    starts = use.starts[: screened.presses]
    apart = switches_apart(net, replace(use, starts=starts))
    return Unfaulted(tuple(unrest), starts, tuple(resting) or (TOGETHER,), apart)


def _outcome(screened: SimulationResult, place: int) -> tuple[tuple[int, int], ...]:
    """What is alive in one case at every moment that counts."""
    return tuple(
        (sure >> place & 1, perhaps >> place & 1)
        for moment in (*MUST_BE_DEAD, Moment.AGAIN)
        for sure, perhaps in screened.seen[moment].targets
    )
