"""What each thermal cut-out and overload relay does to the parts that it protects, in every state that feeds them, and
the one contactor or semiconductor on which it acts together with what keeps the temperature."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from msgspec import Struct

from wiring.circuit.model import Node
from wiring.design.machine import Machine
from wiring.design.nets import NetEdge
from wiring.design.operation import Operation
from wiring.design.stop.hazards import bus_is_fed, is_live
from wiring.design.stop.poles_left import left_on_lines
from wiring.parts.base import Part
from wiring.parts.drives import Inverter
from wiring.parts.elements import Function, Output, Pole, Switch
from wiring.parts.heating import TemperatureController, ThermalCutOut, Thermocouple, Thermostat
from wiring.parts.loads import Heater, MetalLoad
from wiring.parts.motors import BrakingResistor, Motor, Shaft
from wiring.parts.protection import MotorProtector
from wiring.parts.switching import Coiled, SolidStateRelay
from wiring.parts.traits import Quantity
from wiring.rulebooks.citation import Limit
from wiring.solver.assembly import Actuator
from wiring.solver.operating import OperatingPoint
from wiring.solver.settling import operate_on, program_outputs


class CutOut(Struct, frozen=True):
    """A cut-out and what it protects. `states` are those that feed it before the cut-out opens or after, `left` those
    in which it is fed while the cut-out has opened. `on_line` are terminals that stay on a line of a network without
    earth, while others are parted from theirs."""

    part: str
    protects: str
    states: tuple[str, ...]
    left: tuple[str, ...]
    on_line: tuple[Node, ...]


def cut_outs(machine: Machine, operation: Operation) -> tuple[CutOut, ...]:
    """Every cut-out with the part that it names, and every overload relay with the loads behind it, in each state.

    An overload relay opens no pole itself: it acts through its break contact alone. A motor protective switch does, and
    so does one without a contact.
    """
    found = []
    for part in machine.parts.values():
        if isinstance(part.data, ThermalCutOut) and part.data.protects in machine.parts:
            found.append(_worked(machine, operation, (part.name, "operator"), part.data.protects))
        elif isinstance(part.data, MotorProtector) and _is_relay(part):
            found += [
                _worked(machine, operation, (part.name, "trip"), load) for load in _behind(machine, operation, part)
            ]
    return tuple(found)


def _is_relay(part: Part) -> bool:
    assert isinstance(part.data, MotorProtector)
    return not part.data.magnetic and bool(part.of(Switch))


def _behind(machine: Machine, operation: Operation, part: Part) -> list[str]:
    """The loads whose current passes the poles of a device in some state, through whatever contacts; those that
    conductors alone join to it where no state feeds any."""
    poles = frozenset(f"{part.name}:{pole.name}" for pole in part.of(Pole))
    loads = [other for other in machine.parts.values() if isinstance(other.data, Shaft | MetalLoad)]
    found: set[str] = set()
    tripped = [operate_on(point, (part.name, "trip")) for point in operation.states.values()]
    for point in (*operation.states.values(), *tripped):
        live = [load for load in loads if is_live(load, machine.axes, point)]
        opened = operate_on(point, opened=poles) if live else point
        found |= {load.name for load in live if not is_live(load, machine.axes, opened)}
    return sorted(found) or _beside(machine, part)


def _beside(machine: Machine, part: Part) -> list[str]:
    nets = {machine.nets.bare[part.name, end] for pole in part.of(Pole) for end in (pole.a, pole.b)}
    return [
        other.name
        for other in machine.parts.values()
        if isinstance(other.data, Motor) and any(machine.nets.bare[other.name, end] in nets for end in other.terminals)
    ]


def _worked(machine: Machine, operation: Operation, opened: Actuator, protects: str) -> CutOut:
    load = machine.parts[protects]
    points = operation.states.items()
    tripped = {state: operate_on(point, opened) for state, point in points}
    left = [state for state, point in tripped.items() if _is_heated(machine, load, point)]
    fed = [state for state, point in points if state in left or _is_heated(machine, load, point)]
    mains = machine.plan.mains
    unearthed = fed and not left and mains is not None and mains.earthing == "IT"
    on_line = left_on_lines(machine, load, operation.states[fed[0]], tripped[fed[0]]) if unearthed else ()
    return CutOut(opened[0], protects, tuple(fed), tuple(left), on_line)


def _is_heated(machine: Machine, load: Part, point: OperatingPoint) -> bool:
    """Whether a part is fed; a braking resistor is while a drive that it reaches is: its chopper may fail closed, and
    neither a run command nor safe torque off keeps the bus from it."""
    if not isinstance(load.data, BrakingResistor):
        return is_live(load, machine.axes, point)
    nets, moved = machine.nets, point.position.moved | point.attracted

    def closed(edge: NetEdge) -> bool:
        one = edge.element
        return not isinstance(one, Switch) or ((edge.part, one.actuator) in moved) != one.closed_at_rest

    ends = [set(nets.spread((nets.of[load.name, end],), closed)) for end in ("R1", "R2")]
    return any(
        {True} == {any(nets.of[drive.name, end] in reached for end in ("R1", "R2")) for reached in ends}
        and bus_is_fed(drive, point)
        for drive in machine.parts.values()
        if isinstance(drive.data, Inverter) and drive.data.braking
    )


class SharedContactor(Struct, frozen=True):
    """A contactor, or a semiconductor relay, that keeps a load fed past its cut-out and past all that controls it once
    it is stuck. `controls` is empty where a semiconductor is the only control."""

    contactor: str
    cut_out: str
    protects: str
    controls: tuple[str, ...]


def shared_contactors(machine: Machine, operation: Operation) -> Iterator[SharedContactor]:
    """Every contactor or relay on which both a cut-out and every control of what it protects act.

    A control is a thermostat, an output of a program or a semiconductor switch that takes the power away when it opens.
    One that has failed closed controls nothing more, nor does what drives it.
    """
    for one in cut_outs(machine, operation):
        if not isinstance(machine.parts[one.part].data, ThermalCutOut) or one.left or not one.states:
            continue
        point, load = operation.states[one.states[0]], machine.parts[one.protects]
        stuck = {name: (name, moves) for name, moves in sorted(point.attracted) if _may_stick(machine.parts[name])}

        def fed(at: OperatingPoint, load: Part = load) -> bool:
            return is_live(load, machine.axes, at)

        opened = (one.part, "operator")
        defeated = {name: coil for name, coil in stuck.items() if fed(operate_on(point, coil, opened))}
        controls = {name: off for name, off in _controls(machine, point) if not fed(off(None))} if defeated else {}
        for name, coil in defeated.items():
            beside = {other: off for other, off in controls.items() if other != name}
            if controls and all(fed(off(coil)) for off in beside.values()):
                drivers = _regulators(machine, machine.parts[name]) if name in controls else ()
                yield SharedContactor(name, one.part, one.protects, (*beside, *drivers))


class KeptAlone(Struct, frozen=True):
    """A heater that nothing opens when what switches it sticks. `controls` switch it, none where it is always on;
    `by_program`: semiconductors and programs alone, on the mains, with one temperature controller at most."""

    heater: str
    controls: tuple[str, ...]
    by_program: bool


def kept_alone(machine: Machine, operation: Operation) -> Iterator[KeptAlone]:
    """Every heater that neither a cut-out nor a second thermostat watches, in the first state that feeds it. One of
    extra-low voltage counts where something keeps its temperature: a thermostat, or, where the machine measures one,
    what a program moves. A cut-out that names no part may be the one that it has."""
    guarded = {part.data.protects for part in machine.parts.values() if isinstance(part.data, ThermalCutOut)}
    for load in machine.parts.values():
        if load.data.raises is not Quantity.TEMPERATURE or load.name in guarded or "" in guarded:
            continue
        point = next((one for one in operation.states.values() if is_live(load, machine.axes, one)), None)
        if point is None:
            continue
        controls = tuple(name for name, off in _controls(machine, point) if not is_live(load, machine.axes, off(None)))
        parts = [machine.parts[name.partition(":")[0]] for name in controls]
        watched = len(controls) > 1 and any(_watches(part) for part in parts)
        if not watched and (_is_above_extra_low(machine, load) or _is_kept(machine, parts)):
            yield KeptAlone(load.name, controls, _is_above_extra_low(machine, load) and _by_program(machine, parts))


def _is_kept(machine: Machine, controls: Sequence[Part]) -> bool:
    measured = any(isinstance(part.data, TemperatureController | Thermocouple) for part in machine.parts.values())
    return bool(controls) and (measured or any(isinstance(part.data, Thermostat) for part in controls))


def _by_program(machine: Machine, controls: Sequence[Part]) -> bool:
    acting = [*controls, *(part for control in controls for part in _pulsing(machine, control))]
    regulators = {part.name for part in acting if isinstance(part.data, TemperatureController)}
    return bool(controls) and len(regulators) < 2 and not any(isinstance(part.data, Thermostat) for part in controls)


def _is_above_extra_low(machine: Machine, load: Part) -> bool:
    rated = load.data.rated.voltage if isinstance(load.data, Heater) else None
    low = machine.book.extra_low_voltage(rated.kind or "DC") if rated is not None else None
    return rated is not None and isinstance(low, Limit) and rated.volts > low.value


def _watches(part: Part) -> bool:
    return isinstance(part.data, Thermostat) and part.data.purpose == "watching"


def _may_stick(part: Part) -> bool:
    return isinstance(part.data, Coiled | SolidStateRelay)


def _controls(
    machine: Machine, point: OperatingPoint
) -> Iterator[tuple[str, Callable[[Actuator | None], OperatingPoint]]]:
    """What may control a load, each with the machine once it has switched off while a coil is stuck."""
    for part in machine.parts.values():
        if isinstance(part.data, Thermostat):
            yield part.name, partial(_worked_with, point, (part.name, "operator"))
        elif isinstance(part.data, SolidStateRelay):
            yield part.name, partial(_held_open, point, frozenset(f"{part.name}:{one.name}" for one in part.of(Switch)))
    for actuator in sorted(program_outputs(machine.circuit) & point.position.moved):
        yield f"{actuator[0]}:{actuator[1].removeprefix('output ')}", partial(_let_go, point, actuator)


def _worked_with(point: OperatingPoint, operator: Actuator, stuck: Actuator | None) -> OperatingPoint:
    return operate_on(point, operator, *([stuck] if stuck else []))


def _let_go(point: OperatingPoint, output: Actuator, stuck: Actuator | None) -> OperatingPoint:
    return operate_on(point, *([stuck] if stuck else []), let_go=output)


def _held_open(point: OperatingPoint, paths: frozenset[str], stuck: Actuator | None) -> OperatingPoint:
    return operate_on(point, *([stuck] if stuck else []), opened=paths)


class Above(Struct, frozen=True):
    """A cut-out with the temperature at which it opens, and a thermostat with the one that it keeps [°C]; None where
    the plan does not say."""

    cut_out: str
    control: str
    opens_c: float | None
    keeps_c: float | None


def not_above(machine: Machine, operation: Operation) -> Iterator[Above]:
    """Every cut-out that stands, or may stand, no higher than what a thermostat or a temperature controller keeps in
    its part."""
    for one in cut_outs(machine, operation):
        data, load = machine.parts[one.part].data, machine.parts[one.protects]
        if not isinstance(data, ThermalCutOut) or not one.states:
            continue
        point = operation.states[one.states[0]]
        for name, keeps_c, off in _keepers(machine, point):
            sure = data.opens_at is not None and keeps_c is not None and data.opens_at > keeps_c
            if not sure and not is_live(load, machine.axes, off(None)):
                yield Above(one.part, name, data.opens_at, keeps_c)


def _keepers(
    machine: Machine, point: OperatingPoint
) -> Iterator[tuple[str, float | None, Callable[[Actuator | None], OperatingPoint]]]:
    """What keeps a temperature, with that [°C] and with the machine once it has switched off."""
    for name, off in _controls(machine, point):
        part = machine.parts[name.partition(":")[0]]
        if isinstance(part.data, Thermostat) and part.data.purpose == "heating":
            yield part.name, part.data.switches_at, off
        for one in [part, *_pulsing(machine, part)]:
            if isinstance(one.data, TemperatureController):
                yield one.name, one.data.keeps, off


def _regulators(machine: Machine, relay: Part) -> tuple[str, ...]:
    return tuple(part.name for part in _pulsing(machine, relay) if isinstance(part.data, TemperatureController))


def _pulsing(machine: Machine, relay: Part) -> list[Part]:
    """The parts whose outputs drive the input of a semiconductor relay, through whatever contacts; none of others."""
    if not isinstance(relay.data, SolidStateRelay):
        return []
    ends = [machine.nets.of[relay.name, t.name] for t in relay.terminals.values() if t.function is Function.COIL]
    inputs = set(machine.nets.spread(ends, lambda edge: isinstance(edge.element, Switch)))
    outputs = machine.circuit.elements(Output)
    return [part for part, one in outputs if machine.nets.of[part.name, one.plus] in inputs]
