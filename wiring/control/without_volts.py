"""Coils that volts alone let go, wherever contacts stand: two in series between the rails of one source, or one across
a source in a short circuit.

Logic knows where a rail reaches, not what is left of its volts. Around a bridge few contacts count: those of all that
hangs together with it between the two poles of one source; what else the source feeds only takes volts away from both.
So this ring is solved in numbers in every position of its contacts, the stop device worked and the source alive. What
stays below the voltage at which it lets go in all of them lets go, whatever the rest of the machine does.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from itertools import chain, combinations
from typing import NamedTuple

from msgspec.structs import replace

from wiring.control.fault_record import Fault
from wiring.control.inject import effect
from wiring.control.layers import LayeredMachine, Solved, solved_from
from wiring.control.net import Net, Watch
from wiring.control.overload import with_bridges
from wiring.control.script import StopUse
from wiring.disjoint_sets import DisjointSets
from wiring.parts.elements import Coil
from wiring.solver.assembly import Actuator
from wiring.solver.lowering import Lowered
from wiring.solver.operating import OperatingPoint

#: Contacts of a ring that may stand either way, at most: so many positions are two to the power of it.
_MOST_MOVERS = 6
#: Up to here what always conducts is taken to lose no volts [ohm].
_STIFF_OHM = 1.0

#: The coils that a fault surely leaves without volts while a device is worked.
LetGo = Callable[[str, Fault], frozenset[Actuator]]


def none_lets_go(_: str, __: Fault) -> frozenset[Actuator]:
    """Where nothing is known of volts."""
    return frozenset()


class _Ring(NamedTuple):
    """What hangs together with a bridge between two poles: points, coils, what moves its contacts, what of it stands
    worked."""

    inside: Collection[int]
    coils: Sequence[Watch]
    movers: Sequence[Actuator]
    worked: frozenset[Actuator]


class WithoutVolts:
    """The coils that faults leave without volts on a lowered circuit, with the loads and supplies of a `running`
    machine, found once for each fault and device."""

    def __init__(self, net: Net, lowered: Lowered, use: StopUse, running: OperatingPoint) -> None:
        self.net, self.lowered, self.use, self.running = net, lowered, use, running
        self.rails = _rails(net, lowered)
        self.solved = solved_from(running) if lowered is running.lowered else Solved()
        self.known: dict[tuple[str, str], tuple[_Ring | None, frozenset[Actuator]]] = {}

    def of(self, device: str, fault: Fault) -> frozenset[Actuator]:
        """What a fault alone surely leaves without volts while a device is worked."""
        return self._of(device, fault)[1]

    def of_both(self, device: str, first: Fault, second: Fault) -> frozenset[Actuator]:
        """The same of two faults: what either does where the other one does not touch its ring."""
        return frozenset().union(
            *(
                coils
                for one, other in ((first, second), (second, first))
                for ring, coils in (self._of(device, one),)
                if ring and coils and not self._touches(other, ring)
            )
        )

    def _of(self, device: str, fault: Fault) -> tuple[_Ring | None, frozenset[Actuator]]:
        key = device, fault.id
        if key not in self.known:
            ring = self._ring(device, fault)
            coils = _without_volts(ring, fault, self.lowered, self.running, self.solved) if ring else frozenset()
            self.known[key] = ring, coils
        return self.known[key]

    def _touches(self, fault: Fault, ring: _Ring) -> bool:
        """Whether a fault changes anything in a ring but where the contacts of its movers stand."""
        done = effect(self.net, fault)
        if done is None:
            return False
        ends = [node for p in self.net.paths if p.id in (*done.opened, *done.closed) for node in (p.a, p.b)]
        ends += done.bridge[:2] if done.bridge else ()
        coils = {coil.actuator for coil in ring.coils}
        return any(self.rails[node] in ring.inside for node in ends) or bool(coils & {*done.on, *done.off})

    def _ring(self, device: str, fault: Fault) -> _Ring | None:
        """The ring of a bridge; None where it hangs on more than one source, or has too much that moves."""
        net, rails = self.net, self.rails
        bridge = net.bridge(*fault.bridge) if fault.bridge is not None else None
        ends = {rails[node] for node in bridge[:2]} if bridge else set()
        for source in net.sources:
            poles = {rails[source.plus], rails[source.minus]}
            if source.is_mains or not source.certain or not ends - poles:
                continue
            inside = _hanging(net, rails, ends - poles, poles)
            if inside:
                stop = (device, "operator")
                coils = [coil for coil in net.coils if {rails[coil.pair.a], rails[coil.pair.b]} & inside]
                movers = {p.moved_by for p in net.paths if p.moved_by and {rails[p.a], rails[p.b]} & inside} - {stop}
                worked = frozenset(() if device in self.use.let_go else {stop})
                few = coils and len(movers) <= _MOST_MOVERS
                return _Ring(inside, coils, sorted(movers), worked) if few else None
        return None


def _hanging(net: Net, rails: Sequence[int], start: Collection[int], poles: Collection[int]) -> set[int] | None:
    """What hangs together between the poles of one source; None where another source feeds or reaches into it."""
    near: dict[int, list[int]] = {}
    for a, b in chain(((path.a, path.b) for path in net.paths), net.soft, net.diodes):
        near.setdefault(rails[a], []).append(rails[b])
        near.setdefault(rails[b], []).append(rails[a])
    found, ahead = set(start), [*start]
    while ahead:
        new = {far for far in near.get(ahead.pop(), ()) if far not in poles} - found
        found |= new
        ahead += new
    fed = any({rails[source.plus], rails[source.minus]} & found for source in net.sources)
    return None if fed else found


def _rails(net: Net, lowered: Lowered) -> list[int]:
    """For every node the one that stands for all that nothing parts from it, and no resistance to speak of."""
    ohm: dict[str, float] = {}
    for edge in lowered.edges:
        name = net.names.get(edge.id, "")
        ohm[name] = ohm.get(name, 0.0) + edge.ohm
    joined = DisjointSets(net.count)
    for path in net.paths:
        if path.moved_by is None and ohm.get(path.id, 0.0) <= _STIFF_OHM:
            joined.join(path.a, path.b)
    return [joined.find(node) for node in range(net.count)]


def _without_volts(
    ring: _Ring, fault: Fault, lowered: Lowered, running: OperatingPoint, solved: Solved
) -> frozenset[Actuator]:
    machine = LayeredMachine(lowered, replace(running.position, moved=frozenset()), running, solved, carried=True)
    machine.lowered = with_bridges(lowered, (fault,))
    elements = {(key[0], coil.moves): (key[0], coil) for key, coil in lowered.circuit.keyed(Coil).items()}
    left = {coil.actuator for coil in ring.coils}
    for moved in _subsets(ring.movers):
        machine.attracted, machine.held = set(), ring.worked | moved
        layers = machine.solve_layers()
        if any(machine.doubts.values()):
            return frozenset()
        point = machine.point(*layers, [])
        left = {one for one in left if _volts(*elements[one], point) < elements[one][1].drop_out_v}
        if not left:
            break
    return frozenset(left)


def _volts(part: str, coil: Coil, point: OperatingPoint) -> float:
    return abs(point.between((part, coil.a), (part, coil.b), coil.kind or "DC"))


def _subsets(movers: Sequence[Actuator]) -> Iterator[frozenset[Actuator]]:
    return map(frozenset, chain.from_iterable(combinations(movers, n) for n in range(len(movers) + 1)))
