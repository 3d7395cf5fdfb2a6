"""What makes a DC rail: supply, converter, rectifier, and the reservoir capacitor on it."""

from __future__ import annotations

from math import sqrt
from typing import ClassVar, Literal

from wiring.parts.base import PartModel
from wiring.parts.elements import Element, Function, Input, Link, Output, Resistance, Terminal
from wiring.parts.traits import SheetFunction, Symbol, SymbolForm
from wiring.plan.model import Model, field
from wiring.plan.ratings import Voltage, VoltageRange
from wiring.plan.types import (
    Amperes,
    AmperesOrZero,
    Celsius,
    Farads,
    FaradsOrZero,
    Fraction,
    Multiple,
    Ohms,
    PerKelvin,
    SecondsOrZero,
    Volts,
    VoltsOrZero,
    WattsOrZero,
)
from wiring.plan.words import Flag, PowerFactor

_HEADROOM_OF_FIXED_INPUT = (0.85, 1.15)


class OverloadData(Model):
    """What a supply does when asked for more than its rating; `limit` is a share of the rated current."""

    mode: Literal["constant-current", "hiccup", "latch-off"]
    limit: Multiple
    time: SecondsOrZero | None = None


class DeratingData(Model):
    """Above `from` the rated current falls by `slope` of it for each kelvin."""

    by_name = True
    start: Celsius = field(alias="from")
    slope: PerKelvin


class RegulatedSource(PartModel):
    """The family of supplies and converters: an input that takes a band of voltages, and one regulated DC rail out."""

    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "ac-dc")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.DC
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    separate_source: ClassVar[bool] = True
    letter: ClassVar[str] = "T"
    input: VoltageRange
    output: Voltage
    rated: Amperes
    efficiency: Fraction = 0.87
    standby: WattsOrZero = 0.0
    overload: OverloadData | None = None
    peak: Amperes | None = field(None, description="current for short peaks, where the maker allows one")
    derating: DeratingData | None = None
    output_capacitance: FaradsOrZero | None = None
    parallel: Flag = field(False, description="made to share its rail with equal units")

    @property
    def input_band(self) -> tuple[float, float]:
        """The voltages at its input between which it works [V]; about a single one the usual tolerance of mains."""
        low, high = _HEADROOM_OF_FIXED_INPUT if self.input.low == self.input.high else (1.0, 1.0)
        return self.input.low * low, self.input.high * high

    @property
    def rail(self) -> Output:
        """Its regulated DC rail; without overload data it limits a tenth above its rating."""
        volts, rated_a = self.output.volts, self.rated
        mode = self.overload.mode if self.overload else "constant-current"
        limit_a = rated_a * (self.overload.limit if self.overload else 1.1)
        return Output(
            "V+", "V-", volts, 0.001 * volts / rated_a, "DC", mode, limit_a, rated_a, "input", self.efficiency
        )


class Supply(RegulatedSource):
    """A regulated power supply: mains or DC in, one isolated DC rail out."""

    kind_name: ClassVar[str] = "supply"
    leaks_to_earth: ClassVar[bool] = True
    example: ClassVar[str] = "input: 230 V AC, output: 24 V DC, rated: 5 A"
    power_factor: PowerFactor | None = None
    inrush: AmperesOrZero | None = None
    over_voltage: Volts | None = field(None, description="voltage on its output at which it shuts down")
    hold_up: SecondsOrZero | None = None
    leakage: AmperesOrZero | None = None
    protection_class: Literal["I", "II", "III"] = field("I", alias="class")

    @property
    def _inputs(self) -> tuple[str, str]:
        return ("IN+", "IN-") if self.input.kind == "DC" else ("L", "N")

    def earth_terminal(self) -> str | None:
        return "PE" if self.protection_class == "I" else None

    def points(self) -> list[Terminal]:
        points = [Terminal(name, Function.SUPPLY, True) for name in self._inputs]
        if self.protection_class == "I":
            points.append(Terminal("PE", Function.PE, True))
        return [*points, Terminal("V+", Function.DC_PLUS, True), Terminal("V-", Function.DC_MINUS, True)]

    def elements(self) -> list[Element]:
        factor = self.power_factor if self.power_factor is not None else 0.6
        return [Input(*self._inputs, self.input.kind or "AC", *self.input_band, factor, self.standby), self.rail]


class Converter(RegulatedSource):
    """A DC to DC converter. Without isolation its two negatives are one."""

    kind_name: ClassVar[str] = "converter"
    example: ClassVar[str] = "input: 18..36 V DC, output: 5 V DC, rated: 2 A"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "dc-dc")
    efficiency: Fraction = 0.88
    isolated: Flag = True

    def points(self) -> list[Terminal]:
        return [
            Terminal("IN+", Function.SUPPLY, True),
            Terminal("IN-", Function.SUPPLY, True),
            Terminal("V+", Function.DC_PLUS, True),
            Terminal("V-", Function.DC_MINUS, self.isolated),
        ]

    def elements(self) -> list[Element]:
        inner: list[Element] = [Input("IN+", "IN-", "DC", *self.input_band, 1.0, self.standby), self.rail]
        return inner if self.isolated else [*inner, Link("IN-", "V-")]


def says_its_limit(data: PartModel) -> bool:
    """Whether the plan says what a source does when overloaded, as only supplies and converters may leave open."""
    return not isinstance(data, RegulatedSource) or data.overload is not None


class Rectifier(PartModel):
    """A bridge rectifier. With the capacitor behind it, its output stands near the peak of the AC voltage."""

    kind_name: ClassVar[str] = "rectifier"
    example: ClassVar[str] = "rated: 10 A"
    often_bare: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "ac-dc")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.DC
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    letter: ClassVar[str] = "T"
    rated: Amperes
    rated_voltage: Voltage | None = None
    drop: VoltsOrZero = field(2.0, description="voltage lost in the two diodes that conduct")

    def points(self) -> list[Terminal]:
        return [
            Terminal("AC1", Function.SUPPLY, True),
            Terminal("AC2", Function.SUPPLY, True),
            Terminal("+", Function.DC_PLUS, True),
            Terminal("-", Function.DC_MINUS, True),
        ]

    def elements(self) -> list[Element]:
        return [
            Input("AC1", "AC2", "AC", 0.0, float("inf"), 0.6),
            Output(
                "+",
                "-",
                0.0,
                0.05,
                "DC",
                "stiff",
                None,
                self.rated,
                "input",
                0.95,
                ratio=sqrt(2.0),
                lost_v=self.drop,
                one_way=True,
            ),
        ]


class Capacitor(PartModel):
    """A reservoir capacitor on a DC rail, with the bleeder that empties it, where it has one."""

    kind_name: ClassVar[str] = "capacitor"
    example: ClassVar[str] = "capacitance: 10000 µF"
    often_bare: ClassVar[bool] = True
    ohmic: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "capacitor")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.DC
    letter: ClassVar[str] = "C"
    capacitance: Farads
    rated_voltage: Voltage | None = None
    bleeder: Ohms | None = None

    def points(self) -> list[Terminal]:
        return [Terminal("+", Function.DC_PLUS, True), Terminal("-", Function.DC_MINUS, True)]

    def elements(self) -> list[Element]:
        return [Resistance("+", "-", self.bleeder, "DC")] if self.bleeder else []
