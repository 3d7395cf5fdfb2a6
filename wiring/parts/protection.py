"""Devices that open the main circuit, by themselves or by hand: disconnector, breaker, fuse, residual current."""

from __future__ import annotations

from typing import ClassVar, Literal

from wiring.parts.base import Part, PartModel
from wiring.parts.contacts import Contacts, contact_points, split_pair
from wiring.parts.elements import Element, Function, Pole, Switch, Terminal
from wiring.parts.traits import Purpose, SheetFunction, Symbol, SymbolForm
from wiring.parts.typical import RELAY_CONTACT_OHM, SEMICONDUCTOR_OHM, SWITCH_POLE_OHM, breaker_pole_ohm, fuse_ohm
from wiring.plan.model import field
from wiring.plan.ratings import CurrentRange, Voltage
from wiring.plan.types import Amperes, AmperesOrZero, AmpereSquaredSeconds, Multiple, OhmsOrZero, SecondsOrZero
from wiring.plan.words import EnergyClass, Flag

FuseClass = Literal[
    "gG", "aM", "FF", "F", "M", "T", "TT", "CC", "J", "RK1", "RK5", "T-UL", "G", "K5", "H", "L", "midget"
]
#: Taken for the resistance of a fuse whose rating is not known [A].
_USUAL_FUSE_A = 6.0
PoleCount = Literal["1", "2", "3", "4"]
LineSide = Literal["odd", "even", "either"]
#: Up to this a device protects persons by class A of UL 943, whose terminals are marked line and load [A].
_CLASS_A_MOST_A = 6e-3
ResetWord = Literal["manual", "self"]
_RESET_TEXT = "how it closes again after it has opened: by hand, as most do, or by itself"


def pole_pairs(count: str) -> list[tuple[str, str]]:
    """The marking of main poles, line side odd and load side even: 1-2, 3-4, 5-6 (EN 50005)."""
    return [(str(2 * n + 1), str(2 * n + 2)) for n in range(int(count))]


class MainPoles(PartModel):
    """A device with main poles."""

    letter: ClassVar[str] = "Q"
    sheet_function: ClassVar[SheetFunction] = SheetFunction.POLES
    in_power: ClassVar[bool] = True
    line_above: ClassVar[bool] = True
    poles: PoleCount = "1"
    line: LineSide | None = field(
        None, description="which of its terminals are marked for the line, odd or even; either: it may be fed from both"
    )

    def points(self) -> list[Terminal]:
        return [Terminal(end, Function.POLE) for pair in pole_pairs(self.poles) for end in pair]

    def line_side(self) -> LineSide | None:
        """The side at which it must be fed, as it is marked or built; None where the plan does not tell."""
        return self.line


class Disconnector(MainPoles):
    """The main switch: opened by hand, lockable, it parts the machine from its supply."""

    kind_name: ClassVar[str] = "disconnector"
    example: ClassVar[str] = "poles: 2"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.POLES, "switch-disconnector", "handle")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.MAINS
    rated: Amperes | None = None
    rated_voltage: Voltage | None = None
    lockable: Flag = False
    breaking: Amperes | None = None
    making: Amperes | None = None

    def elements(self) -> list[Element]:
        return [Switch(a, b, "handle", True, SWITCH_POLE_OHM) for a, b in pole_pairs(self.poles)]


class Breaker(MainPoles):
    """A circuit-breaker with a thermal and a magnetic release."""

    kind_name: ClassVar[str] = "breaker"
    example: ClassVar[str] = "rating: 6 A"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.POLES, "breaker")
    letter: ClassVar[str] = "F"
    rating: Amperes
    curve: Literal["B", "C", "D", "K", "Z"] | None = None
    breaking: Amperes | None = field(None, description="the short-circuit current that it can break")
    energy_class: EnergyClass | None = None
    rated_voltage: Voltage | None = None
    dc_voltage: Voltage | None = field(None, description="highest DC voltage that its poles break")
    standard: Literal["branch", "supplementary"] = field(
        "branch", description="branch circuit protector, or a supplementary protector inside equipment"
    )
    resistance: OhmsOrZero | None = None
    reset: ResetWord = field("manual", description=_RESET_TEXT)

    def elements(self) -> list[Element]:
        ohm = self.resistance if self.resistance is not None else breaker_pole_ohm(self.rating)
        return [Pole(a, b, ohm) for a, b in pole_pairs(self.poles)]


class Fuse(MainPoles):
    """A fuse and its holder."""

    kind_name: ClassVar[str] = "fuse"
    example: ClassVar[str] = "rating: 2 A"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.POLES, "fuse")
    letter: ClassVar[str] = "F"
    rating: Amperes | None = field(None, description="asked where it is left out")
    class_: FuseClass | None = field(
        None, alias="class", description="T alone is the time-lag miniature fuse; the UL class of that letter is T-UL"
    )
    time_delay: Flag = field(False, description="a UL fuse that is marked so, and bears the start of a motor longer")
    rated_voltage: Voltage | None = None
    breaking: Amperes | None = None
    resistance: OhmsOrZero | None = None
    i2t: AmpereSquaredSeconds | None = None

    def elements(self) -> list[Element]:
        ohm = self.resistance if self.resistance is not None else fuse_ohm(self.rating or _USUAL_FUSE_A)
        return [Pole(a, b, ohm) for a, b in pole_pairs(self.poles)]


