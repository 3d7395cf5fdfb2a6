"""Switches that a person or the machine moves: emergency stop, buttons, limit, guard, pressure and float switches."""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import Field

from wiring.parts.base import Contacts, PartModel, contact_points
from wiring.parts.elements import Element, Function, Terminal
from wiring.parts.switching import contact_switches, unique
from wiring.plan.types import Amperes, Flag, Rated, Voltage


class _Operated(PartModel):
    """A switch with contacts that follow its operator."""

    letter: ClassVar[str] = "S"
    #: Whether the operator stays where it was put.
    latching: ClassVar[bool] = False
    contacts: Contacts = Field(min_length=1)
    rated: Amperes | None = None
    rated_voltage: Voltage | None = None
    contact_rating: str = ""
    earth: Flag = Field(False, description="has a metal body with a protective conductor terminal")

    def earth_terminal(self) -> str | None:
        return "PE" if self.earth else None

    def points(self) -> list[Terminal]:
        earth = [Terminal("PE", Function.PE, True)] if self.earth else []
        return [*unique(contact_points(self.contacts)), *earth]

    def elements(self) -> list[Element]:
        return contact_switches(self.contacts, "operator")


class EmergencyStop(_Operated):
    """An emergency stop device: red on yellow, it latches and opens its break contacts by force (ISO 13850)."""

    kind_name: ClassVar[str] = "emergency-stop"
    latching: ClassVar[bool] = True
    colour: str = "RD"


class PushButton(_Operated):
    """A push-button."""

    kind_name: ClassVar[str] = "push-button"
    colour: str = ""
    lamp: Rated | None = None


class Selector(_Operated):
    """A selector switch; its contacts are given for the position that is not at rest."""

    kind_name: ClassVar[str] = "selector"
    latching: ClassVar[bool] = True
    positions: list[str] = Field(default_factory=list)


class KeySwitch(_Operated):
    """A switch moved by a key."""

    kind_name: ClassVar[str] = "key-switch"
    latching: ClassVar[bool] = True


class LimitSwitch(_Operated):
    """A position switch at the end of a travel, or at home."""

    kind_name: ClassVar[str] = "limit-switch"
    letter: ClassVar[str] = "B"
    purpose: Literal["limit", "home", "over-travel"] = "limit"


class FootSwitch(_Operated):
    """A pedal."""

    kind_name: ClassVar[str] = "foot-switch"


class GuardSwitch(_Operated):
    """A switch on a guard; its contacts are given for the closed guard, as they are when the machine may run."""

    kind_name: ClassVar[str] = "guard-switch"
    letter: ClassVar[str] = "B"
    locking: Flag = False


class PressureSwitch(_Operated):
    """A switch that follows a pressure."""

    kind_name: ClassVar[str] = "pressure-switch"
    letter: ClassVar[str] = "B"


class FloatSwitch(_Operated):
    """A switch that follows a level."""

    kind_name: ClassVar[str] = "float-switch"
    letter: ClassVar[str] = "B"
