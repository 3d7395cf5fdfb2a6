"""Loads that are not drives: heater, lamp, fan, pump, valve, process source, anything else."""

from __future__ import annotations

from typing import ClassVar, Literal

from wiring.parts.base import PartModel, phase_pairs
from wiring.parts.contacts import TerminalPair, split_pair
from wiring.parts.elements import Draw, Element, Function, Input, Output, Resistance, Terminal
from wiring.parts.switching import SuppressorWord, coil_between
from wiring.parts.traits import Quantity, SheetFunction, Symbol, SymbolForm
from wiring.plan.fault import Refusal
from wiring.plan.model import field
from wiring.plan.ratings import CoilRating, Rated, Voltage, VoltageRange
from wiring.plan.types import (
    Amperes,
    AmperesOrZero,
    Celsius,
    Flow,
    Fraction,
    Ohms,
    SecondsOrZero,
    VoltAmperes,
    WattsOrZero,
)
from wiring.plan.words import Factor, Flag, PowerFactor

#: Power of a valve coil where none is given [W] (typical, from memory).
_TYPICAL_VALVE_W = 5.0


def _feed_names(kind: str) -> tuple[str, str]:
    return ("+", "-") if kind == "DC" else ("L", "N")


#: Above this a lamp is more than a signal: it heats, dries or cures (own choice) [W].
_SIGNAL_LAMP_W = 10.0


class MetalLoad(PartModel):
    """A load whose metal body has a protective conductor terminal unless the plan says that it has none."""

    metal: Flag = field(True, description="has a metal body that needs a protective conductor")
    continuous: Flag | None = field(None, description="whether it is on for three hours or more at a time")
    run_on: SecondsOrZero | None = field(None, description="time for which it turns, flows or burns on without power")

    def earth_terminal(self) -> str | None:
        return "PE" if self.metal else None

    def _earth(self) -> list[Terminal]:
        return [Terminal("PE", Function.PE, True)] if self.metal else []


class Heater(MetalLoad):
    """A heater, hot wire or heated bed: a resistance."""

    kind_name: ClassVar[str] = "heater"
    example: ClassVar[str] = "rated: 24 V DC 150 W"
    raises: ClassVar[Quantity | None] = Quantity.TEMPERATURE
    ohmic: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "heater", turns=True)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    in_power: ClassVar[bool] = True
    letter: ClassVar[str] = "E"
    hazard: ClassVar[bool] = True
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    rated: Rated
    bears: Celsius | None = field(None, description="highest temperature that it and what it heats bear")

    def is_hazard(self) -> bool:
        # one in the cabinet keeps the cabinet dry: nobody works at it
        return self.at != "cabinet" if self.hazardous is None else self.hazardous

    def points(self) -> list[Terminal]:
        return [Terminal("1", Function.LOAD, True), Terminal("2", Function.LOAD, True), *self._earth()]

    def elements(self) -> list[Element]:
        volts = self.rated.voltage.volts
        return [Resistance("1", "2", volts**2 / self.rated.power_w, self.rated.voltage.kind)]


class Lamp(PartModel):
    """An indicator lamp."""

    kind_name: ClassVar[str] = "lamp"
    example: ClassVar[str] = "rated: 24 V DC 20 mA"
    is_control: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "lamp", turns=True)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.STOP
    letter: ClassVar[str] = "P"
    rated: Rated
    colour: str = ""

    def may_be_hazard(self) -> bool:
        return self.rated.power_w > _SIGNAL_LAMP_W

    def points(self) -> list[Terminal]:
        return [Terminal("X1", Function.LOAD, True), Terminal("X2", Function.LOAD, True)]

    def elements(self) -> list[Element]:
        volts = self.rated.voltage.volts
        return [Resistance("X1", "X2", volts**2 / self.rated.power_w, self.rated.voltage.kind)]


