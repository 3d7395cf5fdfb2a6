"""Loads that get too low a voltage in a state, coils that no state attracts, and parts without an operating point."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.supply.levels import reachable_volts, worst_volts
from wiring.parts.drives import LogicSupply
from wiring.parts.elements import Coil, Draw, Input
from wiring.parts.motors import Motor, MotorEncoder
from wiring.rulebooks.limits import tabled
from wiring.solver.assembly import ElementKey
from wiring.solver.operating import Layer, OperatingPoint


def parts_without_point(layer: Layer) -> list[str]:
    """The parts whose loads have neither current nor voltage."""
    pairs = zip(layer.assembled.power_keys, layer.solution.power_a, strict=True)
    return sorted({key[0] for key, amps in pairs if amps is None})


def source_in_front(design: Design, part: str) -> str:
    """The source that feeds a part; "" where none reaches it."""
    paths = design.short_circuits.paths
    for element in design.parts[part].of(Draw, Input):
        for end in (element.a, element.b):
            reached = paths.hot.get((part, end))
            if reached is not None:
                return paths.origins[reached.origin].part
    return ""


#: Below this share of its least voltage a load counts as not fed at all, which is no fault of its supply (own choice).
_FED_SHARE = 0.2


#: Below this nothing feeds a coil [V]: what leaks through inputs and open outputs (own choice).
_FED_V = 0.5


LOGIC_LOWEST = tabled("common", "logic_lowest")
MOTOR_LOWEST = tabled("common", "motor_lowest")


class LowVoltage(Struct, frozen=True):
    """A load that gets too low a voltage in a state [V], the least that it needs [V], and what that is for."""

    part: str
    state: str
    volts: float
    least_v: float
    what: str


def locked_out(design: Design, state: str, point: OperatingPoint, moment: str) -> Iterator[LowVoltage]:
    """Loads of constant power that find no operating point."""
    for layer in (point.dc, point.ac):
        for locked in layer.solution.locked_out:
            load = layer.assembled.network.powers[locked.load]
            across = layer.solution.between(load.a, load.b)
            if across is None or (layer is point.dc and across.real < 0.0):
                continue  # reversed, which is told as such
            if locked.volts is not None and locked.volts > _FED_SHARE * load.lockout_v:
                key: ElementKey = layer.assembled.power_keys[locked.load]
                yield LowVoltage(key[0], f"{state}{moment}", locked.volts, load.lockout_v, "runs from")


def weak_coils(design: Design, state: str, point: OperatingPoint) -> Iterator[LowVoltage]:
    """Coils between what leaks into them and what they attract from."""
    for part in design.parts.values():
        for element in part.of(Coil):
            volts = point.between((part.name, element.a), (part.name, element.b), element.kind or "DC")
            if _FED_SHARE * element.pick_up_v < volts < element.pick_up_v * (1 - 1e-9):
                yield LowVoltage(part.name, state, volts, element.pick_up_v, "attracts from")


def never_attracted(design: Design) -> Iterator[LowVoltage]:
    """Coils that no state attracts, at the most that a state, or the outputs and contacts on their way, give them."""
    for part in design.parts.values():
        for element in part.of(Coil):
            if not element.inductive or worst_volts(design.operation, part, element, element.kind or "DC")[0] > _FED_V:
                continue
            wrong_kind = "DC" if element.kind == "AC" else "AC"
            given = [one.volts for one in reachable_volts(design.machine, design.operation, part, element)]
            given.append(worst_volts(design.operation, part, element, wrong_kind)[0])
            if _FED_V < max(given) < element.pick_up_v * (1 - 1e-9):
                yield LowVoltage(part.name, "", max(given), element.pick_up_v, "attracts from")


def weak_logic(design: Design, state: str, point: OperatingPoint) -> Iterator[LowVoltage]:
    """Electronics below the least voltage that they work from."""
    for part in design.parts.values():
        for key in ("supply", "logic", "encoder"):
            logic = getattr(part.data, key, None)
            if isinstance(logic, LogicSupply | MotorEncoder):
                a, b = ((part.name, part.data.terminals.get(end, end)) for end in logic.between)
                volts, least_v = point.between(a, b, "DC"), LOGIC_LOWEST.value * logic.voltage.volts
                if _FED_SHARE * least_v < volts < least_v * (1 - 1e-9):
                    yield LowVoltage(part.name, state, volts, least_v, "works from")


def weak_motors(design: Design, state: str, point: OperatingPoint) -> Iterator[LowVoltage]:
    """Motors without a drive."""
    for part, element in design.circuit.elements(Draw):
        if isinstance(part.data, Motor) and element.name == "shaft":
            volts = abs(point.between((part.name, element.a), (part.name, element.b), element.kind))
            least_v = MOTOR_LOWEST.value * part.data.voltage.volts
            if _FED_SHARE * least_v < volts < least_v * (1 - 1e-9):
                yield LowVoltage(part.name, state, volts, least_v, "gives its torque from")


def feeding_source(design: Design, part: str) -> str:
    """The source of the short circuits at a part; "" where there is none."""
    return next((short.origin.part for short in design.short_circuits.at_part.get(part, ())), "")
