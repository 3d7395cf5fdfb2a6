"""Voltages above those that parts are made for: across their elements, and at their terminals."""

from __future__ import annotations

from collections.abc import Iterator
from math import sqrt

from wiring.circuit.roles import Rail, Role
from wiring.design.design import Design
from wiring.design.nets import Net
from wiring.design.supply.given_voltages import Loaded
from wiring.design.supply.levels import reachable_volts, worst_volts
from wiring.design.supply.rail_levels import Level
from wiring.parts.base import Part, PartModel
from wiring.parts.drives import Drive
from wiring.parts.elements import Coil, Draw, Input, Link, Pole, Resistance, Switch
from wiring.parts.light_curtain import LightCurtain
from wiring.parts.loads import Fan, Heater, Lamp, Load, ProcessSource, Pump, Valve
from wiring.parts.motors import Brake, Motor, Shaft
from wiring.parts.outlet import SocketOutlet
from wiring.parts.passive import Resistor
from wiring.parts.protection import Breaker, Fuse, MotorProtector, ResidualCurrentDevice
from wiring.parts.signals import Encoder, IoCard, Isolator, Sensor
from wiring.parts.switching import Contactor, Relay, SafetyRelay, SolidStateRelay
from wiring.plan.ratings import Voltage, VoltageRange
from wiring.rulebooks.limits import tabled

#: Nominal voltages are rounded: 230/400 V and 120/208 V (IEC 60038) differ from the root of three by less than this.
_NOMINAL = 1.01


#: Devices whose DC rating has a rule of its own.
_ASKED_ELSEWHERE = Breaker | Fuse | ResidualCurrentDevice | MotorProtector


#: Every part that may have a rated voltage bears this one, and is not asked for it [V].
_ANY_PART_V = tabled("common", "any_insulation").value


#: What leads on to a load.
_WAYS = (Link, Pole, Switch)


#: A voltage [V], its kind and when it is there, the rated voltage, and the share of that which the part bears.
Excess = tuple[float, str, str, Voltage, float]


def rated_voltage_of(part: Part, element: Loaded, tolerance: float) -> tuple[Voltage, float] | None:
    """The rated voltage of an element and the share of it that it bears; None where another rule asks."""
    data = part.data
    match data:
        case Lamp() | Heater() | Fan() | Pump() | Valve() | Load() | Brake():
            return data.rated.voltage, tolerance
        case Contactor(coil=taken) | Relay(coil=taken) | SocketOutlet(feeds=taken) | LightCurtain(supply=taken):
            return taken.voltage, tolerance
        case Motor() if isinstance(element, Draw) and element.name == "shaft":
            return data.voltage, tolerance
        case Shaft() if data.encoder and isinstance(element, Draw) and element.name == "encoder":
            return data.encoder.voltage, tolerance
        case SafetyRelay() if isinstance(element, Coil) and element.moves == "supply":
            return data.supply.voltage, tolerance
        case Sensor():
            return Voltage(data.supply.high, "DC"), 1.0
        case Resistor() if data.power is not None:
            return Voltage(sqrt(data.power * data.resistance)), 1.0
        case ProcessSource() if data.enable_voltage and isinstance(element, Resistance):
            return data.enable_voltage, tolerance
        case Encoder() | IoCard() | Isolator() if data.supply and element.b == data.supply.between[1]:
            return (data.supply.voltage, tolerance) if isinstance(element, Draw | Input) else None
        case Drive() if data.logic and isinstance(element, Draw) and element.name == "logic":
            return data.logic.voltage, tolerance
    if isinstance(element, Input) and not isinstance(data, IoCard) and element.high_v != float("inf"):
        return Voltage(element.high_v, element.kind), 1.0
    return _of_signal_input(data, element, tolerance)


def _of_signal_input(data: PartModel, element: Loaded, tolerance: float) -> tuple[Voltage, float] | None:
    """The same of the input of a semiconductor switch or of an isolator."""
    if isinstance(data, SolidStateRelay) and isinstance(element, Coil):
        return Voltage(data.control.high, data.control.kind), 1.0
    if isinstance(data, Isolator) and isinstance(element, Resistance):
        return data.input_voltage, tolerance
    return None


