"""What a part is electrically: terminals, and elements between them. Data only; the circuit joins them.

Terminal names in an element are the part's own, as marked in the plan. All values are SI.
"""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct


class Function(StrEnum):
    """What a terminal is for. It steers roles, the open-terminal check and the side it is drawn on."""

    LINE = "line"
    NEUTRAL = "neutral"
    PE = "protective earth"
    DC_PLUS = "DC plus"
    DC_MINUS = "DC minus"
    SUPPLY = "supply input"
    CONTACT = "contact"
    POLE = "main pole"
    COIL = "coil"
    MOTOR = "motor phase"
    INPUT = "signal input"
    OUTPUT = "signal output"
    COMMON = "signal common"
    SHIELD = "shield"
    THROUGH = "through"
    LOAD = "load"


class Terminal(Struct, frozen=True):
    """One connection point of a part. `required` says that the part cannot do its job with it open.

    `wires_max` conductors fit; `sizes_mm2` is the range of cross-sections it takes, None when not known.
    """

    name: str
    function: Function
    required: bool = False
    wires_max: int | None = None
    sizes_mm2: tuple[float, float] | None = None


class Link(Struct, frozen=True):
    """Two terminals that are always joined inside the part. `ohm` 0 makes them one point."""

    a: str
    b: str
    ohm: float = 0.0


class Resistance(Struct, frozen=True):
    """A resistive path: a heater, a lamp, a motor winding, a signal input. `kind` is AC, DC or empty for both."""

    a: str
    b: str
    ohm: float
    kind: str = ""
    load: bool = True


class Switch(Struct, frozen=True):
    """A contact. `closed_at_rest`: a break contact. `actuator` names what moves it: the part's own operator
    ("operator"), one of its coils, its logic, or "output" for a transistor that a program drives.

    `mirror` is a break contact that cannot close while a main pole is welded; `direct` opens by force of the actuator.
    A `solid_state` one is a semiconductor: it fails closed, and parts nothing.
    """

    a: str
    b: str
    actuator: str
    closed_at_rest: bool
    ohm: float = 0.01
    mirror: bool = False
    direct: bool = False
    late: bool = False
    solid_state: bool = False

    @property
    def name(self) -> str:
        """The contact as it is marked: 13-14."""
        return f"{self.a}-{self.b}"


class Pole(Struct, frozen=True):
    """One pole of a protective device: closed until its device opens it."""

    a: str
    b: str
    ohm: float

    @property
    def name(self) -> str:
        """The pole as it is marked: 1-2."""
        return f"{self.a}-{self.b}"


class Coil(Struct, frozen=True):
    """Picks up at or above `pick_up_v`, lets go below `drop_out_v`. A DC coil is a resistance `ohm`.

    `moves` is the actuator name of the contacts that follow. An AC coil has `power_factor` below 1. With a delay its
    contacts follow that much later, on picking up (`on_delay_s`) or on letting go (`off_delay_s`).
    """

    a: str
    b: str
    moves: str
    ohm: float
    kind: str
    pick_up_v: float
    drop_out_v: float
    power_factor: float = 1.0
    inductive: bool = True
    on_delay_s: float = 0.0
    off_delay_s: float = 0.0

    @property
    def name(self) -> str:
        """The coil as it is marked: A1-A2."""
        return f"{self.a}-{self.b}"


class Logic(Struct, frozen=True):
    """A unit whose `outputs` close when its supply coil and all `channels` have picked up and it has been reset.

    Each name is the `moves` of a coil of the same part. `reset_mode` is manual, monitored or automatic. A `paired` unit
    compares its channels: it takes a reset only after every channel has been open since its outputs fell.
    """

    supply: str
    channels: tuple[str, ...]
    reset: str
    reset_mode: str
    outputs: str
    off_delay_s: float = 0.0
    paired: bool = False


class Feed(Struct, frozen=True):
    """A conductor of the incoming supply: L, L1, L2, L3, N or PE at a terminal of the inlet."""

    terminal: str
    conductor: str


class Output(Struct, frozen=True):
    """A source of voltage fed from an input of the same part (`input`, None for a battery-like source).

    `limit_a` is the current at which the overload mode sets in; `rated_a` what it may deliver for ever. With a `ratio`
    the voltage follows the input: ratio times input, less `lost_v`. `one_way` blocks current from flowing back in.
    """

    plus: str
    minus: str
    volts: float
    ohm: float
    kind: str
    overload: str
    limit_a: float | None
    rated_a: float | None
    input: str | None = None
    efficiency: float = 1.0
    name: str = "output"
    ratio: float | None = None
    lost_v: float = 0.0
    one_way: bool = False


class Input(Struct, frozen=True):
    """Where a part takes power from. What an `Output` draws through it is computed; `standby_w` comes on top."""

    a: str
    b: str
    kind: str
    low_v: float
    high_v: float
    power_factor: float = 1.0
    standby_w: float = 0.0
    name: str = "input"


class Draw(Struct, frozen=True):
    """A load of constant power or constant current between two terminals.

    `watts` or `amps` at full work; a drive's power follows its motor and the state, so both are then None.
    Below `lockout_v` it takes nothing. `either_way`: it takes the same where its ends are exchanged at direct current.
    """

    a: str
    b: str
    kind: str
    watts: float | None = None
    amps: float | None = None
    lockout_v: float = 0.0
    power_factor: float = 1.0
    name: str = "load"
    either_way: bool = False


class Rectifying(Struct, frozen=True):
    """A diode from `a` (anode) to `b` (cathode)."""

    a: str
    b: str
    drop_v: float = 0.7
    ohm: float = 0.01


Element = Link | Resistance | Switch | Pole | Coil | Logic | Feed | Output | Input | Draw | Rectifying
