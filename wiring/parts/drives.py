"""Drives: chopper stepper drive, servo drive, frequency inverter."""

from __future__ import annotations

from contextlib import suppress
from itertools import pairwise
from typing import Any, ClassVar, Literal

from wiring.parts.base import PartModel, phase_pairs
from wiring.parts.contacts import TerminalPair, split_pair
from wiring.parts.elements import Coil, Draw, Element, Function, Link, Output, Resistance, Switch, Terminal
from wiring.parts.traits import RIGHT, SheetFunction, Symbol, SymbolForm
from wiring.parts.typical import RELAY_CONTACT_OHM
from wiring.plan.fault import Refusal
from wiring.plan.model import Model, field
from wiring.plan.ratings import PhaseCurrent, Voltage, VoltageRange
from wiring.plan.types import (
    Amperes,
    AmperesOrZero,
    FaradsOrZero,
    Fraction,
    FractionOrZero,
    Ohms,
    OhmsOrZero,
    Seconds,
    SecondsOrZero,
    Volts,
    Watts,
    WattsOrZero,
)
from wiring.plan.words import Flag, PowerFactor
from wiring.quantities import QuantityError

InputFunction = Literal[
    "step", "direction", "enable", "run", "reverse", "reset", "analog", "alarm", "brake", "other",
]  # fmt: skip
_SIGNAL_CURRENT_A = 0.010
#: Supply current of a board or encoder where none is given [A] (typical, from memory).
_USUAL_LOGIC_A = 0.15
#: What the encoder port of a drive gives, and how it is terminated (RS-422 practice, from memory).
_ENCODER_PORT_A = 0.25
_PORT_OHM_SHARE = 0.002
_TERMINATOR_OHM = 120.0
_STO_OHM = 3300.0


class LogicSupply(Model):
    """A second, extra-low voltage supply of a drive: `{between: [24V, 0V], voltage: 24 V DC, current: 0.4 A}`."""

    between: tuple[str, str]
    voltage: Voltage
    current: AmperesOrZero | None = field(None, description="current that it takes; typical value used when left out")

    @property
    def taken_a(self) -> float:
        """The current that it takes [A], a typical one where none is given."""
        return self.current if self.current is not None else _USUAL_LOGIC_A


class EncoderPort(Model):
    """Where a drive feeds and reads the encoder of its motor: `{voltage: 5 V DC}`."""

    between: tuple[str, str] = ("EVCC", "EGND")
    voltage: Voltage
    current: Amperes | None = field(None, description="current that it can give; typical value used when left out")
    signals: list[str] = field(default_factory=lambda: ["EA+", "EA-", "EB+", "EB-", "EZ+", "EZ-"])

    def points(self) -> list[Terminal]:
        """Its supply and its differential inputs."""
        supply = [Terminal(end, Function.OUTPUT) for end in self.between]
        return [*supply, *(Terminal(name, Function.INPUT) for name in self.signals)]

    def elements(self) -> list[Element]:
        """A small source behind the drive, and a line terminator across each pair of signals."""
        plus, minus = self.between
        most = self.current or _ENCODER_PORT_A
        ohm = _PORT_OHM_SHARE * self.voltage.volts / most
        source = Output(
            plus, minus, self.voltage.volts, ohm, "DC", "constant-current", most, most, name="encoder supply"
        )
        pairs = [
            (name, f"{name[:-1]}-") for name in self.signals if name.endswith("+") and f"{name[:-1]}-" in self.signals
        ]
        return [source, *(Resistance(a, b, _TERMINATOR_OHM, "DC", False) for a, b in pairs)]


