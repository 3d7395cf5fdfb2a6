"""What a picture of a moment is made of: thresholds to watch, loads, sources, and what became of it with a fault."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from wiring.powerup.low_rank_update import BranchChange
from wiring.solver.assembly import ElementKey
from wiring.solver.network import Overload, Scalar, VoltageSource
from wiring.solver.state import limit_siemens, limit_voltage

#: A threshold nearer than this share is too close to call.
CLOSE = 1e-4


class SwitchingThreshold(Struct, frozen=True):
    """Two nodes whose voltage must stay on its side of a threshold [V]; by size, or signed. Nearer than the share
    `close` of it is too close to call."""

    a: int
    b: int
    threshold: float
    signed: bool = False
    close: float = CLOSE


class ConstantPowerLoad(Struct, frozen=True):
    """A load: what it is as a conductance, its apparent power or, of a constant current, its current."""

    key: ElementKey
    a: int
    b: int
    siemens: Scalar
    apparent: Scalar
    amps: Scalar = 0.0


class Supply(Struct, frozen=True):
    """A source that delivers, between two nodes."""

    key: ElementKey | None
    plus: int
    minus: int
    source: VoltageSource

    def current(self, across: Scalar) -> Scalar:
        """What it delivers in constant voltage [A]."""
        return (self.source.volts - across) / self.source.ohm

    @property
    def limits(self) -> bool:
        """Whether it holds its current instead of shutting down."""
        return self.source.overload is Overload.CONSTANT_CURRENT and self.source.limit_a is not None

    @property
    def limit_patch(self) -> BranchChange:
        """What becomes of its conductance when it holds its current."""
        return BranchChange(self.plus, self.minus, limit_siemens(self.source) - 1.0 / self.source.ohm)

    @property
    def limit_feed(self) -> tuple[int, int, float]:
        """The current that it then feeds, beyond what it feeds behind its own resistance."""
        source = self.source
        amps = (source.limit_a or 0.0) + limit_siemens(source) * limit_voltage(source)
        return self.minus, self.plus, amps - (source.volts / source.ohm).real


class FaultResponse(Struct, frozen=True):
    """What became of a picture: every node's voltage, what hangs together, and inputs that draw another power [W]."""

    volts: Sequence[Scalar]
    roots: Sequence[int]
    watts: Mapping[ElementKey, float]
    same: bool = False

    def between(self, a: int, b: int) -> Scalar:
        """Volts of `a` over `b`; 0 where nothing joins them."""
        return self.volts[a] - self.volts[b] if self.roots[a] == self.roots[b] else 0.0
