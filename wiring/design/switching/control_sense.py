"""What follows in the states of a machine when a switch follows what it watches: loads that it feeds, and so drives on
what it should hold down."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.stop.hazards import is_live
from wiring.parts.base import Part
from wiring.parts.operators import Operated
from wiring.solver.settling import operate_on


class Reversed(Struct, frozen=True):
    """A switch that, at what it watches, feeds `load`, which raises it, or takes the power from one that lowers it."""

    switch: str
    load: str
    states: tuple[str, ...]
    feeds: bool


def reversed_controls(machine: Machine, operation: Operation) -> Iterator[Reversed]:
    """Every switch with each load that it moves in the wrong sense, and the states in which it does."""
    for part in machine.parts.values():
        if not isinstance(part.data, Operated) or part.data.watches is None:
            continue
        loads = [other for other in machine.parts.values() if _acts_on(part, other)]
        found: dict[str, list[str]] = {}
        for state, point in operation.states.items() if loads else ():
            operator = part.name, "operator"
            at_rest, worked = operate_on(point, let_go=operator), operate_on(point, operator)
            for load in loads:
                before, after = (is_live(load, machine.axes, one) for one in (at_rest, worked))
                if before != after and after == (load.data.raises is part.data.watches):
                    found.setdefault(load.name, []).append(state)
        for name, states in found.items():
            raises = machine.parts[name].data.raises is part.data.watches
            yield Reversed(part.name, name, tuple(states), raises)


def _acts_on(switch: Part, load: Part) -> bool:
    """Whether a load moves what a switch watches: any that raises it, those that lower it inside the cabinet, where
    nothing else needs the air of a fan."""
    quantity = switch.data.watches
    return load.data.raises is quantity or (load.data.lowers is quantity and load.data.at in ("cabinet", "door"))
