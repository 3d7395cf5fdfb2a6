"""Parts that only join, hold or pass on: terminals, connectors, earth bars, metalwork, suppressors, resistors."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Annotated, ClassVar, Literal

from wiring.parts.base import PartModel
from wiring.parts.elements import Element, Function, Link, Rectifying, Resistance, Terminal
from wiring.parts.traits import SheetFunction, Symbol, SymbolForm
from wiring.plan.fault import Refusal
from wiring.plan.model import Before, field
from wiring.plan.ratings import Voltage
from wiring.plan.types import Amperes, Ohms, VoltsOrZero, Watts
from wiring.plan.words import Count, Flag

_BRIDGE = re.compile(r"^\d+-\d+$")


def _bridge(value: object) -> object:
    if isinstance(value, str) and not (_BRIDGE.match(value) and int(value.split("-")[0]) < int(value.split("-")[1])):
        raise Refusal(f"{value[:40]!r} is no bridge", "a run of points from low to high, such as 1-4")
    return value


Bridge = Annotated[str, Before(_bridge)]


def bridge_points(bridge: str) -> list[str]:
    """The points that a bridge joins: `1-4` is 1, 2, 3, 4."""
    first, last = (int(end) for end in bridge.split("-"))
    return [str(point) for point in range(first, last + 1)]


class Terminals(PartModel):
    """A row of terminals; each point takes a conductor on either side."""

    kind_name: ClassVar[str] = "terminals"
    example: ClassVar[str] = "points: 4, bridged: [1-3]"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.STRIP)
    letter: ClassVar[str] = "X"
    points_: Count = field(alias="points")
    bridged: list[Bridge] = field(default_factory=list)
    rated: Amperes | None = None
    rated_voltage: Voltage | None = None
    earth_points: list[str] = field(default_factory=list, description="points that are joined to the mounting rail")

    def points(self) -> list[Terminal]:
        names = [str(n + 1) for n in range(self.points_)]
        return [
            Terminal(name, Function.PE if name in self.earth_points else Function.THROUGH, wires_max=2)
            for name in names
        ]

    def elements(self) -> list[Element]:
        links: list[Element] = []
        for bridge in self.bridged:
            run = bridge_points(bridge)
            links += [Link(a, b) for a, b in pairwise(run)]
        links += [Link(a, b) for a, b in pairwise(self.earth_points)]
        return links


class Connector(PartModel):
    """A plug and socket; each contact passes a conductor through."""

    kind_name: ClassVar[str] = "connector"
    example: ClassVar[str] = 'contacts: ["1", "2", PE], shell: true'
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.STRIP)
    letter: ClassVar[str] = "X"
    contacts: list[str] = field(min_length=1)
    rated: Amperes | None = None
    rated_voltage: Voltage | None = None
    shell: Flag = field(False, description="has a metal shell on a terminal of its own")
    exposed_pins: Flag = field(False, description="its pins can be touched when it is pulled")

    def points(self) -> list[Terminal]:
        shell = [Terminal("shell", Function.SHIELD)] if self.shell else []
        pins = [
            Terminal(name, Function.PE if name == "PE" else Function.THROUGH, wires_max=2) for name in self.contacts
        ]
        return [*pins, *shell]

    def elements(self) -> list[Element]:
        return []


def one_piece(points: int) -> list[Element]:
    """Points 1, 2, 3 … joined as one piece of metal."""
    return [Link(str(n), str(n + 1)) for n in range(1, points)]


class EarthBar(PartModel):
    """The bar on which the protective conductors meet."""

    kind_name: ClassVar[str] = "earth-bar"
    example: ClassVar[str] = "points: 3"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.STRIP)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.BOND
    letter: ClassVar[str] = "X"
    points_: Count = field(alias="points")

    def points(self) -> list[Terminal]:
        return [Terminal(str(n + 1), Function.PE, wires_max=1) for n in range(self.points_)]

    def elements(self) -> list[Element]:
        return one_piece(self.points_)


class Metalwork(PartModel):
    """A metal part that can be touched and become live: plate, door, frame, bed. Its points are one piece of metal."""

    kind_name: ClassVar[str] = "metalwork"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.METAL, "frame")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.BOND
    letter: ClassVar[str] = "U"
    earthed_at: ClassVar[str | None] = "1"
    points_: Count = field(1, alias="points")

    def points(self) -> list[Terminal]:
        return [Terminal(str(n + 1), Function.PE) for n in range(self.points_)]

    def elements(self) -> list[Element]:
        return one_piece(self.points_)


class _TwoEnds(PartModel):
    letter: ClassVar[str] = "R"

    def points(self) -> list[Terminal]:
        return [Terminal("1", Function.LOAD, True), Terminal("2", Function.LOAD, True)]


class Suppressor(_TwoEnds):
    """A suppressor across a coil; a diode has its cathode at 1."""

    kind_name: ClassVar[str] = "suppressor"
    example: ClassVar[str] = "type: diode"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "suppressor-diode")
    type: Literal["diode", "zener", "varistor", "rc"]
    rated_voltage: Voltage | None = None

    def sign(self) -> str:
        return f"suppressor-{self.type}"

    def elements(self) -> list[Element]:
        return [Rectifying("2", "1")] if self.type in ("diode", "zener") else []


class Resistor(_TwoEnds):
    """A resistor: series resistance, pull-up, bleeder, terminator."""

    kind_name: ClassVar[str] = "resistor"
    example: ClassVar[str] = "resistance: 1 kohm"
    often_bare: ClassVar[bool] = True
    ohmic: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "resistor", turns=True)
    resistance: Ohms
    power: Watts | None = None
    purpose: Literal["series", "pull-up", "bleeder", "terminator", "other"] = "other"

    def elements(self) -> list[Element]:
        return [Resistance("1", "2", self.resistance, "", False)]


class Diode(PartModel):
    """A diode, such as one that lets two supplies share a rail: A anode, K cathode."""

    kind_name: ClassVar[str] = "diode"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "diode")
    letter: ClassVar[str] = "R"
    rated: Amperes | None = None
    rated_voltage: Voltage | None = None
    drop: VoltsOrZero = field(0.7, description="forward voltage")

    def points(self) -> list[Terminal]:
        return [Terminal("A", Function.LOAD, True), Terminal("K", Function.LOAD, True)]

    def elements(self) -> list[Element]:
        return [Rectifying("A", "K", self.drop)]
