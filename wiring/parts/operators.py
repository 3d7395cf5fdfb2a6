"""Switches that a person or the machine moves: emergency stop, buttons, limit, guard, pressure and float switches."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from wiring.parts.base import PartModel
from wiring.parts.contacts import Contacts, contact_points
from wiring.parts.elements import Element, Function, Terminal
from wiring.parts.switching import contact_switches, unique
from wiring.parts.traits import Purpose, SheetFunction, Symbol, SymbolForm
from wiring.plan.model import field
from wiring.plan.ratings import Rated, Voltage
from wiring.plan.types import Amperes, Metres
from wiring.plan.words import Flag, Name

#: What `ends` of a limit says.
ENDS = "what moves the load towards it: a contactor (`K1`) or a run input of a drive (`T1:FWD`)"
ActionWord = Literal["spring-return", "latching"]


class Operated(PartModel):
    """A switch with contacts that follow its operator."""

    letter: ClassVar[str] = "S"
    serves: ClassVar[Purpose | None] = Purpose("is worked")
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "operated")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.INPUT
    contacts: Contacts = field(min_length=1)
    rated: Amperes | None = None
    rated_voltage: Voltage | None = None
    contact_rating: str = ""
    earth: Flag = field(False, description="has a metal body with a protective conductor terminal")

    def earth_terminal(self) -> str | None:
        return "PE" if self.earth else None

    def points(self) -> list[Terminal]:
        earth = [Terminal("PE", Function.PE, True)] if self.earth else []
        return [*unique(contact_points(self.contacts)), *earth]

    def elements(self) -> list[Element]:
        return contact_switches(self.contacts, "operator")


class HandOperated(Operated):
    """A switch that a hand or foot moves."""

    #: What its operator does when it is let go, unless the plan says otherwise.
    usual_action: ClassVar[ActionWord] = "spring-return"
    action: ActionWord | None = field(None, description="what its operator does when it is let go")

    def springs_back(self) -> bool:
        return (self.action or self.usual_action) == "spring-return"


class EmergencyStop(HandOperated):
    """An emergency stop device: red on yellow, it latches and opens its break contacts by force (ISO 13850)."""

    kind_name: ClassVar[str] = "emergency-stop"
    example: ClassVar[str] = "contacts: {11-12: NC direct, 21-22: NC direct}"
    serves: ClassVar[Purpose | None] = Purpose("is worked", protects=True)
    usual_action: ClassVar[ActionWord] = "latching"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "operated", "mushroom")
    colour: str = "RD"


class PushButton(HandOperated):
    """A push-button. A hold-to-run or enabling device is one as well: give the contacts that are closed while it is
    held, and say `S1: worked` in the states in which a hand holds it. Its third position opens them as letting go does;
    every stop is proved with it held and let go. Named as a device of a stop, it is proved to stop when it is let go.
    """

    kind_name: ClassVar[str] = "push-button"
    example: ClassVar[str] = "contacts: {13-14: NO}"
    is_control: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "operated", "button")
    colour: str = ""
    lamp: Rated | None = None


class Selector(HandOperated):
    """A selector switch; its contacts are given for the position that is not at rest."""

    kind_name: ClassVar[str] = "selector"
    example: ClassVar[str] = "contacts: {13-14: NO, 23-24: NO}"
    usual_action: ClassVar[ActionWord] = "latching"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "operated", "selector")
    positions: list[str] = field(default_factory=list)


class KeySwitch(HandOperated):
    """A switch moved by a key."""

    kind_name: ClassVar[str] = "key-switch"
    example: ClassVar[str] = "contacts: {13-14: NO}"
    usual_action: ClassVar[ActionWord] = "latching"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "operated", "key")


class LimitSwitch(Operated):
    """A position switch at the end of a travel, or at home."""

    kind_name: ClassVar[str] = "limit-switch"
    example: ClassVar[str] = "contacts: {11-12: NC}, earth: true"
    serves: ClassVar[Purpose | None] = Purpose("is reached")
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "limit")
    letter: ClassVar[str] = "B"
    purpose: Literal["limit", "home", "over-travel"] = "limit"
    ends: str = field("", description=ENDS)


class FootSwitch(HandOperated):
    """A pedal. One that is held to run is given as such a push-button is."""

    kind_name: ClassVar[str] = "foot-switch"
    example: ClassVar[str] = "contacts: {13-14: NO}"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "operated", "foot")


class Guarding(Operated):
    """What stops the machine when somebody comes near; its contacts are given as they are while it may run."""

    letter: ClassVar[str] = "B"
    distance: Metres | None = field(None, description="way from it to what can hurt behind it")
    guards: Annotated[list[Name], field(min_length=1)] | None = field(
        None, description="parts that can hurt and are reached through it once it is open: `[M1]`"
    )

    def stays_shut(self) -> bool:
        """Whether nobody gets past it before what is behind it stands still."""
        return False


class GuardSwitch(Guarding):
    """A switch on a guard; its contacts are given for the closed guard, as they are when the machine may run."""

    kind_name: ClassVar[str] = "guard-switch"
    example: ClassVar[str] = "contacts: {11-12: NC, 21-22: NC}"
    serves: ClassVar[Purpose | None] = Purpose("is opened", protects=True)
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "operated", "guard")
    locking: Flag = field(False, description="keeps the guard shut until what is behind it stands still")

    def stays_shut(self) -> bool:
        return self.locking


class PressureSwitch(Operated):
    """A switch that follows a pressure."""

    kind_name: ClassVar[str] = "pressure-switch"
    example: ClassVar[str] = "contacts: {13-14: NO}"
    serves: ClassVar[Purpose | None] = Purpose("switches")
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "operated", "pressure")
    letter: ClassVar[str] = "B"


class FloatSwitch(Operated):
    """A switch that follows a level."""

    kind_name: ClassVar[str] = "float-switch"
    example: ClassVar[str] = "contacts: {11-12: NC}"
    serves: ClassVar[Purpose | None] = Purpose("switches")
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.CONTACTS, "operated", "float")
    letter: ClassVar[str] = "B"
