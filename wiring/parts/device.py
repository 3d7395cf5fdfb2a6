"""Anything that no other kind describes: the builder names its terminals, what is joined, and what takes power."""

from __future__ import annotations

from typing import ClassVar, Literal

from wiring.parts.base import PartModel
from wiring.parts.contacts import Contacts, contact_points
from wiring.parts.elements import Draw, Element, Function, Link, Resistance, Terminal
from wiring.parts.switching import contact_switches, unique
from wiring.plan.fault import Refusal
from wiring.plan.model import Model, field
from wiring.plan.ratings import Rated, Voltage
from wiring.plan.records import TerminalRef
from wiring.plan.types import AmperesOrZero, Ohms, OhmsOrZero, WattsOrZero
from wiring.plan.words import PowerFactor

_WORDS = {
    "line": Function.LINE,
    "neutral": Function.NEUTRAL,
    "pe": Function.PE,
    "plus": Function.DC_PLUS,
    "minus": Function.DC_MINUS,
    "supply": Function.SUPPLY,
    "input": Function.INPUT,
    "output": Function.OUTPUT,
    "common": Function.COMMON,
    "motor": Function.MOTOR,
    "shield": Function.SHIELD,
    "through": Function.THROUGH,
    "load": Function.LOAD,
}
FunctionWord = Literal[
    "line",
    "neutral",
    "pe",
    "plus",
    "minus",
    "supply",
    "input",
    "output",
    "common",
    "motor",
    "shield",
    "through",
    "load",
]


class DeviceLink(Model):
    """Two terminals joined inside."""

    between: tuple[str, str]
    resistance: OhmsOrZero = 0.0


class DeviceLoad(Model):
    """Power taken between two terminals: a rating, or a resistance."""

    between: tuple[str, str]
    rated: Rated | None = None
    resistance: Ohms | None = None
    voltage: Voltage | None = None
    power: WattsOrZero | None = None
    current: AmperesOrZero | None = None
    power_factor: PowerFactor = 1.0

    def after_reading(self) -> DeviceLoad:
        given = [self.rated is not None, self.resistance is not None, self.power is not None, self.current is not None]
        if sum(given) != 1:
            raise Refusal("the load has no measure, or more than one", "one of rated, resistance, power and current")
        return self

    def element(self) -> Element:
        """The load as an element of the circuit."""
        a, b = self.between
        kind = (self.rated.voltage.kind if self.rated else self.voltage.kind if self.voltage else "") or "DC"
        if self.resistance is not None:
            return Resistance(a, b, self.resistance, kind)
        factor = 1.0 if kind == "DC" else self.power_factor
        if self.current is not None:
            return Draw(a, b, kind, amps=self.current, power_factor=factor)
        watts = self.rated.true_w(factor) if self.rated else self.power
        return Draw(a, b, kind, watts=watts, power_factor=factor)


class Device(PartModel):
    """A part described by its terminals, links, contacts and loads."""

    kind_name: ClassVar[str] = "device"
    example: ClassVar[str] = "points: {V+: plus, V-: minus, PE: pe}"
    often_bare: ClassVar[bool] = True
    leaks_to_earth: ClassVar[bool] = True
    ohmic: ClassVar[bool] = True
    passes_on: ClassVar[bool] = True
    letter: ClassVar[str] = "A"
    points_: dict[str, FunctionWord] = field(alias="points", description="terminal: what it is for")
    links: list[DeviceLink] = field(default_factory=list)
    loads: list[DeviceLoad] = field(default_factory=list)
    contacts: Contacts = field(default_factory=dict)
    tracks: dict[str, list[TerminalRef]] = field(
        default_factory=dict, description="terminals of modules plugged on it that its tracks reach, by its terminal"
    )
    leakage: AmperesOrZero | None = None

    def after_reading(self) -> Device:
        known = set(self.points_)
        for between in [*(link.between for link in self.links), *(load.between for load in self.loads)]:
            unknown = [end for end in between if end not in known]
            if unknown:
                raise Refusal(f"{unknown[0]} is not one of its points", f"one of {', '.join(sorted(known))}")
        return self

    def earth_terminal(self) -> str | None:
        return next((name for name, word in self.points_.items() if word == "pe"), None)

    def points(self) -> list[Terminal]:
        named = [Terminal(name, _WORDS[word]) for name, word in self.points_.items()]
        return unique([*named, *contact_points(self.contacts)])

    def elements(self) -> list[Element]:
        links: list[Element] = [Link(*link.between, link.resistance) for link in self.links]
        return [*links, *(load.element() for load in self.loads), *contact_switches(self.contacts, "operator")]
