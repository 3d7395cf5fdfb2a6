"""Loads that get too low a voltage in a state, coils that pick up in no state, and parts without an operating point."""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct

from wiring.design.design import Design
from wiring.design.supply.feeding_conductors import Starved
from wiring.design.supply.levels import reachable_volts, worst_volts
from wiring.parts.drives import LogicSupply
from wiring.parts.elements import Coil, Draw, Input, Resistance
from wiring.parts.loads import Heater, Lamp
from wiring.parts.motors import Motor, MotorEncoder
from wiring.rulebooks.limits import tabled
from wiring.solver.operating import Layer, OperatingPoint


def parts_without_point(layer: Layer) -> list[str]:
    """The parts whose loads have neither current nor voltage."""
    pairs = zip(layer.assembled.power_keys, layer.solution.power_a, strict=True)
    return sorted({key[0] for key, amps in pairs if amps is None})


def is_undecided(design: Design) -> bool:
    """Whether some part has no operating point in some state."""
    return any(parts_without_point(layer) for point in design.states.values() for layer in (point.dc, point.ac))


def at_half_voltage(design: Design) -> list[Starved]:
    """Every load that takes power, with half of what feeds it: a resistance R at V passes most there, V²/4R."""
    watts: dict[str, float] = {}
    for point in design.states.values():
        for layer in (point.dc, point.ac):
            now: dict[str, float] = {}
            loads = zip(layer.assembled.power_keys, layer.assembled.network.powers, layer.solution.power_a, strict=True)
            for (part, _), load, amps in loads:
                now[part] = now.get(part, 0.0) + (load.watts if amps is None else 0.0)
            watts |= {part: max(more, watts.get(part, 0.0)) for part, more in now.items()}
    drops = design.drops
    found = [Starved(one.part, one.nominal_v - one.drop_v, 0.5 * one.nominal_v) for one in drops.values()]
    for part, power_w in watts.items():
        volts = max((short.volts for short in design.short_circuits.at_part.get(part, ())), default=0.0)
        if power_w > 0.0 and volts > 0.0:
            found.append(Starved(part, volts, 0.5 * volts, 2.0 * power_w / volts))
    return found


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


#: What a coil needs its voltage for.
PICKS_UP = "picks up from"

LOGIC_LOWEST = tabled("common", "logic_lowest")
ENCODER_LOWEST = tabled("common", "encoder_lowest")
MOTOR_LOWEST = tabled("common", "motor_lowest")
LOAD_LOWEST = tabled("common", "load_lowest")


class LowVoltage(Struct, frozen=True):
    """What a load gets in a state [V], the least that it needs [V], and what that is for.

    `amps` is what it would take at its least voltage, where it takes nothing now [A], else 0.
    """

    part: str
    state: str
    volts: float
    least_v: float
    what: str
    amps: float = 0.0

    @property
    def is_too_low(self) -> bool:
        """Whether it gets less than it needs, or nothing runs on what it gets."""
        return self.amps > 0.0 or self.volts < self.least_v * (1 - 1e-9)


def fed_loads(design: Design, state: str, point: OperatingPoint, moment: str) -> Iterator[LowVoltage]:
    """Everything that a state feeds, with what it gets and the least that it needs."""
    yield from _powers(state, point, moment)
    yield from _coils(design, state, point)
    yield from _logic(design, state, point)
    yield from _motors(design, state, point)
    yield from _plain(design, state, point)


def _powers(state: str, point: OperatingPoint, moment: str) -> Iterator[LowVoltage]:
    """Loads of constant power: those that run, and those that find no operating point."""
    for layer in (point.dc, point.ac):
        network, found = layer.assembled.network, layer.solution
        locked = {one.load: one.volts for one in found.locked_out}
        for n, (key, load) in enumerate(zip(layer.assembled.power_keys, network.powers, strict=True)):
            across = found.between(load.a, load.b)
            if across is None or load.lockout_v <= 0.0:
                continue
            if layer is point.dc and across.real < 0.0 and not load.either_way:
                continue  # reversed, which is told as such
            volts = locked.get(n, abs(across))
            if volts is not None and volts > _FED_SHARE * load.lockout_v:
                amps = load.watts / load.lockout_v if n in locked else 0.0
                yield LowVoltage(key[0], f"{state}{moment}", volts, load.lockout_v, "runs from", amps)


