"""Batteries, and what charges them."""

from __future__ import annotations

from typing import ClassVar, Literal

from msgspec.structs import replace

from wiring.parts.base import PartModel
from wiring.parts.elements import Element, Function, Output, Pole, Terminal
from wiring.parts.incoming import PoleFuse
from wiring.parts.sources import Supply
from wiring.parts.traits import SheetFunction, Symbol, SymbolForm
from wiring.parts.typical import battery_ohm
from wiring.plan.model import field
from wiring.plan.ratings import Voltage
from wiring.plan.types import AmpereHours, Amperes, Ohms
from wiring.plan.words import Count, Flag

#: A lead battery of 24 V stands at 25.7 V charged and without load: 2.14 V a cell (typical, from memory).
_CHARGED_SHARE = 1.07


ChemistryWord = Literal["valve-regulated-lead", "vented-lead", "nickel-cadmium", "lithium-iron-phosphate"]


class Battery(PartModel):
    """A battery: a voltage behind its internal resistance, with a fuse at its positive pole where it has one."""

    kind_name: ClassVar[str] = "battery"
    example: ClassVar[str] = "voltage: 24 V DC, capacity: 18 Ah, fuse: {rating: 40 A}"
    letter: ClassVar[str] = "G"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "battery")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.DC
    in_power: ClassVar[bool] = True
    passes_power: ClassVar[bool] = True
    separate_source: ClassVar[bool] = True
    voltage: Voltage = field(description="nominal voltage")
    open_circuit: Voltage | None = field(None, description="voltage when charged and without load")
    capacity: AmpereHours | None = None
    internal_resistance: Ohms | None = field(None, description="charged and at 20 °C; sets its short-circuit current")
    rated: Amperes | None = field(None, description="highest lasting discharge current")
    fuse: PoleFuse | None = field(None, description="fuse at its positive pole")
    chemistry: ChemistryWord | None = field(None, description="kind of its cells")
    cells: Count | None = field(None, description="cells in series, where its nominal voltage does not say how many")
    charge_current: Amperes | None = field(None, description="highest charging current, by its data sheet")
    gas_outside: Flag | None = field(
        None, description="whether a hose, or a compartment with openings of its own, leads its gas out of the cabinet"
    )

    def points(self) -> list[Terminal]:
        return [Terminal("+", Function.DC_PLUS, True), Terminal("-", Function.DC_MINUS, True)]

    def elements(self) -> list[Element]:
        volts = self.open_circuit.volts if self.open_circuit else _CHARGED_SHARE * self.voltage.volts
        ohm = self.internal_resistance or battery_ohm(self.voltage.volts, self.capacity)
        pole = ".cell" if self.fuse else "+"
        source = Output(pole, "-", volts, ohm, "DC", "stiff", None, self.rated)
        return [source, Pole(".cell", "+", self.fuse.ohm)] if self.fuse else [source]


class Charger(Supply):
    """A battery charger: it holds the rail at its charging voltage, and limits its current; none flows back into it."""

    kind_name: ClassVar[str] = "charger"
    example: ClassVar[str] = "input: 230 V AC, output: 27.4 V DC, rated: 5 A"
    boost: Voltage | None = field(None, description="voltage that a charge ends at, where it then floats at `output`")

    def elements(self) -> list[Element]:
        return [replace(item, one_way=True) if isinstance(item, Output) else item for item in super().elements()]
