"""Where power comes in and is turned into rails: inlet, transformer, rectifier, supply, converter, filter."""

from __future__ import annotations

from math import sqrt
from typing import ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field

from wiring.parts.base import PartModel
from wiring.parts.elements import Element, Feed, Function, Input, Link, Output, Pole, Resistance, Switch, Terminal
from wiring.parts.protection import FuseClass
from wiring.parts.traits import SheetFunction, Symbol, SymbolForm
from wiring.parts.typical import SWITCH_POLE_OHM, fuse_ohm
from wiring.plan.types import (
    Amperes,
    AmperesOrZero,
    Celsius,
    Farads,
    FaradsOrZero,
    Flag,
    Fraction,
    Multiple,
    Ohms,
    PerKelvin,
    PowerFactor,
    SecondsOrZero,
    Voltage,
    VoltageRange,
    VoltAmperes,
    Volts,
    VoltsOrZero,
    WattsOrZero,
)

PoleWord = Literal["L", "L1", "L2", "L3", "N", "PE"]
_POLE_FUNCTION = {"N": Function.NEUTRAL, "PE": Function.PE}
_UNKNOWN_FUSE_OHM = 0.003
_HEADROOM_OF_FIXED_INPUT = (0.85, 1.15)


class OverloadData(BaseModel):
    """What a supply does when asked for more than its rating; `limit` is a share of the rated current."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)
    mode: Literal["constant-current", "hiccup", "latch-off"]
    limit: Multiple
    time: SecondsOrZero | None = None


class DeratingData(BaseModel):
    """Above `from` the rated current falls by `slope` of it for each kelvin."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, defer_build=True)
    start: Celsius = Field(alias="from")
    slope: PerKelvin


class PoleFuse(BaseModel):
    """A fuse fitted at the pole of a battery, or inside an inlet."""

    model_config = ConfigDict(extra="forbid", frozen=True, populate_by_name=True, defer_build=True)
    rating: Amperes | None = None
    class_: FuseClass | None = Field(None, alias="class")
    breaking: Amperes | None = Field(None, description="the short-circuit current that it can break")
    rated_voltage: Voltage | None = None

    @property
    def ohm(self) -> float:
        """Its resistance [ohm], typical for its rating."""
        return fuse_ohm(self.rating) if self.rating else _UNKNOWN_FUSE_OHM


class Inlet(PartModel):
    """Where the machine's supply enters: cord entry, appliance inlet or terminals."""

    kind_name: ClassVar[str] = "inlet"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, right=frozenset(Function))
    sheet_function: ClassVar[SheetFunction] = SheetFunction.MAINS
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    letter: ClassVar[str] = "X"
    poles: tuple[PoleWord, ...] = ("L", "N", "PE")
    rated: Amperes | None = None
    switch: Flag = Field(False, description="has a switch built in that opens all poles but PE")
    fuse: PoleFuse | None = Field(None, description="fuse built in, in every line conductor")

    def points(self) -> list[Terminal]:
        return [Terminal(pole, _POLE_FUNCTION.get(pole, Function.LINE), required=True) for pole in self.poles]

    def elements(self) -> list[Element]:
        return [element for pole in self.poles for element in self._way_in(pole)]

    def _way_in(self, pole: str) -> list[Element]:
        """From the building to the terminal of a pole: through the switch, then the fuse, where they are built in."""
        fused, switched = bool(self.fuse) and pole not in ("N", "PE"), self.switch and pole != "PE"
        behind = f".fuse {pole}" if fused and switched else pole
        start = f".{pole}" if fused or switched else pole
        way: list[Element] = [Feed(start, pole)]
        if switched:
            way.append(Switch(start, behind, "handle", True, SWITCH_POLE_OHM))
        if fused and self.fuse:
            way.append(Pole(behind if switched else start, pole, self.fuse.ohm))
        return way


class _Fed(PartModel):
    """A part with a mains or DC input whose terminals follow from its voltage."""

    @staticmethod
    def input_pair(kind: str) -> tuple[str, str]:
        return ("IN+", "IN-") if kind == "DC" else ("L", "N")

    @staticmethod
    def input_band(given: VoltageRange) -> tuple[float, float]:
        if given.low == given.high:
            low, high = _HEADROOM_OF_FIXED_INPUT
            return given.low * low, given.high * high
        return given.low, given.high


class Supply(_Fed):
    """A regulated power supply: mains or DC in, one isolated DC rail out."""

    kind_name: ClassVar[str] = "supply"
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
    power_factor: PowerFactor | None = None
    standby: WattsOrZero = 0.0
    inrush: AmperesOrZero | None = None
    overload: OverloadData | None = None
    peak: Amperes | None = Field(None, description="current for short peaks, where the maker allows one")
    derating: DeratingData | None = None
    output_capacitance: FaradsOrZero | None = None
    over_voltage: Volts | None = Field(None, description="voltage on its output at which it shuts down")
    hold_up: SecondsOrZero | None = None
    leakage: AmperesOrZero | None = None
    parallel: Flag = Field(False, description="made to share its rail with equal units")
    protection_class: Literal["I", "II", "III"] = Field("I", alias="class")

    def earth_terminal(self) -> str | None:
        return "PE" if self.protection_class == "I" else None

    def points(self) -> list[Terminal]:
        live, back = self.input_pair(self.input.kind)
        points = [Terminal(live, Function.SUPPLY, True), Terminal(back, Function.SUPPLY, True)]
        if self.protection_class == "I":
            points.append(Terminal("PE", Function.PE, True))
        return [*points, Terminal("V+", Function.DC_PLUS, True), Terminal("V-", Function.DC_MINUS, True)]

    def elements(self) -> list[Element]:
        live, back = self.input_pair(self.input.kind)
        low, high = self.input_band(self.input)
        factor = self.power_factor if self.power_factor is not None else 0.6
        return [
            Input(live, back, self.input.kind or "AC", low, high, factor, self.standby),
            rail_output(self),
        ]


