"""What logic says of the stops, kept from one version of a plan to the next.

It takes much of the time of a judgement, and follows from the nets that it is worked out on, the faults, the stops, and
what no state feeds. These are the key: a value that makes another net, such as the voltage that a coil needs, counts,
and one that no net knows does not. What logic leaves open is played in numbers anew each time.
"""

from __future__ import annotations

from collections.abc import Hashable

from msgspec import field
from msgspec.structs import astuple, replace

from wiring.changes.outcome import Outcome
from wiring.control.faults import single_faults
from wiring.control.net import Net, build_net
from wiring.control.screening import runs_of
from wiring.design.stop.records import StopProof
from wiring.design.stop.stopping import Stopping
from wiring.design.stop.uses import unfed

#: Versions that are kept: the last one, and that before a change which is taken back.
_MOST_KEPT = 4

Kept = dict[Hashable, StopProof]


class KeptStopping(Stopping, frozen=True):
    """The stops of a machine, with the proofs of versions before."""

    kept: Kept = field(default_factory=dict)

    def proof_by_logic(self) -> StopProof:
        """The proof as far as logic goes, that of an equal version where there was one."""
        key = self._key()
        known = self.kept.pop(key, None)
        if known is None:
            known = super().proof_by_logic()
            if any(sound.by_numbers for result in known.results.values() for sound in result.sound):
                return known  # what volts decided may be otherwise with another size
        self.kept[key] = known
        while len(self.kept) > _MOST_KEPT:
            del self.kept[next(iter(self.kept))]
        points = {use.called: one.running for one in self.from_states for use in one.uses}
        results = {name: replace(result, running=points[name]) for name, result in known.results.items()}
        return replace(known, running=self._at_work, results=results)

    def _key(self) -> Hashable:
        lowered, whole = self.machine.lowered, self.from_states[0].whole
        faults = single_faults(lowered.circuit)
        runs = runs_of(lowered, whole, [fault for fault in faults if not fault.excluded])
        nets = _frozen(build_net(lowered, whole.targets)), *((_frozen(net), some) for net, some in runs)
        return tuple(faults), self.uses, tuple(unfed(self.operation, use) for use in self.uses), self._orders(), nets

    def _orders(self) -> Hashable:
        return tuple(one.orders for one in self.from_states)


def _frozen(net: Net) -> Hashable:
    """A net with the order of its nodes and names, which another one equal to it has too."""
    return tuple(tuple(value.items()) if isinstance(value, dict) else value for value in astuple(net))


def with_kept(outcome: Outcome, kept: Kept) -> Outcome:
    """The same outcome, whose stop proof may be one of those kept."""
    design = outcome.design
    stopping = KeptStopping(design.machine, design.operation, kept)
    return replace(outcome, design=replace(design, stopping=stopping))
