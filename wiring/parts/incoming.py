"""What the mains pass on their way in: inlet, filter, transformer, and the fuse that is fitted inside a part."""

from __future__ import annotations

from typing import ClassVar, Literal

from wiring.parts.base import PartModel
from wiring.parts.elements import Element, Feed, Function, Input, Link, Output, Pole, Switch, Terminal
from wiring.parts.protection import FuseClass
from wiring.parts.traits import SheetFunction, Symbol, SymbolForm
from wiring.parts.typical import SWITCH_POLE_OHM, fuse_ohm
from wiring.plan.model import Model, field
from wiring.plan.ratings import Voltage
from wiring.plan.types import Amperes, AmperesOrZero, Fraction, VoltAmperes
from wiring.plan.words import Flag

PoleWord = Literal["L", "L1", "L2", "L3", "N", "PE"]
_POLE_FUNCTION = {"N": Function.NEUTRAL, "PE": Function.PE}
_UNKNOWN_FUSE_OHM = 0.003


class PoleFuse(Model):
    """A fuse fitted at the pole of a battery, or inside an inlet."""

    by_name = True
    rating: Amperes | None = None
    class_: FuseClass | None = field(None, alias="class")
    breaking: Amperes | None = field(None, description="the short-circuit current that it can break")
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
    switch: Flag = field(False, description="has a switch built in that opens all poles but PE")
    fuse: PoleFuse | None = field(None, description="fuse built in, in every line conductor")

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


class Transformer(PartModel):
    """A transformer with separate windings; the secondary stands higher at no load by the regulation."""

    kind_name: ClassVar[str] = "transformer"
    example: ClassVar[str] = "primary: 230 V AC, secondary: 24 V AC, rated: 63 VA"
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


class Filter(PartModel):
    """A mains filter: it passes the supply on and leaks a little of it to the protective earth."""

    kind_name: ClassVar[str] = "filter"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "filter")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.MAINS
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    leaks_to_earth: ClassVar[bool] = True
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
