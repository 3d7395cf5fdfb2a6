"""The socket outlet: what feeds the things that people plug in."""

from __future__ import annotations

from typing import ClassVar

from wiring.parts.base import PartModel, phase_pairs
from wiring.parts.elements import Draw, Element, Function, Terminal
from wiring.parts.incoming import PoleWord
from wiring.parts.traits import SheetFunction, Symbol, SymbolForm
from wiring.plan.fault import Refusal
from wiring.plan.model import field
from wiring.plan.ratings import Rated
from wiring.plan.types import Amperes, WattsOrZero
from wiring.plan.words import PowerFactor


class SocketOutlet(PartModel):
    """A socket outlet, or receptacle: it feeds what is plugged in, and that stands outside. A state may say that
    nothing is: `J1: off`.
    """

    kind_name: ClassVar[str] = "socket-outlet"
    example: ClassVar[str] = "rated: 16 A, feeds: 230 V AC 2 A"
    symbol: ClassVar[Symbol] = Symbol(SymbolForm.FRAME, "outlet", turns=True)
    sheet_function: ClassVar[SheetFunction] = SheetFunction.PROCESS
    in_power: ClassVar[bool] = True
    letter: ClassVar[str] = "X"
    rated: Amperes | None = field(None, description="current that it is built for, as its face shows it")
    feeds: Rated = field(description="voltage, and current or power of the most that is plugged in at a time")
    poles: tuple[PoleWord, ...] = field(("L", "N", "PE"), description="its contacts")
    power_factor: PowerFactor = 1.0
    heat: WattsOrZero | None = field(
        0.0, description="heat given off in the cabinet, where it is known better; none where it stands outside"
    )

    def after_reading(self) -> SocketOutlet:
        if len(self._fed()) < 2:
            raise Refusal("an outlet has one pole alone", "`poles: [L, N, PE]`, `[L1, L2, PE]` or `[L1, L2, L3, PE]`")
        return self

    def _fed(self) -> list[str]:
        """The contacts that what is plugged in takes its power from; a neutral beside several lines carries nothing."""
        lines: list[str] = [pole for pole in self.poles if pole not in ("N", "PE")]
        return lines if len(lines) > 1 else [*lines, *({"N"} & set(self.poles))]

    def earth_terminal(self) -> str | None:
        return "PE" if "PE" in self.poles else None

    def may_be_hazard(self) -> bool:
        return True

    def points(self) -> list[Terminal]:
        return [
            Terminal(pole, Function.PE if pole == "PE" else Function.SUPPLY, required=pole in (*self._fed(), "PE"))
            for pole in self.poles
        ]

    def elements(self) -> list[Element]:
        pairs = phase_pairs(self._fed())
        kind = self.feeds.voltage.kind or "AC"
        factor = 1.0 if kind == "DC" else self.power_factor
        watts = self.feeds.true_w(factor) / len(pairs)
        return [Draw(a, b, kind, watts=watts, power_factor=factor) for a, b in pairs]
