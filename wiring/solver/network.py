"""What the solver is given: a bare network at one frequency. Nodes are indices; names live in the circuit.

All values are SI. At 0 Hz every number is a float; at mains frequency voltages, impedances and currents are complex
phasors (RMS). The order of the elements is the caller's; the answer must not depend on it.
"""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct

Scalar = float | complex


class Branch(Struct, frozen=True):
    """A conductor, closed contact, fuse or resistance. `ohm` above 0 (complex with positive real part at AC)."""

    a: int
    b: int
    ohm: Scalar


class Overload(StrEnum):
    """What a source does above its limit."""

    STIFF = "stiff"  # mains, battery: no limit, carries current both ways
    CONSTANT_CURRENT = "constant-current"
    HICCUP = "hiccup"
    LATCH_OFF = "latch-off"


class VoltageSource(Struct, frozen=True):
    """A source behind its series resistance (`ohm` above 0). `limit_a` is None for a stiff source.

    A source that is not STIFF is one-quadrant: it delivers current out of `plus` only and blocks when its net stands
    higher than its setting.
    """

    plus: int
    minus: int
    volts: Scalar
    ohm: Scalar
    overload: Overload = Overload.STIFF
    limit_a: float | None = None


class PowerLoad(Struct, frozen=True):
    """Takes constant power from `a` to `b`; `watts` at or above 0; runs only at or above `lockout_v` across it.

    `power_factor` (0 to 1, lagging) and `distortion` matter at AC only: the phasor current is conj(S/V) with
    |S| = watts / power_factor. One that runs `either_way` takes the same at 0 Hz from `b` to `a`.
    """

    a: int
    b: int
    watts: float
    lockout_v: float = 0.0
    power_factor: float = 1.0
    either_way: bool = False


class CurrentLoad(Struct, frozen=True):
    """Draws constant current from `a` to `b` while there is voltage to drive it (one direction at 0 Hz).

    At AC the current is in phase with the voltage turned by `power_factor` lagging.
    """

    a: int
    b: int
    amps: float
    power_factor: float = 1.0


class Diode(Struct, frozen=True):
    """Conducts from `a` to `b` above `drop_v`, through `ohm`. Only at 0 Hz."""

    a: int
    b: int
    drop_v: float
    ohm: float


class Network(Struct, frozen=True):
    """`nodes` is a count; `references` are nodes held at 0 V, one for each galvanic island that has one."""

    nodes: int
    references: tuple[int, ...]
    branches: tuple[Branch, ...]
    sources: tuple[VoltageSource, ...] = ()
    powers: tuple[PowerLoad, ...] = ()
    currents: tuple[CurrentLoad, ...] = ()
    diodes: tuple[Diode, ...] = ()
