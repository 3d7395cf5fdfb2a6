"""What a short circuit is, and what a device or a conductor sees of it: records that `short_circuits` fills."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property

from msgspec import Struct

from wiring.circuit.model import Conductor, Inner, Node
from wiring.design.fault.paths import FaultPaths, Origin, Reached
from wiring.parts.elements import Pole, Switch
from wiring.rulebooks.devices import Device
from wiring.solver.short_circuit import FaultCurrent

#: What a plan must add before anything on its mains can be judged in a short circuit.
FAULT_CURRENT = "the prospective short-circuit current at the inlet (`mains: {fault_current: …}`)"


class Short(Struct, frozen=True):
    """A short circuit between `node` and `against`, fed by the source of `origin` through `devices`, source first.

    `highest` are the currents with cold conductors and all sources of the rail, `lowest` those with hot ones [A] and
    `origin` alone; `hot_ohm` is the hot loop.
    `capacitor_a2s` is what the output capacitor of a supply adds to the Joule integral [A2s]; `motors_a` is how much of
    the pulse of `highest` running motors feed back [A].
    """

    node: Node
    against: Node
    origin: Origin
    devices: tuple[str, ...]
    volts: float
    cold_ohm: float
    hot_ohm: float
    highest: FaultCurrent
    lowest: FaultCurrent
    capacitor_a2s: float
    motors_a: float

    @property
    def dc(self) -> bool:
        """Whether direct current flows."""
        return self.origin.kind == "DC"


class Clearing(Struct, frozen=True):
    """`device` opens first, surely within `latest_s`, infinite when none does ("" then).

    `unknown` names the devices on the way whose curve the plan does not tell. `shuts_down` says that the source itself
    goes off, whether or not a device opens.
    """

    device: str
    latest_s: float
    unknown: tuple[str, ...]
    shuts_down: bool


class DeviceFault(Struct, frozen=True):
    """What a protective device sees: the short circuit at its own terminals, and the weakest one of those it clears.

    `clearing` tells who opens on the weakest one and when.
    """

    part: str
    device: Device
    nearest: Short
    farthest: Short
    clearing: Clearing


class ConductorFault(Struct, frozen=True):
    """What a conductor sees behind `device`, the nearest in front of it, "" where there is none.

    `highest` is a short where it begins, `lowest` one at its far end. A conductor of a return stands behind the devices
    of all the lines that it leads back from.
    """

    id: str
    device: str
    highest: Short
    lowest: Short


def _back(walk: Mapping[Node, Reached], start: Node) -> Iterator[str]:
    """The conductors on the way of a walk back to its source."""
    node: Node | None = start
    while node is not None and node in walk:
        reached = walk[node]
        if isinstance(reached.back, Conductor):
            yield reached.back.id
        node = reached.before


def _contacts(walk: Mapping[Node, Reached]) -> dict[Node | None, Node | None]:
    """By node of a walk the nearest on its way back, itself counted, that is reached through a contact or a pole."""
    found: dict[Node | None, Node | None] = {}
    for start in walk:
        node: Node | None = start
        way: list[Node | None] = []
        while node is not None and node in walk and node not in found:
            back = walk[node].back
            if isinstance(back, Inner) and isinstance(back.element, Pole | Switch):
                found[node] = node
            else:
                way.append(node)
                node = walk[node].before
        found.update(dict.fromkeys(way, found.get(node)))
    return found


class ShortCircuits(Struct, frozen=True, dict=True):
    """All of a machine. `to_return` and `to_earth` are by hot node, `to_earth` only where the return is earthed."""

    paths: FaultPaths
    known: Mapping[str, Device]
    to_return: Mapping[Node, Short]
    to_earth: Mapping[Node, Short]
    devices: Mapping[str, DeviceFault]
    conductors: tuple[ConductorFault, ...]

    @cached_property
    def at_part(self) -> Mapping[str, tuple[Short, ...]]:
        """The short circuits against the return at the terminals of each part."""
        found: dict[str, list[Short]] = {}
        for node, short in self.to_return.items():
            found.setdefault(node[0], []).append(short)
        return {name: tuple(shorts) for name, shorts in found.items()}

    def loop(self, short: Short) -> tuple[str, ...]:
        """The conductors of a short circuit's loop that carry its current to its node and back from the return, by id;
        the protective conductors of an earth fault are not among them."""
        return tuple(self.round(short))

    def round(self, short: Short) -> Iterator[str]:
        """The same, one after the other: of a long loop no more is walked than is asked for."""
        yield from _back(self.paths.hot, short.node)
        yield from _back(self.paths.returns, short.against)

    @cached_property
    def _nearest(self) -> tuple[dict[Node | None, Node | None], ...]:
        return _contacts(self.paths.hot), _contacts(self.paths.returns)

    def contacts_of(self, short: Short) -> Iterator[Inner]:
        """The contacts and poles in the loop of a short circuit, from the fault back to the source."""
        hot, returns = self._nearest
        of_hot, of_returns = (self.paths.hot, hot), (self.paths.returns, returns)
        for (walk, nearest), start in ((of_hot, short.node), (of_returns, short.against), (of_hot, short.against)):
            node = nearest.get(start)
            while node is not None:
                back = walk[node].back
                if isinstance(back, Inner):
                    yield back
                node = nearest.get(walk[node].before)

    @cached_property
    def fed_by(self) -> Mapping[str, tuple[Node, ...]]:
        """The hot nodes that each source feeds, by its part."""
        found: dict[str, list[Node]] = {}
        for node, reached in self.paths.hot.items():
            found.setdefault(self.paths.origins[reached.origin].part, []).append(node)
        return {name: tuple(nodes) for name, nodes in found.items()}