class Drive(PartModel):
    """What every drive has: a supply, signal inputs, safe torque off inputs, extra terminals."""

    letter: ClassVar[str] = "T"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "ac-ac")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    in_power: ClassVar[bool] = True
    leaks_to_earth: ClassVar[bool] = True
    earthed_at: ClassVar[str | None] = "PE"
    supply: VoltageRange
    signals: Voltage | None = field(None, description="voltage that its signal inputs are made for")
    signal_resistance: Ohms | None = field(None, description="inner resistance of a signal input")
    sto: list[TerminalPair] = field(default_factory=list, description="safe torque off inputs, each with its return")
    logic: LogicSupply | None = None
    inputs: list[TerminalPair] = field(default_factory=list, description="further signal inputs, each with its return")
    outputs: list[TerminalPair] = field(
        default_factory=list, description="further signal outputs, each with its return"
    )
    extra: list[str] = field(default_factory=list, description="further signal terminals, such as an encoder socket")
    encoder: EncoderPort | None = field(None, description="where it feeds and reads the encoder of its motor")
    bus_capacitance: FaradsOrZero | None = None
    bus_limit: Volts | None = field(None, description="highest bus voltage that it survives")
    clamp: Volts | None = field(None, description="bus voltage at which its braking chopper sets in")
    leakage: AmperesOrZero | None = None
    inrush: AmperesOrZero | None = None
    discharge: SecondsOrZero | None = field(None, description="time to wait after switching off, from its label")
    metal: Flag = field(True, description="has a metal body that needs a protective conductor")
    pe: list[str] = field(["PE"], min_length=1, description="its protective terminals, joined inside")
    functions: dict[str, InputFunction] = field(
        default_factory=dict, description="what a signal input or output does, by terminal"
    )
    max_fuse: Amperes | None = field(None, description="largest protective device that the maker allows in front")

    def _lockout_v(self) -> float:
        """Below it the drive draws nothing [V]: the end of its window, or 85 % of a nominal voltage (own choice)."""
        return self.supply.low * (0.85 if self.supply.low == self.supply.high else 1.0)

    def earth_terminal(self) -> str | None:
        return self.pe[0] if self.metal else None

    def _earth_points(self) -> list[Terminal]:
        return [Terminal(name, Function.PE, n == 0) for n, name in enumerate(self.pe)] if self.metal else []

    def _earth_links(self) -> list[Element]:
        return [Link(a, b) for a, b in pairwise(self.pe)] if self.metal else []

    def sign(self) -> str:
        return "dc-ac" if self.supply.kind == "DC" else self.symbol.sign

    def signal_inputs(self) -> list[tuple[str, str]]:
        """The signal inputs as pairs of terminals."""
        return [split_pair(pair) for pair in self.inputs]

    def fault_outputs(self) -> list[tuple[str, str]]:
        """The outputs that may tell of a fault, as pairs of terminals."""
        return [split_pair(pair) for pair in self.outputs]

    def brake_outputs(self) -> list[tuple[str, str]]:
        """The outputs that work a brake, as pairs of terminals."""
        return [(a, b) for a, b in map(split_pair, self.outputs) if self.functions.get(a) == "brake"]

    def _signal_points(self) -> list[Terminal]:
        ends = [end for pair in self.signal_inputs() for end in pair]
        ends += [end for pair in self.sto for end in split_pair(pair)]
        outs = [end for pair in self.outputs for end in split_pair(pair)]
        supply = (
            [
                Terminal(self.logic.between[0], Function.SUPPLY, True),
                Terminal(self.logic.between[1], Function.SUPPLY, True),
            ]
            if self.logic
            else []
        )
        points = [Terminal(end, Function.INPUT) for end in ends] + [Terminal(end, Function.OUTPUT) for end in outs]
        points += [Terminal(end, Function.INPUT) for end in self.extra] + supply
        points += self.encoder.points() if self.encoder else []
        return list({point.name: point for point in reversed(points)}.values())[::-1]

    def _signal_elements(self) -> list[Element]:
        volts = self.signals.volts if self.signals else 5.0
        ohm = self.signal_resistance or volts / _SIGNAL_CURRENT_A
        inner = self._earth_links()
        inner += [Resistance(a, b, ohm, "DC", False) for a, b in self.signal_inputs()]
        inner += [
            Coil(*split_pair(pair), f"sto{n + 1}", _STO_OHM, "DC", 15.0, 5.0, 1.0, False)
            for n, pair in enumerate(self.sto)
        ]
        inner += self.encoder.elements() if self.encoder else []
        # it closes when the drive gives torque, as a program does it
        inner += [Switch(a, b, f"output {a}", False, RELAY_CONTACT_OHM) for a, b in self.brake_outputs()]
        if self.logic:
            a, b = self.logic.between
            inner.append(Draw(a, b, "DC", watts=self.logic.voltage.volts * self.logic.taken_a, name="logic"))
        return inner


class BusChopper(PartModel):
    """A chopper across a DC bus with its resistor built in: it burns what braking axes feed back."""

    kind_name: ClassVar[str] = "bus-chopper"
    example: ClassVar[str] = "clamp: 80 V, resistance: 10 ohm, power: 50 W"
    letter: ClassVar[str] = "R"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "chopper")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.DC
    in_power: ClassVar[bool] = True
    clamp: Volts | None = field(None, description="bus voltage at which it sets in")
    resistance: Ohms | None = None
    power: Watts | None = field(None, description="lasting power of its resistor")
    peak_power: Watts | None = field(None, description="power that it bears for the length of a stop")
    cycle: Seconds | None = field(None, description="shortest time from one stop of the axes on its bus to the next")
    rated_voltage: Voltage | None = None
    metal: Flag = field(True, description="has a metal body that needs a protective conductor")

    def earth_terminal(self) -> str | None:
        return "PE" if self.metal else None

    def points(self) -> list[Terminal]:
        earth = [Terminal("PE", Function.PE, True)] if self.metal else []
        return [Terminal("V+", Function.SUPPLY, True), Terminal("V-", Function.SUPPLY, True), *earth]

    def elements(self) -> list[Element]:
        return [Draw("V+", "V-", "DC", watts=0.0, name="chopper")]