class ElectronicFuse(MainPoles):
    """A semiconductor switch that limits the current of a DC branch and turns it off after a time."""

    kind_name: ClassVar[str] = "electronic-fuse"
    example: ClassVar[str] = "rating: 4 A"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.POLES, "electronic-fuse")
    letter: ClassVar[str] = "F"
    rating: Amperes
    limit: Multiple = 1.25
    time: SecondsOrZero = 0.5
    rated_voltage: Voltage | None = None
    reset: ResetWord = field("manual", description=_RESET_TEXT)

    def points(self) -> list[Terminal]:
        return [*super().points(), Terminal("0V", Function.DC_MINUS)]

    def line_side(self) -> LineSide | None:
        """A semiconductor opens in one direction."""
        return self.line or "odd"

    def elements(self) -> list[Element]:
        return [Pole(a, b, SEMICONDUCTOR_OHM) for a, b in pole_pairs(self.poles)]


class MotorProtector(MainPoles):
    """A motor protective switch or overload relay: thermal release set to the motor's current."""

    kind_name: ClassVar[str] = "motor-protector"
    example: ClassVar[str] = "setting: 2 A"
    serves: ClassVar[Purpose | None] = Purpose("trips", protects=True)
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.POLES, "motor-protector")
    letter: ClassVar[str] = "F"
    poles: PoleCount = "3"
    setting: Amperes
    range: CurrentRange | None = None
    trip_class: Literal["10A", "10", "20", "30"] = "10"
    breaking: Amperes | None = None
    magnetic: Flag = field(True, description="has a short-circuit release as well as the thermal one")
    reset: ResetWord = field("manual", description=_RESET_TEXT)
    rated_voltage: Voltage | None = None
    contacts: Contacts = field(default_factory=dict)

    def points(self) -> list[Terminal]:
        return [*super().points(), *contact_points(self.contacts)]

    def idle_without_contacts(self) -> Purpose | None:
        """An overload relay alone acts through its contact; a motor protective switch opens its poles itself."""
        return None if self.magnetic else self.serves

    def sign(self) -> str:
        """Contacts with releases, or the heaters alone of an overload relay, which opens by its auxiliary contact."""
        return self.symbol.sign if self.magnetic else "thermal"

    def elements(self) -> list[Element]:
        poles: list[Element] = [Pole(a, b, breaker_pole_ohm(self.setting)) for a, b in pole_pairs(self.poles)]
        return poles + [
            Switch(*split_pair(pair), "trip", word.startswith("NC") != self._follows(pair), RELAY_CONTACT_OHM)
            for pair, word in self.contacts.items()
        ]

    def _follows(self, pair: str) -> bool:
        """Whether a contact moves with the main contacts, so that a make contact is closed while the switch is in.

        The last digits 1-2 and 3-4 mark such auxiliary contacts, 5-6 and 7-8 those with a function of their own, as of
        a trip (EN 50005, from memory). An overload relay has no main contacts.
        """
        ends = {end[-1:] for end in split_pair(pair)}
        return self.magnetic and ends in ({"1", "2"}, {"3", "4"})


class ResidualCurrentDevice(MainPoles):
    """A residual current device, with overcurrent protection when it has a `rating` and a `curve`."""

    kind_name: ClassVar[str] = "rcd"
    example: ClassVar[str] = "rated: 25 A, residual: 30 mA, type: A"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.POLES, "rcd", "residual")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.MAINS
    letter: ClassVar[str] = "F"
    poles: PoleCount = "2"
    rated: Amperes
    residual: Amperes
    type: Literal["AC", "A", "F", "B"]
    rating: Amperes | None = None
    curve: Literal["B", "C", "D"] | None = None
    breaking: Amperes | None = None
    rated_voltage: Voltage | None = None
    reset: ResetWord = field("manual", description=_RESET_TEXT)

    def line_side(self) -> LineSide | None:
        """A ground-fault interrupter of class A has its electronics at the line (UL 943, from memory)."""
        return self.line or ("odd" if self.residual <= _CLASS_A_MOST_A * (1 + 1e-9) else None)

    def elements(self) -> list[Element]:
        ohm = breaker_pole_ohm(self.rating or self.rated)
        return [Pole(a, b, ohm) for a, b in pole_pairs(self.poles)]


def device_rating(part: Part) -> float | None:
    """Rated current of an overcurrent protective device, of a motor protector its setting [A]; None for other parts."""
    match part.data:
        case Breaker() | Fuse() | ElectronicFuse() | ResidualCurrentDevice():
            return part.data.rating
        case MotorProtector():
            return part.data.setting
    return None


class SurgeArrester(PartModel):
    """A surge protective device between the lines and the protective earth; open at working voltage."""

    kind_name: ClassVar[str] = "surge-arrester"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "arrester", right=frozenset({Function.PE}), bonds=False)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.MAINS
    leaks_to_earth: ClassVar[bool] = True
    letter: ClassVar[str] = "F"
    lines: list[str] = field(default_factory=lambda: ["L", "N"])
    rated_voltage: Voltage | None = None
    leakage: AmperesOrZero | None = None

    def points(self) -> list[Terminal]:
        lines = [Terminal(line, Function.SUPPLY, True) for line in self.lines]
        return [*lines, Terminal("PE", Function.PE, True)]

    def elements(self) -> list[Element]:
        return []