class Converter(_Fed):
    """A DC to DC converter. Without isolation its two negatives are one."""

    kind_name: ClassVar[str] = "converter"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "dc-dc")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.DC
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    separate_source: ClassVar[bool] = True
    letter: ClassVar[str] = "T"
    input: VoltageRange
    output: Voltage
    rated: Amperes
    efficiency: Fraction = 0.88
    isolated: Flag = True
    standby: WattsOrZero = 0.0
    overload: OverloadData | None = None
    derating: DeratingData | None = None
    output_capacitance: FaradsOrZero | None = None
    peak: Amperes | None = None
    parallel: Flag = False

    def points(self) -> list[Terminal]:
        return [
            Terminal("IN+", Function.SUPPLY, True),
            Terminal("IN-", Function.SUPPLY, True),
            Terminal("V+", Function.DC_PLUS, True),
            Terminal("V-", Function.DC_MINUS, self.isolated),
        ]

    def elements(self) -> list[Element]:
        low, high = self.input_band(self.input)
        inner: list[Element] = [
            Input("IN+", "IN-", "DC", low, high, 1.0, self.standby),
            rail_output(self),
        ]
        return inner if self.isolated else [*inner, Link("IN-", "V-")]


def says_its_limit(data: PartModel) -> bool:
    """Whether the plan says what a source does when overloaded, as only supplies and converters may leave open."""
    return not isinstance(data, Supply | Converter) or data.overload is not None


def rail_output(data: Supply | Converter) -> Output:
    """The regulated DC rail of a supply or converter; without overload data it limits a tenth above its rating."""
    volts, rated_a = data.output.volts, data.rated
    mode = data.overload.mode if data.overload else "constant-current"
    limit_a = rated_a * (data.overload.limit if data.overload else 1.1)
    return Output("V+", "V-", volts, 0.001 * volts / rated_a, "DC", mode, limit_a, rated_a, "input", data.efficiency)


class Transformer(PartModel):
    """A transformer with separate windings; the secondary stands higher at no load by the regulation."""

    kind_name: ClassVar[str] = "transformer"
    often_bare: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "transformer", right=frozenset({Function.LINE}))
    sheet_function: ClassVar[SheetFunction] = SheetFunction.MAINS
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    separate_source: ClassVar[bool] = True
    letter: ClassVar[str] = "T"
    earthed_at: ClassVar[str | None] = "PE"
    primary: Voltage
    secondary: Voltage
    rated: VoltAmperes
    regulation: Fraction = 0.08
    efficiency: Fraction = 0.9
    inrush: AmperesOrZero | None = None

    def points(self) -> list[Terminal]:
        return [
            Terminal("1.1", Function.SUPPLY, True),
            Terminal("1.2", Function.SUPPLY, True),
            Terminal("2.1", Function.LINE, True),
            Terminal("2.2", Function.LINE, True),
            Terminal("PE", Function.PE),
        ]

    def elements(self) -> list[Element]:
        rated_a = self.rated / self.secondary.volts
        no_load = self.secondary.volts * (1 + self.regulation)
        return [
            Input("1.1", "1.2", "AC", 0.0, 1.15 * self.primary.volts, 0.9),
            Output(
                "2.1",
                "2.2",
                no_load,
                (no_load - self.secondary.volts) / rated_a,
                "AC",
                "stiff",
                None,
                rated_a,
                "input",
                self.efficiency,
                ratio=no_load / self.primary.volts,
            ),
        ]


class Rectifier(PartModel):
    """A bridge rectifier. With the capacitor behind it, its output stands near the peak of the AC voltage."""

    kind_name: ClassVar[str] = "rectifier"
    often_bare: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "ac-dc")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.DC
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    letter: ClassVar[str] = "T"
    rated: Amperes
    rated_voltage: Voltage | None = None
    drop: VoltsOrZero = Field(2.0, description="voltage lost in the two diodes that conduct")

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


class Filter(PartModel):
    """A mains filter: it passes the supply on and leaks a little of it to the protective earth."""

    kind_name: ClassVar[str] = "filter"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "filter")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.MAINS
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    letter: ClassVar[str] = "K"
    earthed_at: ClassVar[str | None] = "PE"
    poles: Literal["2", "3", "4"] = "2"
    rated: Amperes | None = None
    leakage: AmperesOrZero | None = None

    def _lines(self) -> list[str]:
        return {"2": ["L", "N"], "3": ["L1", "L2", "L3"], "4": ["L1", "L2", "L3", "N"]}[self.poles]

    def points(self) -> list[Terminal]:
        inner = [Terminal(line, Function.SUPPLY, True) for line in self._lines()]
        outer = [Terminal(f"{line}'", Function.THROUGH, True) for line in self._lines()]
        return [*inner, *outer, Terminal("PE", Function.PE, True)]

    def elements(self) -> list[Element]:
        return [Link(line, f"{line}'", 0.01) for line in self._lines()]