class Fan(MetalLoad):
    """A cabinet or process fan."""

    kind_name: ClassVar[str] = "fan"
    example: ClassVar[str] = "rated: 230 V AC 15 W"
    lowers: ClassVar[Quantity | None] = Quantity.TEMPERATURE
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "fan", turns=True)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    in_power: ClassVar[bool] = True
    letter: ClassVar[str] = "E"
    rated: Rated
    airflow: Flow | None = None
    power_factor: PowerFactor = 0.6
    metal: Flag = field(False, description="has a metal body that needs a protective conductor")

    def may_be_hazard(self) -> bool:
        return self.at in ("machine", "outside")

    def points(self) -> list[Terminal]:
        a, b = _feed_names(self.rated.voltage.kind)
        return [Terminal(a, Function.SUPPLY, True), Terminal(b, Function.SUPPLY, True), *self._earth()]

    def elements(self) -> list[Element]:
        a, b = _feed_names(self.rated.voltage.kind)
        kind = self.rated.voltage.kind or "AC"
        factor = 1.0 if kind == "DC" else self.power_factor
        return [Draw(a, b, kind, watts=self.rated.true_w(factor), power_factor=factor)]


class Pump(MetalLoad):
    """A pump with its motor."""

    kind_name: ClassVar[str] = "pump"
    example: ClassVar[str] = "rated: 230 V AC 90 W"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "pump", turns=True)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    in_power: ClassVar[bool] = True
    letter: ClassVar[str] = "G"
    hazard: ClassVar[bool] = True
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    rated: Rated
    phases: Literal["1", "3"] = "1"
    power_factor: PowerFactor = 0.7
    start_factor: Factor = 6.0
    work: str = ""

    def _names(self) -> list[str]:
        if self.phases == "3":
            return ["U", "V", "W"]
        return list(_feed_names(self.rated.voltage.kind))

    def points(self) -> list[Terminal]:
        return [*(Terminal(name, Function.SUPPLY, True) for name in self._names()), *self._earth()]

    def elements(self) -> list[Element]:
        names = self._names()
        kind = self.rated.voltage.kind or "AC"
        pairs = phase_pairs(names)
        factor = 1.0 if kind == "DC" else self.power_factor
        watts = self.rated.true_w(factor) / len(pairs)
        return [Draw(a, b, kind, watts=watts, power_factor=factor) for a, b in pairs]


class Valve(MetalLoad):
    """A solenoid valve."""

    kind_name: ClassVar[str] = "valve"
    example: ClassVar[str] = "rated: 24 V DC 2 W"
    is_control: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "valve", turns=True)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    in_power: ClassVar[bool] = True
    letter: ClassVar[str] = "Q"
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    rated: CoilRating
    pick_up: VoltAmperes | None = field(
        None, description="apparent power that its coil takes at its voltage while it closes, of AC coils"
    )
    suppressor: SuppressorWord | None = None
    metal: Flag = field(False, description="has a metal body that needs a protective conductor")

    def may_be_hazard(self) -> bool:
        return True

    def points(self) -> list[Terminal]:
        return [Terminal("1", Function.COIL, True), Terminal("2", Function.COIL, True), *self._earth()]

    def elements(self) -> list[Element]:
        return [coil_between("1", "2", "valve", self.rated, _TYPICAL_VALVE_W)]


