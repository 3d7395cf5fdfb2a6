"""The modes of an island's elements, and the straight line each follows in its mode.

Every two-ended element reads i = j + g (v - e) from its first end to its second, with v the voltage between them. A
mode change swaps the line; the network stays linear in between.
"""

from __future__ import annotations

from enum import IntEnum
from typing import NamedTuple

from msgspec import Struct

from wiring.solver.islands import Island
from wiring.solver.network import Network, Overload, Scalar, VoltageSource
from wiring.solver.solution import SourceMode

KNEE_V = 1e-3  # a constant-current load takes its full current from here up, and is a resistance below
LIMIT_SLOPE = 1e-7  # share of its limit a source in constant current gives more at 0 V than at its setting
DRAW_SLOPE = 1e-9  # siemens an ampere, only where nothing else fixes the voltage between two loads in series


class LoadRegion(IntEnum):
    """Where on its characteristic a constant-current load stands at 0 Hz."""

    FULL = 0
    STARVED = 1
    REVERSED = 2


class Line(NamedTuple):
    """i = j + g (v - e), from unknown `a` to unknown `b`."""

    a: int
    b: int
    g: Scalar
    e: Scalar
    j: Scalar

    def current(self, volts: Scalar) -> Scalar:
        return self.j + self.g * (volts - self.e)


class State(Struct):
    """Modes by position in the island's own element lists. Shut-down sources and locked-out loads never come back."""

    sources: list[SourceMode]
    diodes: list[bool]
    draws: list[LoadRegion]
    locked: list[bool]

    @staticmethod
    def initial(island: Island) -> State:
        return State(
            sources=[SourceMode.CONSTANT_VOLTAGE] * len(island.sources),
            diodes=[False] * len(island.diodes),
            draws=[LoadRegion.REVERSED] * len(island.currents),
            locked=[False] * len(island.powers),
        )

    def modes(self) -> tuple[object, ...]:
        """Everything that shapes the linear network."""
        return tuple(self.sources), tuple(self.diodes), tuple(self.draws)

    def key(self) -> tuple[object, ...]:
        return *self.modes(), tuple(self.locked)

    def unlimited(self) -> State:
        """The same modes with every current limit lifted: the state of the network without load."""
        lifted: list[SourceMode] = [
            SourceMode.CONSTANT_VOLTAGE if mode is SourceMode.CONSTANT_CURRENT else mode for mode in self.sources
        ]
        return State(lifted, self.diodes, self.draws, self.locked)

    def is_limiting(self) -> bool:
        return SourceMode.CONSTANT_CURRENT in self.sources


def limit_voltage(source: VoltageSource) -> float:
    """The voltage at which a source reaches its limit."""
    return source.volts.real - source.ohm.real * (source.limit_a or 0.0)


def limit_siemens(source: VoltageSource) -> float:
    return LIMIT_SLOPE * (source.limit_a or 0.0) / (source.volts.real or 1.0)


def is_one_quadrant(source: VoltageSource) -> bool:
    return source.overload is not Overload.STIFF


def source_line(source: VoltageSource, mode: SourceMode, a: int, b: int) -> Line:
    if mode is SourceMode.CONSTANT_VOLTAGE:
        return Line(a, b, 1.0 / source.ohm, source.volts, 0.0)
    if mode is SourceMode.CONSTANT_CURRENT:
        return Line(a, b, limit_siemens(source), limit_voltage(source), -(source.limit_a or 0.0))
    return Line(a, b, 0.0, 0.0, 0.0)


def diode_line(network: Network, index: int, on: bool, a: int, b: int) -> Line:
    diode = network.diodes[index]
    return Line(a, b, 1.0 / diode.ohm, diode.drop_v, 0.0) if on else Line(a, b, 0.0, 0.0, 0.0)


def draw_line(amps: float, draw: LoadRegion, a: int, b: int) -> Line:
    if draw is LoadRegion.FULL:
        return Line(a, b, 0.0, KNEE_V, amps)
    if draw is LoadRegion.STARVED:
        return Line(a, b, amps / KNEE_V, KNEE_V, amps)
    return Line(a, b, 0.0, 0.0, 0.0)