class StepperDrive(Drive):
    """A chopper drive for a two-phase stepper motor, open or closed loop."""

    kind_name: ClassVar[str] = "stepper-drive"
    example: ClassVar[str] = "supply: 24..48 V DC, phase_current: 4.2 A peak"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "dc-ac")
    phase_current: PhaseCurrent
    hold_current: FractionOrZero = 0.5
    quiescent: WattsOrZero = 1.5
    bridge_resistance: OhmsOrZero = field(0.08, description="of the two transistors in the path of one phase")
    closed_loop: Flag = False

    def signal_inputs(self) -> list[tuple[str, str]]:
        return [("STEP+", "STEP-"), ("DIR+", "DIR-"), ("ENA+", "ENA-"), *super().signal_inputs()]

    def points(self) -> list[Terminal]:
        power = [
            Terminal("V+", Function.SUPPLY, True),
            Terminal("V-", Function.SUPPLY, True),
            *self._earth_points(),
        ]
        phases = [Terminal(name, Function.MOTOR, True) for name in ("A+", "A-", "B+", "B-")]
        return [*power, *self._signal_points(), *phases]

    def elements(self) -> list[Element]:
        return [Draw("V+", "V-", "DC", lockout_v=self._lockout_v(), name="bus"), *self._signal_elements()]


#: Between a line and the neutral or midpoint no low-voltage mains have more [V]: IEC 60038, table 1.
_HIGHEST_LINE_V = 277.0


class MainsDrive(Drive):
    """A drive fed by mains or by a DC bus; its terminals follow from the supply."""

    phases: Literal["1", "3"] = "1"
    power_factor: PowerFactor | None = None
    efficiency: Fraction = 0.95
    quiescent: WattsOrZero = 10.0

    @classmethod
    def before_reading(cls, data: Any) -> Any:
        """No mains have more than 277 V from line to neutral: a drive for more has three phases."""
        if not isinstance(data, dict) or "phases" in data:
            return data
        with suppress(Refusal, QuantityError):
            if VoltageRange.read(str(data.get("supply"))).low > _HIGHEST_LINE_V:
                return {**data, "phases": "3"}
        return data

    def supply_terminals(self) -> list[str]:
        """L and N, L1 to L3, or V+ and V-."""
        if self.supply.kind == "DC":
            return ["V+", "V-"]
        return ["L", "N"] if self.phases == "1" else ["L1", "L2", "L3"]

    def points(self) -> list[Terminal]:
        power = [Terminal(name, Function.SUPPLY, True) for name in self.supply_terminals()]
        phases = [Terminal(name, Function.MOTOR, True) for name in ("U", "V", "W")]
        return [*power, *self._earth_points(), *self._signal_points(), *phases]

    def elements(self) -> list[Element]:
        names = self.supply_terminals()
        kind = "DC" if self.supply.kind == "DC" else "AC"
        low = self._lockout_v()
        default = 0.6 if self.phases == "1" else 0.75
        factor = 1.0 if kind == "DC" else (self.power_factor or default)
        pairs = phase_pairs(names)
        draws: list[Element] = [Draw(a, b, kind, lockout_v=low, power_factor=factor, name="bus") for a, b in pairs]
        return draws + self._signal_elements()


class ServoDrive(MainsDrive):
    """A servo drive, fed by mains or by a DC bus."""

    kind_name: ClassVar[str] = "servo-drive"
    example: ClassVar[str] = "supply: 200..240 V AC, sto: [STO1-SG1]"
    rated_current: PhaseCurrent | None = None
    peak_current: PhaseCurrent | None = None


class Inverter(MainsDrive):
    """A frequency inverter for an induction motor or a spindle."""

    kind_name: ClassVar[str] = "inverter"
    example: ClassVar[str] = 'supply: 380..480 V AC, phases: "3", rated: 1.5 kW, braking: true, relay: 13-14'
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "ac-ac", right=RIGHT | {Function.LOAD, Function.CONTACT})
    rated: Watts
    output_current: Amperes | None = None
    braking: Flag = field(False, description="has terminals R1 and R2 for a braking resistor")
    least_resistance: Ohms | None = field(None, description="of a braking resistor, that its chopper bears")
    relay: TerminalPair | None = field(None, description="fault or run relay contact")

    def fault_outputs(self) -> list[tuple[str, str]]:
        return [*super().fault_outputs(), *([split_pair(self.relay)] if self.relay else [])]

    def points(self) -> list[Terminal]:
        braking = [Terminal(name, Function.LOAD) for name in ("R1", "R2")] if self.braking else []
        relay = [Terminal(end, Function.CONTACT) for end in split_pair(self.relay)] if self.relay else []
        return [*super().points(), *braking, *relay]

    def elements(self) -> list[Element]:
        inner = super().elements()
        if self.relay:
            inner.append(Switch(*split_pair(self.relay), "output relay", False, RELAY_CONTACT_OHM))
        return inner
