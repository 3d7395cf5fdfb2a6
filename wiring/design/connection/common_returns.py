"""Loads whose common return leads to no source: they are in series with one another, and what each gets hangs on which
of the others is on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.machine import Machine
from wiring.design.nets import Net
from wiring.design.operation import Operation
from wiring.parts.base import Part
from wiring.parts.elements import Coil, Draw, Input, Resistance, Switch
from wiring.solver.settling import operate_on


class FloatingReturn(Struct, frozen=True):
    """Loads that only one another return; `joints` are the parts on which they meet.

    `highest` is the most that one of them gets as a share of its voltage with its own way closed, `lowest` the least,
    each with the load and the device that is then open ("" for none).
    """

    loads: tuple[str, ...]
    joints: tuple[str, ...]
    highest: tuple[float, str, str]
    lowest: tuple[float, str, str]


class _Hung(Struct, frozen=True):
    part: Part
    ends: tuple[Node, Node]
    kind: str
    volts: float
    switched_by: frozenset[str]


def floating_returns(machine: Machine, operation: Operation) -> Iterator[FloatingReturn]:
    """Every common return without a source, of loads that are switched apart from one another."""
    for group, hung in _groups(machine).items():
        poles = {pole for one in hung for pole in _poles(machine, one)}
        apart = any(other.switched_by - one.switched_by for one in hung for other in hung)
        if len({one.part.name for one in hung}) > 1 and len(poles) > 1 and apart:
            yield _worked(machine, operation, group, hung)


def _groups(machine: Machine) -> Mapping[frozenset[Net], list[_Hung]]:
    """The loads that hang between a source and nets that reach none, by these nets; one of several lines, which needs
    no neutral, does not count."""
    found: dict[frozenset[Net], list[_Hung]] = {}
    for part, element in machine.circuit.elements(Draw, Coil, Input, Resistance):
        assert isinstance(element, Draw | Coil | Input | Resistance)
        several = len(part.of(Draw, Coil, Resistance)) > 1
        if several or (isinstance(element, Resistance) and not element.load):
            continue
        a, b = (part.name, element.a), (part.name, element.b)
        for far, near in ((a, b), (b, a)):
            if near not in machine.nets.joined or far not in machine.nets.joined or _is_fed(machine, near):
                continue
            if _is_fed(machine, far):
                group = frozenset(machine.nets.reach(near).ohm_to)
                hung = _Hung(part, (far, near), element.kind or "AC", _rated_v(part), _switched_by(machine, far))
                found.setdefault(group, []).append(hung)
    return found


def _is_fed(machine: Machine, node: Node) -> bool:
    return (
        any(one.pole.main for one in machine.nets.reach(node).sources) or machine.nets.of[node] in machine.nets.bonds_at
    )


def _poles(machine: Machine, one: _Hung) -> Iterator[Net]:
    return (machine.nets.of[r.pole.node] for r in machine.nets.reach(one.ends[0]).sources if r.pole.main)


def _switched_by(machine: Machine, far: Node) -> frozenset[str]:
    return frozenset(name for reached in machine.nets.reach(far).sources if reached.pole.main for name in reached.parts)


def _rated_v(part: Part) -> float:
    rated = getattr(part.data, "rated", None) or getattr(part.data, "coil", None) or getattr(part.data, "voltage", None)
    voltage = getattr(rated, "voltage", rated)
    return float(getattr(voltage, "volts", 0.0))


def _worked(machine: Machine, operation: Operation, group: frozenset[Net], hung: list[_Hung]) -> FloatingReturn:
    """What each load gets in every state, with every device that switches another one open on its own."""
    shares: list[tuple[float, str, str]] = []
    for point in operation.states.values():
        for opened in ("", *sorted({name for one in hung for name in one.switched_by})):
            paths = {f"{opened}:{switch.name}" for switch in machine.parts[opened].of(Switch)} if opened else set()
            at = operate_on(point, opened=frozenset(paths)) if opened else point
            for one in hung:
                if one.volts and opened not in one.switched_by:
                    shares.append((abs(at.between(*one.ends, one.kind)) / one.volts, one.part.name, opened))
    joints = {name for net in group for name, _ in machine.nets.members[net]} - {one.part.name for one in hung}
    nothing = (0.0, hung[0].part.name, "")
    return FloatingReturn(
        tuple(sorted({one.part.name for one in hung})),
        tuple(sorted(joints)),
        max(shares, default=nothing),
        min(shares, default=nothing),
    )
