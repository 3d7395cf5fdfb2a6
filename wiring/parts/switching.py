"""Devices that switch when a coil is fed: contactor, relay, safety relay."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar, Literal, Self

from msgspec.structs import replace

from wiring.parts.base import PartModel
from wiring.parts.contacts import Contacts, TerminalPair, contact_points, split_pair
from wiring.parts.elements import Coil, Element, Function, Input, Link, Logic, Output, Rectifying, Switch, Terminal
from wiring.parts.protection import PoleCount, pole_pairs
from wiring.parts.traits import Purpose, SheetFunction, Symbol, SymbolForm
from wiring.parts.typical import CONTACTOR_POLE_OHM, RELAY_CONTACT_OHM, SEMICONDUCTOR_OHM
from wiring.plan.model import field
from wiring.plan.ratings import CoilRating, Rated, Voltage, VoltageRange
from wiring.plan.types import Amperes, AmperesOrZero, AmpereSquaredSeconds, SecondsOrZero, VoltAmperes, VoltsOrZero
from wiring.plan.words import Flag

SuppressorWord = Literal["none", "diode", "zener", "varistor", "rc"]

# A coil picks up at 85 % of its voltage and may hold on down to 20 % (AC), 10 % (DC): IEC 60947-4-1, from memory.
_PICK_UP = 0.85
_DROP_OUT = {"AC": 0.20, "DC": 0.10, "": 0.10}
_CHANNEL_SERIES_OHM = 10.0
_CHANNEL_INPUT_OHM = 2400.0
# A short between two channels of opposite polarity leaves each half the voltage: a unit that finds it must not hold on
# to that, one that does not holds on to little (own choice, no source).
_CHANNEL_DROP_OUT = {True: 0.55, False: 0.20}
_MINIMUM_COIL_W = 0.05
#: Of a closed AC magnet (typical, from memory).
_COIL_POWER_FACTOR = 0.3
#: Power of a safety relay where none is given [W] (typical, from memory).
_TYPICAL_UNIT_W = 2.5
# Inputs of solid-state relays: some 10 mA, off at 1 V, and a diode against the wrong polarity; on-state drop of a
# thyristor pair 1.5 V (typical, from memory).
_SOLID_STATE_INPUT_A = 0.010
_RELEASE_V = 1.0
_INPUT_DIODE_V = 0.7
_SEMICONDUCTOR_DROP_V = 1.5


def coil_between(a: str, b: str, moves: str, rated: Rated, typical_w: float = 0.0, *, inductive: bool = True) -> Coil:
    """The coil of a device rated for a voltage and a power; `typical_w` where the plan gives no power [W].

    A rating in VA or A is what it takes while it holds; its power is that times the power factor.
    """
    volts, kind = rated.voltage.volts, rated.voltage.kind
    factor = _COIL_POWER_FACTOR if kind == "AC" and inductive else 1.0
    watts = max(rated.true_w(factor) or typical_w, _MINIMUM_COIL_W)
    return Coil(a, b, moves, volts**2 / watts, kind, _PICK_UP * volts, _DROP_OUT[kind] * volts, factor, inductive)


def contact_switches(contacts: dict[str, str], actuator: str, ohm: float = RELAY_CONTACT_OHM) -> list[Element]:
    """The contacts that follow one actuator."""
    switches: list[Element] = []
    for pair, word in contacts.items():
        words = word.split()
        a, b = split_pair(pair)
        switches.append(
            Switch(a, b, actuator, words[0] == "NC", ohm, "mirror" in words, "direct" in words, "late" in words)
        )
    return switches


def unique(points: list[Terminal]) -> list[Terminal]:
    """The terminals with those that two contacts share named once."""
    return list({point.name: point for point in points}.values())


class Coiled(PartModel):
    """A device with one coil A1-A2."""

    letter: ClassVar[str] = "K"
    serves: ClassVar[Purpose | None] = Purpose("picks up")
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.COIL, "main-make")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.STOP
    #: Power of a coil of this kind where none is given [W] (typical, from memory).
    typical_coil_w: ClassVar[float] = 0.6
    coil: CoilRating
    pick_up: VoltAmperes | None = field(
        None, description="apparent power that its coil takes at its voltage while it closes, of AC coils"
    )
    suppressor: SuppressorWord | None = None
    contacts: Contacts = field(default_factory=dict)
    contact_rating: str = field("", description="utilisation category and rating, such as `DC-13 2 A 24 V`")
    interlock: str = field("", description="the one beside it that a mechanical lock keeps open while this one is in")

    def _coil_points(self) -> list[Terminal]:
        return [Terminal("A1", Function.COIL, True), Terminal("A2", Function.COIL, True)]


class Contactor(Coiled):
    """A contactor: main poles and auxiliary contacts on one armature."""

    kind_name: ClassVar[str] = "contactor"
    example: ClassVar[str] = "coil: 24 V DC 3 W, contacts: {13-14: NO, 21-22: NC mirror}"
    typical_coil_w: ClassVar[float] = 3.0
    in_power: ClassVar[bool] = True
    line_above: ClassVar[bool] = True
    letter: ClassVar[str] = "Q"
    poles: PoleCount = "3"
    rated: Amperes | None = None
    rated_voltage: Voltage | None = None
    dc_rated: Amperes | None = field(None, description="current that its poles in series break at the DC voltage used")
    making: Amperes | None = None
    category: str = ""

    def points(self) -> list[Terminal]:
        poles = [Terminal(end, Function.POLE) for pair in pole_pairs(self.poles) for end in pair]
        return [*self._coil_points(), *poles, *unique(contact_points(self.contacts))]

    def working_contacts(self) -> set[str] | None:
        """Its main poles: what the others do only follows from them."""
        return {f"{a}-{b}" for a, b in pole_pairs(self.poles)}

    def elements(self) -> list[Element]:
        poles: list[Element] = [Switch(a, b, "coil", False, CONTACTOR_POLE_OHM) for a, b in pole_pairs(self.poles)]
        return [
            coil_between("A1", "A2", "coil", self.coil, self.typical_coil_w),
            *poles,
            *contact_switches(self.contacts, "coil"),
        ]


class Relay(Coiled):
    """A relay. A change-over contact is two pairs that share a terminal: `{11-12: NC, 11-14: NO}`."""

    kind_name: ClassVar[str] = "relay"
    example: ClassVar[str] = "coil: 24 V DC 0.6 W, contacts: {11-12: NC, 11-14: NO}"
    is_control: ClassVar[bool] = True
    rated: Amperes | None = None
    rated_voltage: Voltage | None = None
    forced: Flag = field(False, description="its contacts are mechanically linked")
    on_delay: SecondsOrZero | None = None
    off_delay: SecondsOrZero | None = None

    def points(self) -> list[Terminal]:
        return [*self._coil_points(), *unique(contact_points(self.contacts))]

    def elements(self) -> list[Element]:
        coil = coil_between("A1", "A2", "coil", self.coil, self.typical_coil_w)
        delayed = replace(coil, on_delay_s=self.on_delay or 0.0, off_delay_s=self.off_delay or 0.0)
        return [delayed, *contact_switches(self.contacts, "coil")]


class SolidStateRelay(PartModel):
    """A semiconductor switch with an input that minds its polarity. It fails closed more often than open.

    It parts nothing: a leakage current flows while it is off, and one with thyristors stays on at direct current.
    """

    kind_name: ClassVar[str] = "solid-state-relay"
    example: ClassVar[str] = "control: 3..32 V DC, rated: 25 A"
    serves: ClassVar[Purpose | None] = Purpose("is turned on")
    letter: ClassVar[str] = "K"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.COIL, "static-make")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.STOP
    in_power: ClassVar[bool] = True
    control: VoltageRange = field(description="input voltage that turns it on")
    control_current: Amperes | None = field(None, description="current into its input")
    poles: PoleCount = "1"
    rated: Amperes | None = None
    rated_voltage: VoltageRange | None = field(None, description="voltage that it switches; AC has thyristors")
    drop: VoltsOrZero | None = field(None, description="voltage lost across it while it is on")
    leakage: AmperesOrZero | None = field(None, description="current that it lets through while it is off")
    i2t: AmpereSquaredSeconds | None = field(None, description="let-through energy that it survives")

    def points(self) -> list[Terminal]:
        poles = [Terminal(end, Function.POLE) for pair in pole_pairs(self.poles) for end in pair]
        return [Terminal("A1", Function.COIL, True), Terminal("A2", Function.COIL, True), *poles]

    def elements(self) -> list[Element]:
        drop_v = self.drop if self.drop is not None else _SEMICONDUCTOR_DROP_V
        ohm = max(drop_v / self.rated, SEMICONDUCTOR_OHM / 10) if self.rated else SEMICONDUCTOR_OHM
        poles = [Switch(a, b, "coil", False, ohm, solid_state=True) for a, b in pole_pairs(self.poles)]
        input_ohm = self.control.high / (self.control_current or _SOLID_STATE_INPUT_A)
        if self.control.kind == "AC":
            return [Coil("A1", "A2", "coil", input_ohm, "AC", self.control.low, _RELEASE_V, 1.0, False), *poles]
        low = max(self.control.low - _INPUT_DIODE_V, _RELEASE_V)
        coil = Coil(".in", "A2", "coil", input_ohm, "DC", low, min(_RELEASE_V, 0.5 * low), 1.0, False)
        return [Rectifying("A1", ".in", _INPUT_DIODE_V), coil, *poles]


class SafetyRelay(PartModel):
    """A safety relay: its outputs close when every channel is closed and the reset has been made."""

    kind_name: ClassVar[str] = "safety-relay"
    example: ClassVar[str] = "supply: 24 V DC 2 W, channels: [S11-S12, S21-S22], outputs: [13-14, 23-24]"
    serves: ClassVar[Purpose | None] = Purpose("lets go", protects=True)
    is_control: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CHANNELS)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.STOP
    letter: ClassVar[str] = "K"
    supply: CoilRating
    channels: list[TerminalPair]
    reset: TerminalPair = "S33-S34"
    reset_mode: Literal["manual", "monitored", "automatic"] = "monitored"
    outputs: list[TerminalPair]
    auxiliary: list[TerminalPair] = field(default_factory=list, description="break contacts for signalling")
    delayed: list[TerminalPair] = field(default_factory=list, description="outputs that open after `delay`")
    delay: SecondsOrZero = 0.0
    cross_fault: Flag = field(
        False, description="finds a short between its channels; not where semiconductor outputs feed them"
    )
    rated: Amperes | None = None
    contact_rating: str = ""
    performance: str = field("", description="the maker's figure, such as `PL e`, for the record")
    channel_current: Amperes | None = None

    def as_fed(self, by_semiconductor: Callable[[str], bool]) -> Self:
        """Safe outputs give plus to every channel and test themselves for shorts."""
        fed = self.cross_fault and all(by_semiconductor(split_pair(pair)[1]) for pair in self.channels)
        return self.model_copy(update={"cross_fault": False}) if fed else self

    def points(self) -> list[Terminal]:
        pairs = [*self.channels, self.reset]
        signal = [Terminal(end, Function.INPUT) for pair in pairs for end in split_pair(pair)]
        contacts = contact_points(dict.fromkeys([*self.outputs, *self.auxiliary, *self.delayed], "NO"))
        coil = [Terminal("A1", Function.COIL, True), Terminal("A2", Function.COIL, True)]
        return unique([*coil, *signal, *contacts])

    def _supply(self) -> tuple[list[Element], str, str]:
        """The coil of the unit, and the two points of the extra-low voltage that feeds its channels."""
        feed: list[Element] = [coil_between("A1", "A2", "supply", self.supply, _TYPICAL_UNIT_W, inductive=False)]
        if self.supply.voltage.kind != "AC":
            return feed, "A1", "A2"
        volts = self.supply.voltage.volts
        feed += [
            Input("A1", "A2", "AC", 0.85 * volts, 1.1 * volts, 0.6),
            Output(".24V", ".0V", 24.0, 1.0, "DC", "constant-current", 0.2, 0.2, "input", 0.8),
        ]
        return feed, ".24V", ".0V"

    def _channel(self, pair: str, moves: str, plus: str, minus: str, *, reverse: bool) -> list[Element]:
        out, back = split_pair(pair)
        volts = 24.0 if plus == ".24V" else self.supply.voltage.volts
        source, drain = (minus, plus) if reverse else (plus, minus)
        ohm = volts / self.channel_current if self.channel_current else _CHANNEL_INPUT_OHM
        return [
            Link(source, out, _CHANNEL_SERIES_OHM),
            Coil(back, drain, moves, ohm, "DC", 0.6 * volts, _CHANNEL_DROP_OUT[self.cross_fault] * volts, 1.0, False),
        ]

    def elements(self) -> list[Element]:
        inner, plus, minus = self._supply()
        names = [f"channel{n + 1}" for n in range(len(self.channels))]
        for n, (pair, name) in enumerate(zip(self.channels, names, strict=True)):
            inner += self._channel(pair, name, plus, minus, reverse=self.cross_fault and n % 2 == 1)
        inner += self._channel(self.reset, "reset", plus, minus, reverse=False)
        inner.append(Logic("supply", tuple(names), "reset", self.reset_mode, "outputs", 0.0, self.cross_fault))
        if self.delayed:
            inner.append(
                Logic("supply", tuple(names), "reset", self.reset_mode, "delayed", self.delay, self.cross_fault)
            )
        inner += contact_switches(dict.fromkeys(self.outputs, "NO"), "outputs")
        inner += contact_switches(dict.fromkeys(self.delayed, "NO"), "delayed")
        return inner + contact_switches(dict.fromkeys(self.auxiliary, "NC"), "outputs")