class ProcessSource(PartModel):
    """A source for a process: hot wire, arc, welding, high voltage. Its output is galvanically separate."""

    kind_name: ClassVar[str] = "process-source"
    example: ClassVar[str] = "input: 230 V AC, output: 36 V DC, rated: 8 A"
    often_bare: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "ac-dc")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    letter: ClassVar[str] = "T"
    hazard: ClassVar[bool] = True
    leaks_to_earth: ClassVar[bool] = True
    earthed_at: ClassVar[str | None] = "PE"
    input: VoltageRange
    output: Voltage
    open_circuit: Voltage | None = field(None, description="output voltage without load, where it is higher")
    rated: Amperes
    efficiency: Fraction = 0.88
    power_factor: PowerFactor = 0.6
    isolated: Flag | None = field(None, description="whether its output is parted from its input; asked if left out")
    inrush: AmperesOrZero | None = None
    leakage: AmperesOrZero | None = None
    standby: WattsOrZero = 0.0
    discharge: SecondsOrZero | None = field(
        None, description="time after switching off until its output is dead, by its maker"
    )
    enable: TerminalPair | None = field(None, description="input that allows the output, with its return")
    enable_voltage: Voltage | None = None
    enable_resistance: Ohms = 2400.0
    extra: list[str] = field(default_factory=list, description="further signal terminals")

    def sign(self) -> str:
        return "ac-ac" if self.output.kind == "AC" else self.symbol.sign

    def points(self) -> list[Terminal]:
        a, b = ("IN+", "IN-") if self.input.kind == "DC" else ("L", "N")
        enable = [Terminal(end, Function.INPUT) for end in split_pair(self.enable)] if self.enable else []
        return [
            Terminal(a, Function.SUPPLY, True),
            Terminal(b, Function.SUPPLY, True),
            Terminal("PE", Function.PE, True),
            *enable,
            *(Terminal(name, Function.INPUT) for name in self.extra),
            Terminal("OUT+", Function.DC_PLUS, True),
            Terminal("OUT-", Function.DC_MINUS, True),
        ]

    def elements(self) -> list[Element]:
        kind = self.input.kind or "AC"
        a, b = ("IN+", "IN-") if kind == "DC" else ("L", "N")
        low, high = (
            (0.85 * self.input.low, 1.15 * self.input.high)
            if self.input.low == self.input.high
            else (
                self.input.low,
                self.input.high,
            )
        )
        factor = 1.0 if kind == "DC" else self.power_factor
        volts, out_kind = self.output.volts, self.output.kind or "DC"
        mode = "constant-current" if out_kind == "DC" else "stiff"
        inner: list[Element] = [
            Input(a, b, kind, low, high, factor, self.standby),
            Output(
                "OUT+",
                "OUT-",
                volts,
                0.005 * volts / self.rated,
                out_kind,
                mode,
                1.1 * self.rated if out_kind == "DC" else None,
                self.rated,
                "input",
                self.efficiency,
            ),
        ]
        if self.enable:
            inner.append(Resistance(*split_pair(self.enable), self.enable_resistance, "DC", False))
        return inner


class Load(MetalLoad):
    """Anything that takes power between two terminals."""

    kind_name: ClassVar[str] = "load"
    example: ClassVar[str] = "rated: 24 V DC 10 W"
    ohmic: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "load", turns=True)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    in_power: ClassVar[bool] = True
    passes_on: ClassVar[bool] = True
    letter: ClassVar[str] = "E"
    rated: Rated
    between: tuple[str, str] = ("1", "2")
    behaviour: Literal["resistance", "power", "current"] = "power"
    power_factor: PowerFactor = 1.0
    metal: Flag = field(False, description="has a metal body that needs a protective conductor")

    def after_reading(self) -> Load:
        if self.between[0] == self.between[1]:
            raise Refusal("both ends of the load are one terminal", "two different terminals")
        return self

    def may_be_hazard(self) -> bool:
        return True

    def points(self) -> list[Terminal]:
        return [*(Terminal(name, Function.SUPPLY, True) for name in self.between), *self._earth()]

    def elements(self) -> list[Element]:
        a, b = self.between
        volts, kind = self.rated.voltage.volts, self.rated.voltage.kind or "DC"
        if self.behaviour == "resistance":
            return [Resistance(a, b, volts**2 / self.rated.power_w, kind)]
        factor = 1.0 if kind == "DC" else self.power_factor
        if self.behaviour == "current":
            return [Draw(a, b, kind, amps=self.rated.current_a, power_factor=factor)]
        return [Draw(a, b, kind, watts=self.rated.true_w(factor), power_factor=factor)]
