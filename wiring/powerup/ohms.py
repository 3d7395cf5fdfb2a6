"""The ohmmeter on the dead machine: a small test source between the probes, everything unplugged.

What has a fixed resistance takes part: conductors, closed contacts, fuses, links, DC coils, motor windings, heaters,
resistors, bleeders. Electronics (supplies, drives, signal inputs, lamps) has none that anybody could foresee; where it
would change a reading, the reading has no fixed value.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import inf

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Element, Input, Output, Rectifying, Resistance
from wiring.powerup.low_rank_update import BranchChange, FactoredNetwork
from wiring.powerup.step import Setting
from wiring.solver.driving_point import driving_point
from wiring.solver.lowering import Lowered, is_closed
from wiring.solver.network import Branch, Network

#: Stand-in for electronics when it is asked whether it would change a reading [ohm].
_STAND_IN_OHM = 100.0
_CHANGED, _CHANGED_OHM = 0.02, 0.02


class Ohms(Struct, frozen=True):
    """A reading of the ohmmeter: `ohm` None where nothing of fixed resistance joins the probes; `fixed` False where
    electronics would change it."""

    ohm: float | None
    fixed: bool


def _elements(part: Part) -> list[tuple[Element, str, str]]:
    return [
        (element, element.a, element.b)
        for element in part.elements
        if isinstance(element, Resistance | Coil | Draw | Input | Rectifying)
    ] + [(element, element.plus, element.minus) for element in part.elements if isinstance(element, Output)]


def _is_fixed(part: Part, element: Element) -> float | None:
    """The resistance of an element for an ohmmeter [ohm]; None for electronics and for windings with an unknown one."""
    if isinstance(element, Resistance) and part.data.ohmic:
        return element.ohm if part.data.ohmic_known() else None
    if isinstance(element, Coil) and element.kind == "DC" and element.inductive:
        return element.ohm
    return None


def dead_network(lowered: Lowered, setting: Setting, opened: frozenset[str], closed: frozenset[str]) -> Network:
    """Conductors, contacts and everything of fixed resistance, with nothing fed."""
    return Network(lowered.count, (), tuple(_branches(lowered, setting, opened, closed, None)))


def _branches(
    lowered: Lowered, setting: Setting, opened: frozenset[str], closed: frozenset[str], stand_in: float | None
) -> list[Branch]:
    moved = setting.moved | {(event.part, event.actuator) for event in setting.events if event.on}
    found = [
        Branch(edge.a, edge.b, edge.ohm)
        for edge in lowered.edges
        if edge.a != edge.b and is_closed(edge, moved, setting.opened | opened, closed)
    ]
    for part in lowered.circuit.parts.values():
        for element, first, second in _elements(part):
            ohm = _is_fixed(part, element)
            ohm = stand_in if ohm is None else ohm
            a, b = lowered.index[part.name, first], lowered.index[part.name, second]
            if ohm is not None and a != b:
                found.append(Branch(a, b, ohm))
    return found


def measure(
    lowered: Lowered,
    setting: Setting,
    probes: Sequence[tuple[Node, Node]],
    opened: frozenset[str] = frozenset(),
    closed: frozenset[str] = frozenset(),
) -> tuple[float | None, ...]:
    """What an ohmmeter shows between every pair of probes [ohm], electronics left out; None for open."""
    pairs = [(lowered.index[a], lowered.index[b]) for a, b in probes]
    network = dead_network(lowered, setting, opened, closed)
    return tuple(None if ohm is None else ohm.real for ohm in driving_point(network, pairs).pair_ohm)


def measure_fixed(lowered: Lowered, setting: Setting, probes: Sequence[tuple[Node, Node]]) -> tuple[Ohms, ...]:
    """The same, each with whether electronics would change the reading."""
    pairs = [(lowered.index[a], lowered.index[b]) for a, b in probes]
    bare = measure(lowered, setting, probes)
    branches = _branches(lowered, setting, frozenset(), frozenset(), _STAND_IN_OHM)
    crowded = driving_point(Network(lowered.count, (), tuple(branches)), pairs).pair_ohm
    found = []
    for own, other in zip(bare, crowded, strict=True):
        if own is None or other is None:
            found.append(Ohms(own, own is None and other is None))
        else:
            found.append(Ohms(own, abs(own - other.real) <= max(_CHANGED * own, _CHANGED_OHM)))
    return tuple(found)


class DeadMeter:
    """The ohmmeter on the sound machine in one setting, asked what faults change in its readings."""

    def __init__(self, lowered: Lowered, setting: Setting) -> None:
        self.lowered, self.setting = lowered, setting
        network = dead_network(lowered, setting, frozenset(), frozenset())
        self.work = FactoredNetwork(
            lowered.count, [(branch.a, branch.b, 1.0 / branch.ohm) for branch in network.branches]
        )
        moved = setting.moved | {(event.part, event.actuator) for event in setting.events if event.on}
        self.paths = {edge.id: edge for edge in lowered.edges if is_closed(edge, moved, setting.opened)}

    def read(self, changes: Sequence[BranchChange], probes: Sequence[tuple[Node, Node]]) -> tuple[float, ...] | None:
        """The resistances between probes with some branches changed, infinite where open; None where that is too
        close to call."""
        changed = self.work.change(changes)
        if changed is None:
            return None
        found = []
        for red, black in probes:
            a, b = self.lowered.index[red], self.lowered.index[black]
            if not changed.joined(a, b):
                found.append(inf)
            else:
                found.append(changed.across(self.work.reply(a, b), a, b).real if a != b else 0.0)
        return tuple(found)