def _coils(design: Design, state: str, point: OperatingPoint) -> Iterator[LowVoltage]:
    """Coils with more than what leaks into them."""
    for part in design.parts.values():
        for element in part.of(Coil):
            volts = point.between((part.name, element.a), (part.name, element.b), element.kind or "DC")
            if volts > _FED_SHARE * element.pick_up_v:
                yield LowVoltage(part.name, state, volts, element.pick_up_v, PICKS_UP)


def never_attracted(design: Design) -> Iterator[LowVoltage]:
    """Coils that pick up in no state, at the most that a state, or the outputs and contacts on their way, give them."""
    for part in design.parts.values():
        for element in part.of(Coil):
            worst = worst_volts(design.operation, part, element, element.kind or "DC")[0]
            if not element.inductive or worst > max(_FED_V, _FED_SHARE * element.pick_up_v):
                continue
            wrong_kind = "DC" if element.kind == "AC" else "AC"
            given = [one.volts for one in reachable_volts(design.machine, design.operation, part, element)]
            given.append(worst)
            given.append(worst_volts(design.operation, part, element, wrong_kind)[0])
            if _FED_V < max(given) < element.pick_up_v * (1 - 1e-9):
                yield LowVoltage(part.name, "", max(given), element.pick_up_v, PICKS_UP)


def _logic(design: Design, state: str, point: OperatingPoint) -> Iterator[LowVoltage]:
    """Electronics, by the least voltage that they work from."""
    for part in design.parts.values():
        for key in ("supply", "logic", "encoder"):
            logic = getattr(part.data, key, None)
            if isinstance(logic, LogicSupply | MotorEncoder):
                a, b = ((part.name, part.data.terminals.get(end, end)) for end in logic.between)
                counts = isinstance(logic, MotorEncoder)
                lowest, what = (ENCODER_LOWEST, "counts right from") if counts else (LOGIC_LOWEST, "works from")
                volts, least_v = point.between(a, b, "DC"), lowest.value * logic.voltage.volts
                if volts > _FED_SHARE * least_v:
                    yield LowVoltage(part.name, state, volts, least_v, what)


def _motors(design: Design, state: str, point: OperatingPoint) -> Iterator[LowVoltage]:
    """Motors without a drive."""
    for part, element in design.circuit.elements(Draw):
        if isinstance(part.data, Motor) and element.name == "shaft":
            volts = abs(point.between((part.name, element.a), (part.name, element.b), element.kind))
            least_v = MOTOR_LOWEST.value * part.data.voltage.volts
            if volts > _FED_SHARE * least_v:
                yield LowVoltage(part.name, state, volts, least_v, "gives its torque from")


def _plain(design: Design, state: str, point: OperatingPoint) -> Iterator[LowVoltage]:
    """Heaters and lamps that a state switches on, by the voltage that stands on them."""
    for part, element in design.circuit.elements(Resistance, Draw):
        if not isinstance(part.data, Heater | Lamp) or not isinstance(element, Resistance | Draw):
            continue
        volts = abs(point.between((part.name, element.a), (part.name, element.b), element.kind))
        least_v = LOAD_LOWEST.value * part.data.rated.voltage.volts
        if volts > _FED_SHARE * least_v:
            yield LowVoltage(part.name, state, volts, least_v, "does its work from")


def feeding_source(design: Design, part: str) -> str:
    """The source of the short circuits at a part; "" where there is none."""
    return next((short.origin.part for short in design.short_circuits.at_part.get(part, ())), "")
