"""What the stop proof finds: a result for each stop, with a verdict on every fault."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property

from msgspec import Struct

from wiring.control.fault_record import Fault
from wiring.control.net import Net
from wiring.control.script import StopUse
from wiring.control.sound import SoundStop
from wiring.control.verdicts import FaultVerdict, Verdict
from wiring.solver.operating import OperatingPoint


class StopResult(Struct, frozen=True, dict=True):
    """One stop: its devices on the sound machine, and the verdict on every fault under every device.

    `unfed` are targets that no state of the plan feeds: for them nothing is proved. `open_pairs` are
    more than numbers settle in time: a device and the ids of two faults.
    """

    use: StopUse
    sound: tuple[SoundStop, ...]
    verdicts: tuple[FaultVerdict, ...]
    unfed: tuple[str, ...] = ()
    open_pairs: tuple[tuple[str, str, str], ...] = ()

    def of(self, word: Verdict, *, excluded: bool = False) -> tuple[FaultVerdict, ...]:
        """The faults with a verdict, each once with the first device that shows it."""
        found: dict[str, FaultVerdict] = {}
        for one in self.verdicts:
            if one.verdict is word and bool(one.fault.excluded) is excluded:
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
        """Faults on which neither logic nor numbers give a verdict."""
        return self.of(Verdict.UNDECIDED) + self.of(Verdict.UNDECIDED, excluded=True)


class StopProof(Struct, frozen=True):
    """The proof of every stop of a plan. `complete`: every order of contacts, every danger in numbers, pairs of faults.

    `faults` must be assumed, `left_out` may be left out under a condition of ISO 13849-2 that this circuit meets.
    """

    faults: tuple[Fault, ...]
    results: Mapping[str, StopResult]
    running: OperatingPoint
    net: Net | None = None
    complete: bool = False
    left_out: tuple[Fault, ...] = ()