def excess_across(design: Design, part: Part, tolerance: float) -> Excess | None:
    """What an element sees above its rated voltage."""
    for element in part.elements:
        if not isinstance(element, Draw | Coil | Input | Resistance):
            continue
        answer = rated_voltage_of(part, element, tolerance)
        if answer is None:
            continue
        rated, share = answer
        for volts, kind, where in _voltages_seen(design, part, element):
            foreign = rated.kind not in ("", kind) and volts > 0.5 * rated.volts and not isinstance(element, Resistance)
            bears = share if share != 1.0 or kind == "DC" else _NOMINAL
            if volts > rated.volts * bears * (1 + 1e-6) or foreign:
                return volts, kind, where, rated, share
    return None


def _voltages_seen(design: Design, part: Part, element: Loaded) -> Iterator[tuple[float, str, str]]:
    """Voltage across an element, its kind, and when: in the states, or once a program or a hand switches it on."""
    for kind in _kinds_at(design, part, element):
        volts, state = worst_volts(design.operation, part, element, kind)
        yield volts, kind, f"state {state}"
    for volts, kind, source in reachable_volts(design.machine, design.operation, part, element):
        yield volts, kind, f"switched on, from {source}"


def _kinds_at(design: Design, part: Part, element: Loaded) -> list[str]:
    """The kinds of voltage that the rails at an element bring; its own where only a small source feeds it."""
    rails = design.roles.rails
    found = {*rails[part.name, element.a], *rails[part.name, element.b]}
    return sorted({design.levels[rail].kind for rail in found if rail in design.levels} or {element.kind} - {""})


def excess_at_terminals(design: Design, part: Part) -> Excess | None:
    """What the terminals of a part see above the voltage that it is marked for."""
    key = "withstand" if isinstance(part.data, Isolator) else "rated_voltage"
    rated: Voltage | VoltageRange | None = getattr(getattr(part.data, "fuse", None) or part.data, key, None)
    if rated is None:
        return None
    if isinstance(rated, VoltageRange):  # of a solid-state relay
        rated = rated.highest
    for volts, level in _levels_at(design, part):
        if level.kind == "DC" and isinstance(part.data, _ASKED_ELSEWHERE):
            continue
        if volts > rated.volts * _NOMINAL:
            return volts, level.kind, f"by {level.source}", rated, 1.0
    return None


def _levels_at(design: Design, part: Part) -> Iterator[tuple[float, Level]]:
    """The voltage of each rail that reaches a part [V]; a single line counts to earth, unless what it switches hangs on
    another line: once open, that stands at its far side."""
    rails = {rail for terminal in part.terminals for rail in design.roles.rails[part.name, terminal]}
    lines = sum(rail.role is Role.LIVE for rail in rails)
    if lines == 1 and _opens_another_line(design, part, rails):
        lines = 2
    for rail in sorted(rails & design.levels.keys()):
        level = design.levels[rail]
        yield (level.earth_v if rail.role is Role.LIVE and lines == 1 else level.volts), level


def _opens_another_line(design: Design, part: Part, rails: set[Rail]) -> bool:
    """Whether a load that a contact or pole of a part feeds has its other end on a line that does not reach it."""
    nets: set[Net] = set()
    for way in part.of(Switch, Pole):
        for end in (way.a, way.b):
            start = (design.nets.of[part.name, end],)
            side = set(design.nets.spread(start, lambda e: e.part != part.name and isinstance(e.element, _WAYS)))
            if not any(pole.main for net in side for pole in design.nets.poles_at.get(net, ())):
                nets |= side
    for other, element in design.circuit.elements(Draw, Input, Resistance) if nets else ():
        assert isinstance(element, Draw | Input | Resistance)
        a, b = (other.name, element.a), (other.name, element.b)
        for near, far in ((a, b), (b, a)):
            live = {rail for rail in design.roles.rails[far] if rail.role is Role.LIVE}
            if design.nets.of[near] in nets and live - rails:
                return True
    return False


def is_unrated(design: Design, part: Part) -> bool:
    """Whether a part at more than every part bears leaves out the voltage that it is rated for."""
    if getattr(getattr(part.data, "fuse", None) or part.data, "rated_voltage", "") is not None:
        return False
    return any(
        level.kind != "DC" or not isinstance(part.data, _ASKED_ELSEWHERE)
        for volts, level in _levels_at(design, part)
        if volts > _ANY_PART_V
    )
