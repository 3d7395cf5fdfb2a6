"""What logic says of the stops, kept from one version of a plan to the next.

It takes much of the time of a judgement, and neither sizes nor lengths, titles, ratings of devices nor the work of a
motor enter it. Everything else of parts, conductors and stops is in its key: what is not known to be without effect
counts. What logic leaves open is played in numbers anew each time.
"""

from __future__ import annotations

from collections.abc import Hashable

from msgspec import field
from msgspec.structs import replace

from wiring.changes.outcome import Outcome
from wiring.control.alive import is_alive
from wiring.design.stop.records import StopProof
from wiring.design.stop.stopping import Stopping
from wiring.design.stop.uses import running_point, together
from wiring.parts.base import PartModel
from wiring.parts.elements import Element, Pole

#: Versions that are kept: the last one, and that before a change which is taken back.
_MOST_KEPT = 4
#: Keys of a part that tell people something; that only loads follow from, which are in the operating points; or at
#: which a device opens, which only numbers know.
_WITHOUT_EFFECT = {
    *("title", "note", "order", "price", "supplier"),
    *("work", "holding_torque", "rated_torque", "peak_torque", "inertia"),
    *("rating", "curve", "breaking"),
}

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
        return replace(known, running=running_point(self.operation, together(self.uses).targets))

    def _key(self) -> Hashable:
        circuit, plan = self.machine.circuit, self.machine.plan
        parts = tuple(
            (name, type(part.data).__name__, _words(part.data), tuple(map(_seen, part.elements)))
            for name, part in circuit.parts.items()
        )
        wires = tuple(
            (wire.id, wire.ends, wire.kind, wire.route, wire.cable, wire.cores) for wire in circuit.conductors
        )
        routes = tuple((name, route.at) for name, route in sorted(plan.routes.items()))
        targets = {target.name: target for use in self.uses for target in use.targets}.values()
        alive = tuple(
            (state, tuple(target.name for target in targets if is_alive(target, point)))
            for state, point in self.operation.states.items()
        )
        orders = (self.unfaulted.orders, bool(self.unfaulted.races))
        return (plan.rulebook, repr(plan.mains), parts, wires, routes, self.uses, self.worked, alive, orders)


def _seen(element: Element) -> Hashable:
    """An element as logic sees it, which knows no ohms of a pole."""
    return (Pole, element.a, element.b) if isinstance(element, Pole) else element


def _words(data: PartModel) -> str:
    """What the plan says of a part, as one text, without what has no effect."""
    return repr([(key, value) for key, value in data if key not in _WITHOUT_EFFECT])


def with_kept(outcome: Outcome, kept: Kept) -> Outcome:
    """The same outcome, whose stop proof may be one of those kept."""
    design = outcome.design
    stopping = KeptStopping(design.machine, design.operation, kept)
    return replace(outcome, design=replace(design, stopping=stopping))
