"""What follows in the states of a machine when a switch follows what it watches: loads that it feeds, and so drives on
what it should hold down."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.machine import Machine
from wiring.design.operation import Operation
from wiring.design.stop.hazards import is_live
from wiring.design.switching.dependence import depends_on
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.heating import TemperatureController, Thermostat
from wiring.parts.operators import Operated
from wiring.parts.signals import IoCard
from wiring.parts.traits import Quantity
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


class Idle(Struct, frozen=True):
    """A thermostat for heating that is warm and leaves `loads` fed in `states`; `elsewhere`: it takes their power in
    others. One that takes it from no heat in any state stands with the heats that nothing regulates."""

    switch: str
    loads: tuple[str, ...]
    states: tuple[str, ...]
    elsewhere: bool


def idle_thermostats(machine: Machine, operation: Operation) -> Iterator[Idle]:
    """Every such thermostat that no program reads."""
    regulating = [part for part in machine.parts.values() if _regulates(machine, part)]
    heats = [part for part in machine.parts.values() if part.data.raises is Quantity.TEMPERATURE] if regulating else []
    heats = [heat for heat in heats if not any(_is_program(machine, one) for one in depends_on(machine, (heat.name,)))]
    taken: dict[str, set[str]] = {one.name: set() for one in regulating}
    kept: dict[str, list[str]] = {}
    for state, point in operation.states.items() if regulating else ():
        live = [heat for heat in heats if is_live(heat, machine.axes, point)]
        together = operate_on(point, *((one.name, "operator") for one in regulating)) if live else point
        for heat in live:
            if is_live(heat, machine.axes, together):
                kept.setdefault(heat.name, []).append(state)
            for one in regulating:
                if not is_live(heat, machine.axes, operate_on(point, (one.name, "operator"))):
                    taken[one.name].add(heat.name)
    left = [name for name in kept if not any(name in found for found in taken.values())]
    for one in regulating:
        for elsewhere, loads in ((True, [n for n in kept if n in taken[one.name]]), (False, left)):
            if loads and (elsewhere or not taken[one.name]):
                states = dict.fromkeys(state for name in loads for state in kept[name])
                yield Idle(one.name, tuple(loads), tuple(states), elsewhere)


def _regulates(machine: Machine, part: Part) -> bool:
    """Whether a part is a thermostat for heating that is wired, and that no program reads."""
    if not isinstance(part.data, Thermostat) or part.data.purpose != "heating":
        return False
    ends = [(part.name, end) for switch in part.of(Switch) for end in (switch.a, switch.b)]
    beside = {name for end in ends for name, _ in machine.nets.members[machine.nets.of[end]]}
    return set(ends) <= machine.nets.joined and not any(_is_program(machine, name) for name in beside)


def _is_program(machine: Machine, name: str) -> bool:
    return name in machine.parts and isinstance(machine.parts[name].data, IoCard | TemperatureController)
