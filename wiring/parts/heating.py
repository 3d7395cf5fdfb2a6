"""What senses or keeps a temperature: thermostat, thermal cut-out, thermocouple, temperature controller."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from wiring.parts.base import PartModel
from wiring.parts.contacts import Contacts, TerminalPair, contact_points, split_pair
from wiring.parts.elements import Element, Function, Input, Output, Resistance, Switch, Terminal
from wiring.parts.operators import Operated
from wiring.parts.switching import contact_switches, unique
from wiring.parts.traits import Purpose, Quantity, SheetFunction, Symbol, SymbolForm
from wiring.parts.typical import RELAY_CONTACT_OHM
from wiring.plan.conductors import ThermocoupleWord
from wiring.plan.fault import Refusal
from wiring.plan.model import Before, field
from wiring.plan.ratings import Rated
from wiring.plan.types import Celsius
from wiring.plan.words import Flag
from wiring.quantities import QuantityError, parse

_HEATED = Symbol(SymbolForm.CONTACTS, "operated", "temperature")
_MEASURING_INPUT_OHM = 10e6
_THERMOCOUPLE_OHM = 10.0
_PULSE_OHM = 20.0
_PULSE_LIMIT_A = 0.03


class Thermostat(Operated):
    """A switch that follows a temperature; its contacts are given as they stand when it is cold."""

    kind_name: ClassVar[str] = "thermostat"
    example: ClassVar[str] = "switches_at: 35 °C"
    serves: ClassVar[Purpose | None] = Purpose("switches")
    watches: ClassVar[Quantity | None] = Quantity.TEMPERATURE
    letter: ClassVar[str] = "B"
    symbol: ClassVar[Symbol] = _HEATED
    contacts: Contacts = field(default_factory=lambda: {"1-2": "NC"})
    switches_at: Celsius | None = field(None, description="temperature at which it switches")
    purpose: Literal["heating", "cooling", "watching"] = field("watching", description="what it turns on or watches")


class ThermalCutOut(Operated):
    """A switch that opens for safety when something is too hot, apart from whatever keeps the temperature."""

    kind_name: ClassVar[str] = "thermal-cut-out"
    example: ClassVar[str] = "contacts: {11-12: NC}, opens_at: 90 °C"
    serves: ClassVar[Purpose | None] = Purpose("opens", protects=True)
    watches: ClassVar[Quantity | None] = Quantity.TEMPERATURE
    letter: ClassVar[str] = "F"
    symbol: ClassVar[Symbol] = _HEATED
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    contacts: Contacts = field(default_factory=lambda: {"1-2": "NC"})
    opens_at: Celsius | None = None
    reset: Literal["self", "manual", "one-shot"] | None = field(None, description="how it closes again, if at all")
    protects: str = field("", description="the part that it keeps from overheating")


class Thermocouple(PartModel):
    """A thermocouple: `+` and `-`, and a sheath that its junction may be joined to."""

    kind_name: ClassVar[str] = "thermocouple"
    example: ClassVar[str] = "type: K"
    letter: ClassVar[str] = "B"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.TWO_ENDED, "thermocouple")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.IO
    is_control: ClassVar[bool] = True
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    type: ThermocoupleWord | None = None
    grounded: Flag | None = field(None, description="whether its junction is joined to its sheath")

    def points(self) -> list[Terminal]:
        return [Terminal("+", Function.OUTPUT, True), Terminal("-", Function.OUTPUT, True)]

    def elements(self) -> list[Element]:
        return [Resistance("+", "-", _THERMOCOUPLE_OHM, "DC", False)]


def _control_output(value: object) -> object:
    words = value.split(" ", 1) if isinstance(value, str) else [""]
    if words[0] not in ("relay", "pulse", "analog"):
        raise Refusal(f"{str(value)[:40]!r} is no control output", "relay, analog, or pulse with a voltage: pulse 12 V")
    if words[0] == "pulse" and len(words) == 2:
        try:
            parse(words[1].removesuffix(" DC"), "voltage")
        except QuantityError as error:
            raise Refusal(error.problem, error.expected) from None
    return value


ControlOutput = Annotated[str, Before(_control_output)]


class TemperatureController(PartModel):
    """A temperature controller: a measuring input, and outputs that its program drives, each a pair of terminals."""

    kind_name: ClassVar[str] = "temperature-controller"
    example: ClassVar[str] = "supply: 230 V AC 5 VA, outputs: {P+-P-: pulse 12 V, 13-14: relay}, alarms: [23-24]"
    letter: ClassVar[str] = "K"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "temperature")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    is_control: ClassVar[bool] = True
    supply: Rated
    input: TerminalPair = "IN+-IN-"
    sensor: ThermocoupleWord | None = field(None, description="letter of the thermocouple that its input is set to")
    keeps: Celsius | None = field(None, description="highest temperature that it is set to")
    outputs: dict[TerminalPair, ControlOutput] = field(description="pair of terminals: relay, analog, pulse 12 V")
    alarms: list[TerminalPair] = field(default_factory=list, description="relay contacts that tell of a limit")

    def _feed(self) -> tuple[str, str]:
        return ("+", "-") if self.supply.voltage.kind == "DC" else ("L", "N")

    def points(self) -> list[Terminal]:
        feed = [Terminal(end, Function.SUPPLY, True) for end in self._feed()]
        measured = [Terminal(end, Function.INPUT) for end in split_pair(self.input)]
        relays = [*(pair for pair, word in self.outputs.items() if word == "relay"), *self.alarms]
        driven = [end for pair, word in self.outputs.items() if word != "relay" for end in split_pair(pair)]
        outputs = [Terminal(end, Function.OUTPUT) for end in driven]
        return unique([*feed, *measured, *outputs, *contact_points(dict.fromkeys(relays, "NO"))])

    def elements(self) -> list[Element]:
        a, b = self._feed()
        volts, kind = self.supply.voltage.volts, self.supply.voltage.kind or "AC"
        factor = 1.0 if kind == "DC" else 0.6
        inner: list[Element] = [
            Input(a, b, kind, 0.85 * volts, 1.1 * volts, factor, self.supply.true_w(factor), "supply"),
            Resistance(*split_pair(self.input), _MEASURING_INPUT_OHM, "DC", False),
        ]
        for pair, word in self.outputs.items():
            inner += self._output(pair, word)
        return [*inner, *contact_switches(dict.fromkeys(self.alarms, "NO"), "alarm")]

    def _output(self, pair: str, word: str) -> list[Element]:
        ends, name = split_pair(pair), f"output {pair}"
        sort, _, level = word.partition(" ")
        if sort == "relay":
            return [Switch(*ends, name, False, RELAY_CONTACT_OHM)]
        if sort == "pulse":
            volts = parse(level.removesuffix(" DC"), "voltage").value if level else 12.0
            limit = _PULSE_LIMIT_A
            return [
                Output(*ends, volts, _PULSE_OHM, "DC", "constant-current", limit, limit, "supply", 1.0, name),
            ]
        return []
