"""What the stop proof finds: a result for each stop, with a verdict on every fault."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

from msgspec import Struct
from msgspec.structs import replace

from wiring.control.fault_record import Fault
from wiring.control.net import Net
from wiring.control.script import StopUse
from wiring.control.sound import SoundStop
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.solver.operating import OperatingPoint


class StopResult(Struct, frozen=True, dict=True):
    """One stop from one state: its devices on the sound machine, the verdict on every fault under every device.

    `unfed` are targets that no state of the plan feeds: for them nothing is proved. `open_pairs` are
    more than numbers settle in time: a device and the ids of two faults. `known` are faults of which another state, and
    `before` what it, tells as much or worse of the same stop.
    """

    use: StopUse
    sound: tuple[SoundStop, ...]
    verdicts: tuple[FaultVerdict, ...]
    running: OperatingPoint
    unfed: tuple[str, ...] = ()
    open_pairs: tuple[tuple[str, str, str], ...] = ()
    known: frozenset[str] = frozenset()
    before: tuple[SoundStop, ...] = ()

    @cached_property
    def news(self) -> tuple[SoundStop, ...]:
        """The devices on the sound machine without what another state tells of the same stop already."""
        return tuple(_news(sound, [one for one in self.before if one.device == sound.device]) for sound in self.sound)

    @property
    def says_more(self) -> bool:
        """Whether this state tells anything of the stop that another one does not."""
        told = any(map(_says, self.news)) or any(s.reason for s in self.sound)
        left_out = self.of(Verdict.DANGEROUS, excluded=True)
        return bool(told or self.dangerous or self.hidden or self.undecided or self.open_pairs or left_out)

    def of(self, word: Verdict, *, excluded: bool = False) -> tuple[FaultVerdict, ...]:
        """The faults with a verdict, each once with the first device that shows it."""
        found: dict[str, FaultVerdict] = {}
        for one in self.verdicts:
            if one.verdict is word and bool(one.fault.excluded) is excluded and one.fault.id not in self.known:
                found.setdefault(one.fault.id, one)
        return tuple(found.values())

    @cached_property
    def dangerous(self) -> tuple[FaultVerdict, ...]:
        """Faults that must be assumed and defeat the stop."""
        return self.of(Verdict.DANGEROUS)

    @cached_property
    def hidden(self) -> tuple[FaultVerdict, ...]:
        """Faults that must be assumed, leave the stop working and stay unseen, and the next fault is dangerous; without
        those dangerous elsewhere. Known of a complete proof only."""
        return self._lesser(Verdict.HIDDEN)

    @cached_property
    def unseen(self) -> tuple[FaultVerdict, ...]:
        """Faults that must be assumed, leave the stop working and stay unseen, as far as logic tells; second faults are
        not tried."""
        return self._lesser(Verdict.UNSEEN)

    def _lesser(self, word: Verdict) -> tuple[FaultVerdict, ...]:
        worse = {one.fault.id for one in self.dangerous}
        return tuple(one for one in self.of(word) if one.fault.id not in worse)

    @cached_property
    def undecided(self) -> tuple[FaultVerdict, ...]:
        """Faults that must be assumed and on which neither logic nor numbers give a verdict."""
        return self.of(Verdict.UNDECIDED)


#: What is told of a device on the sound machine.
_TOLD = ("left", "on_release", "on_mains", "on_held", "on_reset", "on_demand", "on_low", "late")
_GRAVER = (Verdict.SAFE, Verdict.UNSEEN, Verdict.HIDDEN, Verdict.UNDECIDED, Verdict.DANGEROUS)
_RANKS = {verdict: rank for rank, verdict in enumerate(_GRAVER)}
_NONE: frozenset[str] = frozenset()


def _news(sound: SoundStop, before: Sequence[SoundStop]) -> SoundStop:
    told = {name: {target for one in before for target in getattr(one, name)} for name in _TOLD}
    return replace(
        sound,
        **{name: tuple(one for one in getattr(sound, name) if one not in known) for name, known in told.items()},
    )


def _gravest(result: StopResult) -> dict[str, tuple[int, frozenset[str]]]:
    """By fault, the rank of its gravest verdict in a result, with what is alive then or in a milder one told later."""
    found: dict[str, tuple[int, frozenset[str]]] = {}
    for one in result.verdicts:
        now, (rank, alive) = _RANKS[one.verdict], found.get(one.fault.id, (-1, _NONE))
        if now > rank:
            found[one.fault.id] = now, frozenset(one.alive)
        elif one.alive:
            found[one.fault.id] = rank, alive.union(one.alive)
    return found


def _says(sound: SoundStop) -> bool:
    return any(getattr(sound, name) for name in _TOLD)


def tells_more(sound: SoundStop, before: Sequence[SoundStop]) -> bool:
    """Whether a device on the sound machine does from one state what it does not from others before."""
    return _says(_news(sound, before))


def merged(found: Iterable[StopResult]) -> dict[str, StopResult]:
    """Results by stop and state, each with what the states before it tell of the same stop."""
    every = list(found)
    states = Counter(result.use.name for result in every)
    results: dict[str, StopResult] = {}
    worst: dict[tuple[str, str], tuple[int, frozenset[str]]] = {}
    before: dict[str, tuple[SoundStop, ...]] = {}
    for result in every:
        stop = result.use.name
        mine = _gravest(result) if states[stop] > 1 else {}
        known = frozenset(
            name
            for name, (rank, alive) in mine.items()
            if (stop, name) in worst and rank <= worst[stop, name][0] and alive <= worst[stop, name][1]
        )
        results[result.use.called] = replace(result, known=known, before=before.get(stop, ()))
        before[stop] = (*before.get(stop, ()), *result.sound)
        for name, (rank, alive) in mine.items():
            most, fed = worst.get((stop, name), (-1, _NONE))
            worst[stop, name] = max(most, rank), fed | alive
    return results


class StopProof(Struct, frozen=True):
    """The proof of every stop of a plan from every state that differs, `running` the first of them.

    `complete`: every order of contacts, every danger in numbers, pairs of faults.

    `faults` must be assumed, `left_out` may be left out under a condition of ISO 13849-2 that this circuit meets.
    """

    faults: tuple[Fault, ...]
    results: Mapping[str, StopResult]
    running: OperatingPoint
    net: Net | None = None
    complete: bool = False
    left_out: tuple[Fault, ...] = ()
