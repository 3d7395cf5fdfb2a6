"""The machine without a fault under one stop device: what stays alive or starts again, and which operators decide."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence

from msgspec import Struct, field
from msgspec.structs import replace

from wiring.control.condition import Condition
from wiring.control.fault_record import Fault
from wiring.control.in_step import Steps, Wanted, side_by_side
from wiring.control.inject import TOGETHER, Case, Order
from wiring.control.net import Net
from wiring.control.numeric_simulation import Snapshot, run_either_way
from wiring.control.operator_halves import Alive, Changed, Trials, Tried
from wiring.control.operator_search import search_positions
from wiring.control.parallel_fault_simulation import SimulationResult
from wiring.control.script import MUST_BE_DEAD, Moment, StopUse, springing_back
from wiring.solver.operating import OperatingPoint

#: Moments at which nothing may start although nobody asks for it.
STARTS_BY_ITSELF = (Moment.RELEASE, Moment.MAINS_ON)
_MAINS = (Moment.MAINS_OFF, Moment.MAINS_ON)


class SoundStop(Struct, frozen=True):
    """One device worked on the machine without a fault: what is alive at each moment, and whether it starts again.

    `left`, `on_release` and `on_mains` hold for some position of the other operators, `on_held` only while a hand holds
    one that springs back; `worked` names the operators that decide, by moment and target, where any do; `faster` the
    coil that must be the fastest. `on_reset` are targets that the reset of a unit starts by itself, `on_demand` those
    that only a second stop after the reset leaves alive, `on_low` those that may be alive where supplies are so low
    that any coils let go or stay out. `by_numbers`: volts decide of something, not paths alone.
    """

    device: str
    running: tuple[str, ...]
    left: tuple[str, ...]
    on_release: tuple[str, ...]
    on_mains: tuple[str, ...]
    again: bool
    late: tuple[str, ...]
    reason: str = ""
    on_held: tuple[str, ...] = ()
    on_reset: tuple[str, ...] = ()
    on_demand: tuple[str, ...] = ()
    on_low: tuple[str, ...] = ()
    by_numbers: bool = False
    worked: Mapping[tuple[Moment, str], tuple[str, ...]] = field(default_factory=dict)
    faster: Mapping[tuple[Moment, str], str] = field(default_factory=dict)


class SoundScreen(Struct, frozen=True):
    """The machine without a fault in the positions of its operators that count, as far as logic tells."""

    net: Net
    use: StopUse
    cases: tuple[Case, ...]
    screened: SimulationResult

    def of(self, device: str, *, held: bool = False) -> Iterator[tuple[Case, int]]:
        """The cases of a device, those with the operators at rest first, each with its place."""
        for n, case in enumerate(self.cases):
            if case.device == device and case.held is held and not case.faults:
                yield case, n


def screen_sound(net: Net, use: StopUse, orders: Sequence[Order] = (TOGETHER,)) -> Steps[SoundScreen]:
    """Every device of `use` with the other operators in each position in which something may be alive, let go before
    the release or held; at rest in every one of `orders`, else in the first."""
    cases = [Case(device, (), order) for device in use.devices for order in orders]
    cases += [Case(device, (), orders[0], held=True) for device in use.devices]
    cases += [Case(device, (_low_supplies(net),), orders[0], soft=True) for device in use.devices]
    [screened] = yield [Wanted(net, use, cases)]
    first = {
        (case.device, case.held): (case, _alive_in(net, screened, n))
        for n, case in enumerate(cases)
        if case.order == orders[0] and not case.faults
    }
    both = yield from side_by_side([_positions(net, use, orders[0], held, first) for held in (False, True)])
    more = [
        replace(first[device, held][0], changed=changed)
        for held, found in zip((False, True), both, strict=True)
        for device, some in found.items()
        for changed in some
    ]
    if not more:
        return SoundScreen(net, use, tuple(cases), screened)
    [screened] = yield [Wanted(net, use, [*cases, *more])]
    return SoundScreen(net, use, (*cases, *more), screened)


def _low_supplies(net: Net) -> Fault:
    """Every coil and unit perhaps without the voltage that it needs."""
    coils = [coil.actuator for coil in net.coils] + [unit.outputs for unit in net.units]
    return Fault("low-supplies", "low", (), "supplies are low", "own list", off=tuple(coils))


def _on_low(here: _Sound, screen: SoundScreen, known: Mapping[Moment, Collection[str]]) -> tuple[str, ...]:
    """What may be alive with low supplies and is dead with full ones; what a battery carries on, no mains start."""
    [place] = [n for n, case in enumerate(screen.cases) if case.device == here.device and case.faults]
    seen = screen.screened.seen

    def may_live(moment: Moment, n: int) -> bool:
        return bool(seen[moment].targets[n][1] >> place & 1)

    def starts(moment: Moment, n: int) -> bool:
        carried = moment in _MAINS and may_live(Moment.AGAIN, n) and may_live(Moment.MAINS_OFF, n)
        return may_live(moment, n) and not carried and here.names[n] not in known[moment]

    return tuple(here.names[n] for n in here.wanted if any(starts(moment, n) for moment in MUST_BE_DEAD))


def _positions(
    net: Net, use: StopUse, order: Order, held: bool, first: Mapping[tuple[str, bool], tuple[Case, Alive]]
) -> Steps[dict[str, list[Changed]]]:
    """By device, where other operators must stand so that more is alive than with them at rest."""
    moments = STARTS_BY_ITSELF if held else MUST_BE_DEAD
    tried = {device: Tried({"": ()}, first[device, held][1]) for device in use.devices}
    found = yield from search_positions(Trials(net, use, tried, (order,), moments, held))
    return {device: [one.changed for one in search.seen[""] if one.changed] for device, search in found.items()}


def _alive_in(net: Net, screened: SimulationResult, place: int) -> Alive:
    """What is alive for certain in one case, by moment."""
    return {
        moment: {
            target.name
            for target, (sure, _) in zip(net.targets, screened.seen[moment].targets, strict=True)
            if sure >> place & 1
        }
        for moment in MUST_BE_DEAD
    }


class _Sound:
    """The cases of one device, those that logic leaves open played in numbers."""

    def __init__(self, screen: SoundScreen, use: StopUse, device: str, running: OperatingPoint) -> None:
        self.screen, self.use, self.device, self.running = screen, use, device, running
        self.names = [target.name for target in screen.net.targets]
        wanted = {target.name for target in use.targets}
        self.wanted = [n for n, name in enumerate(self.names) if name in wanted]
        self.played: dict[Hashable, Sequence[Mapping[Moment, Snapshot]]] = {}
        self.reason = ""

    def alive(self, moment: Moment, case: Case, place: int) -> tuple[str, ...]:
        seen = self.screen.screened.seen[moment].targets
        if any((seen[n][0] ^ seen[n][1]) >> place & 1 for n in self.wanted) or self._restless(place):
            at = Moment.FAULT if moment is Moment.RUN else moment
            either = {name for seen_at in self._in_numbers(case, place) for name in seen_at[at].alive}
            return tuple(self.names[n] for n in self.wanted if self.names[n] in either)
        return tuple(self.names[n] for n in self.wanted if seen[n][0] >> place & 1)

    def _restless(self, place: int) -> bool:
        return bool(self.screen.screened.unstable >> place & 1)

    def _in_numbers(self, case: Case, place: int) -> Sequence[Mapping[Moment, Snapshot]]:
        key = self.screen.screened.answers(place)
        if key not in self.played:
            condition = Condition(case.order, changed=case.changed, held=case.held)
            ways = run_either_way(self.running, self.use, self.device, (), condition)
            self.played[key] = [seen for _, seen in ways]
            shots = (shot for _, seen in ways for shot in seen.values())
            self.reason = self.reason or next(
                (shot.reason or shot.doubt for shot in shots if shot.reason or shot.doubt), ""
            )
        return self.played[key]

    def starting(self, moment: Moment, case: Case, place: int) -> tuple[str, ...]:
        """What is alive at a moment; at the return of the mains, what was dead without them."""
        found = self.alive(moment, case, place)
        if moment is not Moment.MAINS_ON or not found:
            return found
        before = self.alive(Moment.MAINS_OFF, case, place)
        return tuple(name for name in found if name not in before)


def sound_stop(screen: SoundScreen, use: StopUse, device: str, running: OperatingPoint) -> SoundStop:
    """The machine without a fault under one device; what the screen leaves open is played in numbers."""
    here = _Sound(screen, use, device, running)
    base = next(item for item in screen.of(device))
    worked: dict[tuple[Moment, str], tuple[str, ...]] = {}
    faster: dict[tuple[Moment, str], str] = {}
    found: dict[Moment, dict[str, None]] = {moment: {} for moment in Moment}
    for case, place in screen.of(device):
        for moment in MUST_BE_DEAD:
            for name in here.starting(moment, case, place):
                if name not in found[moment]:
                    found[moment][name] = None
                    worked[moment, name] = tuple(sorted(part for part, _ in case.changed))
                if case.order is not None and (moment, name) not in faster and _decides(here, screen, moment, name):
                    faster[moment, name] = case.order[0]
    run = here.alive(Moment.RUN, *base)
    left = tuple(dict.fromkeys((*found[Moment.STOP], *found[Moment.TRIED])))
    demanded = tuple(name for name in found[Moment.DEMAND] if name not in left)
    released = tuple(name for name in found[Moment.RELEASE] if name not in left)
    returned = tuple(found[Moment.MAINS_ON])
    held = _held(here, screen, {*left, *released, *returned}, worked)
    early = screen.screened.seen[Moment.STOP].early
    late = [here.names[n] for n in here.wanted if early and early[n][1] >> base[1] & 1]
    targets = dict(zip(here.names, zip(screen.net.targets, screen.screened.on_reset, strict=True), strict=True))
    on_reset = tuple(
        target.name for target in use.targets if not target.commanded and targets[target.name][1] >> base[1] & 1
    )
    again = set(run) <= set(here.alive(Moment.AGAIN, *base))
    return SoundStop(
        device,
        run,
        left,
        released,
        returned,
        again,
        tuple(name for name in late if name not in found[Moment.STOP]),
        here.reason,
        held,
        on_reset,
        demanded,
        _on_low(here, screen, found),
        bool(here.played),
        {key: names for key, names in worked.items() if names},
        faster,
    )


def _decides(here: _Sound, screen: SoundScreen, moment: Moment, name: str) -> bool:
    """Whether something is dead with another coil as the fastest."""
    at_rest = [item for item in screen.of(here.device) if not item[0].changed]
    return any(name not in here.starting(moment, *item) for item in at_rest)


def _held(
    here: _Sound, screen: SoundScreen, known: set[str], worked: dict[tuple[Moment, str], tuple[str, ...]]
) -> tuple[str, ...]:
    """What starts only because a hand holds an operator while the stop is released or the mains return."""
    found: dict[str, None] = {}
    for case, place in screen.of(here.device, held=True):
        hands = springing_back(screen.use.operators)
        for moment in STARTS_BY_ITSELF:
            for name in here.starting(moment, case, place):
                if name not in known and name not in found:
                    found[name] = None
                    worked[Moment.HELD, name] = tuple(
                        sorted(part for part, _ in (screen.use.worked ^ case.changed) & hands)
                    )
    return tuple(found)


def alive_without_fault(sound: SoundStop) -> Alive:
    """What the machine leaves alive without a fault at every moment at which it must be dead."""
    left = set(sound.left)
    released = left | set(sound.on_release)
    return {
        Moment.STOP: left,
        Moment.TRIED: left,
        Moment.RELEASE: released,
        Moment.DEMAND: left | set(sound.on_demand),
        Moment.MAINS_OFF: released,
        Moment.MAINS_ON: released | set(sound.on_mains),
    }
