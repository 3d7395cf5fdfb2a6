"""Electro-sensitive protective equipment: a light curtain, a grid, a scanner that sees somebody come."""

from __future__ import annotations

from typing import ClassVar, Literal

from wiring.parts.contacts import Contacts
from wiring.parts.elements import Draw, Element, Function, Switch, Terminal
from wiring.parts.operators import Guarding
from wiring.parts.switching import unique
from wiring.parts.traits import Purpose, SheetFunction, Symbol
from wiring.plan.model import field
from wiring.plan.ratings import CoilRating
from wiring.plan.types import Amperes

#: What a curtain takes where its label gives the voltage alone [W], and the resistance of an output that is on [ohm]
#: (typical, from memory).
_TYPICAL_W, _OUTPUT_OHM = 6.0, 1.0


class LightCurtain(Guarding):
    """A light curtain (IEC 61496): two outputs that give its plus while it is fed and nobody is in its field, each a
    channel for a stop relay, at its S12 and S22; S11 and S21 stay open. `contacts` are those of one with relays.
    """

    kind_name: ClassVar[str] = "light-curtain"
    example: ClassVar[str] = "type: 4, supply: 24 V DC 6 W"
    serves: ClassVar[Purpose | None] = Purpose("sees somebody", protects=True)
    is_control: ClassVar[bool] = True
    symbol: ClassVar[Symbol] = Symbol(sign="curtain")
    sheet_function: ClassVar[SheetFunction] = SheetFunction.STOP
    at: Literal["cabinet", "door", "machine", "outside"] = "machine"
    type: Literal["2", "3", "4"] = field(
        description="of IEC 61496, as it is marked: a fault of a 2 may hide somebody until the next test of it"
    )
    supply: CoilRating = field(description="voltage and power at its terminals 24V and 0V")
    outputs: list[str] = field(
        default_factory=lambda: ["OSSD1", "OSSD2"], description="its safe semiconductor outputs; none with contacts"
    )
    output_current: Amperes | None = None
    contacts: Contacts = field(
        default_factory=dict, description="contacts of relays in it, closed while nobody is seen"
    )
    signals: list[str] = field(default_factory=list, description="its further terminals: test, monitoring, reset")

    def points(self) -> list[Terminal]:
        supply = [Terminal(end, Function.SUPPLY, True) for end in ("24V", "0V")]
        outputs = [Terminal(name, Function.OUTPUT, True) for name in self.outputs]
        signals = [Terminal(name, Function.INPUT) for name in self.signals]
        return unique([*supply, *outputs, *super().points(), *signals])

    def elements(self) -> list[Element]:
        watts = self.supply.watts or _TYPICAL_W
        outputs = [Switch("24V", one, "operator", True, _OUTPUT_OHM, solid_state=True) for one in self.outputs]
        return [Draw("24V", "0V", "DC", watts=watts, name="supply"), *outputs, *super().elements()]
