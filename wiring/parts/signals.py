"""What handles signals: input and output cards, controllers, sensors, encoders, isolators."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from msgspec.structs import replace

from wiring.parts.base import PartModel
from wiring.parts.contacts import TerminalPair, split_pair
from wiring.parts.drives import LogicSupply
from wiring.parts.elements import Coil, Draw, Element, Function, Input, Output, Resistance, Switch, Terminal
from wiring.parts.operators import ENDS
from wiring.parts.switching import unique
from wiring.parts.traits import SheetFunction, Symbol, SymbolForm
from wiring.parts.typical import RELAY_CONTACT_OHM
from wiring.plan.fault import Refusal
from wiring.plan.model import Before, Model, field
from wiring.plan.ratings import Voltage, VoltageRange
from wiring.plan.records import TerminalRef
from wiring.plan.types import Amperes, AmperesOrZero, Ohms, VoltsOrZero
from wiring.plan.words import Factor, Flag
from wiring.quantities import QuantityError, parse

_OUTPUT_WORDS = ("push-pull", "pnp", "npn", "relay", "open-collector", "differential")
_PUSH_PULL_OHM = 20.0
_TRANSISTOR_OHM = 0.5
#: An input of type 3 is on from 11 V of 24 V and off below 5 V (IEC 61131-2, table of input types).
_ON_SHARE, _OFF_SHARE = 11.0 / 24.0, 5.0 / 24.0
#: On-current of a digital input by its type (IEC 61131-2), in ampere at its rated voltage; typical values.
_INPUT_CURRENT_A = {"1": 0.004, "2": 0.008, "3": 0.0025}


def _input_word(value: object) -> object:
    if isinstance(value, str) and value.split(" ")[0] not in ("sink", "source", "analog", "encoder", "isolated"):
        raise Refusal(f"{value[:40]!r} is no kind of input", "sink, source, analog, encoder or isolated")
    return value


def _output_word(value: object) -> object:
    words = value.split(" ", 1) if isinstance(value, str) else [""]
    if words[0] not in _OUTPUT_WORDS:
        raise Refusal(
            f"{str(value)[:40]!r} is no kind of output",
            f"{', '.join(_OUTPUT_WORDS)}; a voltage may follow: push-pull 5 V",
        )
    if len(words) == 2:
        try:
            parse(words[1].removesuffix(" DC"), "voltage")
        except QuantityError as error:
            raise Refusal(error.problem, error.expected) from None
    return value


SignalFunction = Literal[
    "step", "direction", "enable", "run", "reverse", "reset", "analog", "encoder A", "encoder B", "encoder Z",
    "alarm", "limit", "home", "probe", "stop", "other",
]  # fmt: skip


class HardLogic(Model):
    """An input of a board that gates some of its outputs without a program: they switch only while it is fed.

    `counted: false` says that it is not relied on: it then changes nothing, and every proof says so.
    """

    input: TerminalPair
    outputs: list[str] = field(min_length=1)
    voltage: Voltage | None = None
    counted: Flag = False


InputWord = Annotated[str, Before(_input_word)]
OutputWord = Annotated[str, Before(_output_word)]


class IoCard(PartModel):
    """An input and output card, fed from one extra-low voltage.

    `sink` inputs take current from the positive side into `common`; `source` inputs give current out of themselves
    to a contact at the negative side.
    """

    kind_name: ClassVar[str] = "io-card"
    example: ClassVar[str] = (
        "supply: {between: [24V, 0V], voltage: 24 V DC, current: 0.1 A}, inputs: {I1: sink}, common: 0V, "
        "outputs: {O1: pnp, 13-14: relay}"
    )
    is_control: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CARD)
    letter: ClassVar[str] = "K"
    supply: LogicSupply | None = None
    inputs: dict[str, InputWord] = field(default_factory=dict)
    input_type: Literal["1", "2", "3"] | None = None
    input_voltage: Voltage | None = None
    input_current: Amperes | None = None
    common: str | None = field(None, description="the terminal to which its inputs return")
    outputs: dict[str, OutputWord] = field(default_factory=dict)
    output_common: str | None = field(None, description="the terminal to which its outputs return")
    output_current: Amperes | None = None
    functions: dict[str, SignalFunction] = field(
        default_factory=dict, description="what an input or output does, by terminal: step, direction, encoder A ..."
    )
    hard_logic: list[HardLogic] = field(default_factory=list, description="inputs that gate outputs without a program")
    tracks: dict[str, list[TerminalRef]] = field(
        default_factory=dict, description="terminals of modules plugged on it that its tracks reach, by its terminal"
    )
    boot: Literal["off", "on", "floating"] | None = field(None, description="state of its outputs without a program")
    ports: list[str] = field(default_factory=list, description="terminals of plug-in links to other electronics")

    def points(self) -> list[Terminal]:
        supply = [Terminal(end, Function.SUPPLY, True) for end in self.supply.between] if self.supply else []
        commons = [Terminal(end, Function.COMMON) for end in (self.common, self.output_common) if end]
        inputs = [Terminal(name, Function.INPUT) for name in self.inputs]
        outputs = [Terminal(name, Function.OUTPUT) for name in self._output_terminals()]
        ports = [Terminal(name, Function.INPUT) for name in self.ports]
        gates = [Terminal(end, Function.INPUT) for logic in self.hard_logic for end in split_pair(logic.input)]
        return unique([*commons, *inputs, *outputs, *ports, *supply, *gates])

    def _output_terminals(self) -> list[str]:
        names: list[str] = []
        for name, word in self.outputs.items():
            names += list(split_pair(name)) if word.startswith("relay") else [name]
        return names

    def _inputs(self) -> list[Element]:
        volts = self.input_voltage.volts if self.input_voltage else (self.supply.voltage.volts if self.supply else 24.0)
        amps = self.input_current or _INPUT_CURRENT_A[self.input_type or "3"]
        inner: list[Element] = []
        for name, word in self.inputs.items():
            if self.common and word in ("sink", "isolated"):
                inner.append(Resistance(name, self.common, volts / amps, "DC", False))
            elif self.supply and word == "source":
                inner.append(Resistance(self.supply.between[0], name, volts / amps, "DC", False))
        return inner

    def _output(self, name: str, word: str) -> list[Element]:
        sort, _, level = word.partition(" ")
        plus, minus = self.supply.between if self.supply else (None, None)
        if sort == "relay":
            return [Switch(*split_pair(name), f"output {name}", False, RELAY_CONTACT_OHM)]
        if sort in ("push-pull", "differential") and level:
            back = self.output_common or minus
            volts = parse(level.removesuffix(" DC"), "voltage").value
            limit = self.output_current or 0.02
            source = "supply" if self.supply else None
            return (
                [
                    Output(
                        name,
                        back,
                        volts,
                        _PUSH_PULL_OHM,
                        "DC",
                        "constant-current",
                        limit,
                        limit,
                        source,
                        1.0,
                        f"output {name}",
                    )
                ]
                if back
                else []
            )
        if sort == "pnp" and plus:
            return [Switch(plus, name, f"output {name}", False, _TRANSISTOR_OHM)]
        ground = self.output_common or minus
        if sort in ("npn", "open-collector") and ground:
            return [Switch(name, ground, f"output {name}", False, _TRANSISTOR_OHM)]
        return []

    def elements(self) -> list[Element]:
        inner: list[Element] = []
        if self.supply:
            a, b = self.supply.between
            volts = self.supply.voltage.volts
            inner.append(Input(a, b, "DC", 0.8 * volts, 1.25 * volts, 1.0, volts * self.supply.taken_a, "supply"))
        inner += self._inputs()
        gate = {name: n for n, logic in enumerate(self.hard_logic, 1) if logic.counted for name in logic.outputs}
        for name, word in self.outputs.items():
            made = self._output(name, word)
            inner += _gated(made, name, f"gate {gate[name]}") if name in gate else made
        return [*inner, *self._gates()]

    def _gates(self) -> list[Element]:
        """The inputs that gate outputs without a program, as far as they are counted on."""
        inner: list[Element] = []
        for n, logic in enumerate(self.hard_logic, 1):
            volts = logic.voltage.volts if logic.voltage else (self.input_voltage.volts if self.input_voltage else 24.0)
            ohm = volts / _INPUT_CURRENT_A["3"]
            low, off = _ON_SHARE * volts, _OFF_SHARE * volts
            if logic.counted:
                inner.append(Coil(*split_pair(logic.input), f"gate {n}", ohm, "DC", low, off, 1.0, False))
            else:
                inner.append(Resistance(*split_pair(logic.input), ohm, "DC", False))
        return inner


def _gated(made: list[Element], name: str, gate: str) -> list[Element]:
    """The elements of an output behind a switch that its gate closes."""
    found: list[Element] = []
    for element in made:
        if isinstance(element, Switch):
            found += [replace(element, b=f".{name}"), Switch(f".{name}", element.b, gate, False, _TRANSISTOR_OHM)]
        elif isinstance(element, Output):
            found += [replace(element, plus=f".{name}"), Switch(f".{name}", element.plus, gate, False, _TRANSISTOR_OHM)]
        else:
            found.append(element)
    return found


class Controller(IoCard):
    """A motion controller or programmable controller: an input and output card with a program in it."""

    kind_name: ClassVar[str] = "controller"
    example: ClassVar[str] = "supply: {between: [24V, 0V], voltage: 24 V DC, current: 0.2 A}, inputs: {I1: source}"


class Sensor(PartModel):
    """A proximity or other electronic sensor: 1 positive, 3 negative, 4 output, 2 second output (IEC 60947-5-2)."""

    kind_name: ClassVar[str] = "sensor"
    example: ClassVar[str] = "supply: 10..30 V DC, output: pnp NO"
    is_control: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "sensor")
    letter: ClassVar[str] = "B"
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    supply: VoltageRange
    current: Amperes = 0.015
    output: Literal["pnp NO", "pnp NC", "npn NO", "npn NC", "push-pull NO", "two-wire NO", "two-wire NC", "analog"]
    leakage: AmperesOrZero | None = None
    drop: VoltsOrZero | None = field(None, description="voltage lost across the output when it conducts")
    output_current: Amperes | None = None
    purpose: Literal["limit", "home", "over-travel", "probe", "other"] | None = None
    ends: str = field("", description=ENDS)

    def _two_wire(self) -> bool:
        return self.output.startswith("two-wire")

    def points(self) -> list[Terminal]:
        if self._two_wire():
            return [Terminal("1", Function.SUPPLY, True), Terminal("4", Function.OUTPUT, True)]
        return [
            Terminal("1", Function.SUPPLY, True),
            Terminal("3", Function.SUPPLY, True),
            Terminal("4", Function.OUTPUT, True),
        ]

    def elements(self) -> list[Element]:
        sort, _, contact = self.output.partition(" ")
        closed = contact == "NC"
        ohm = max((self.drop or 0.0) / (self.output_current or 0.1), 1.0)
        if self._two_wire():
            return [Switch("1", "4", "operator", closed, ohm)]
        inner: list[Element] = [Draw("1", "3", "DC", amps=self.current, name="supply")]
        if sort in ("pnp", "push-pull"):
            inner.append(Switch("1", "4", "operator", closed, ohm))
        elif sort == "npn":
            inner.append(Switch("4", "3", "operator", closed, ohm))
        return inner


class Encoder(PartModel):
    """An encoder or other measuring device with a socket of signals."""

    kind_name: ClassVar[str] = "encoder"
    example: ClassVar[str] = "supply: {between: [5V, GND], voltage: 5 V DC, current: 0.1 A}"
    is_control: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "encoder")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.IO
    near_axis: ClassVar[bool] = True
    letter: ClassVar[str] = "B"
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    supply: LogicSupply
    signals: list[str] = field(default_factory=lambda: ["A+", "A-", "B+", "B-", "Z+", "Z-"])

    def points(self) -> list[Terminal]:
        supply = [Terminal(end, Function.SUPPLY, True) for end in self.supply.between]
        return [*supply, *(Terminal(name, Function.OUTPUT) for name in self.signals)]

    def elements(self) -> list[Element]:
        a, b = self.supply.between
        return [Draw(a, b, "DC", amps=self.supply.taken_a, name="supply")]


class Isolator(PartModel):
    """A galvanic barrier for a signal or a process voltage: nothing conducts from one side to the other."""

    kind_name: ClassVar[str] = "isolator"
    example: ClassVar[str] = "input_voltage: 100 V DC, output_voltage: 10 V DC"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "isolator")
    letter: ClassVar[str] = "T"
    supply: LogicSupply | None = None
    input: TerminalPair = "IN+-IN-"
    output: TerminalPair = "OUT+-OUT-"
    input_voltage: Voltage
    output_voltage: Voltage
    input_resistance: Ohms = 100_000.0
    withstand: Voltage | None = field(None, description="test voltage of the barrier")
    ratio: Factor | None = None
    metal: Flag = False

    def points(self) -> list[Terminal]:
        supply = [Terminal(end, Function.SUPPLY, True) for end in self.supply.between] if self.supply else []
        inputs = [Terminal(end, Function.INPUT, True) for end in split_pair(self.input)]
        outputs = [Terminal(end, Function.OUTPUT, True) for end in split_pair(self.output)]
        return [*inputs, *supply, *outputs]

    def elements(self) -> list[Element]:
        a, b = split_pair(self.input)
        inner: list[Element] = [Resistance(a, b, self.input_resistance, self.input_voltage.kind, False)]
        if self.supply:
            plus, minus = self.supply.between
            inner.append(Draw(plus, minus, "DC", amps=self.supply.taken_a, name="supply"))
        return inner
