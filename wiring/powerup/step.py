"""The first power-up as data: stages, the position of the machine in each, and lines with an expected reading."""

from __future__ import annotations

from enum import Enum, StrEnum
from math import inf

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Node
from wiring.rulebooks.citation import Source
from wiring.solver.assembly import Actuator


class Stage(Enum):
    """The stages in order: number, title."""

    LOCK = (1, "Isolated, locked off, proved dead")
    EYES = (2, "By eye")
    BOND = (3, "Protective conductors")
    SHORTS = (4, "No short at inlet and rails, feeds whole")
    POLARITY = (5, "Every conductor, polarity, motor windings")
    INSULATION = (6, "Insulation")
    MAINS = (7, "Mains, every branch open")
    SUPPLIES = (8, "Each supply unloaded")
    BRANCHES = (9, "One branch after the other")
    CONTROL = (10, "Control and signals")
    STOP = (11, "Stop function, motors disconnected")
    DRIVES = (12, "Drives, motors disconnected")
    LOOP = (13, "Loop and disconnection")
    RESIDUAL = (14, "Residual voltage after switching off")
    MOTION = (15, "First motion, uncoupled, low current, a hand on the stop")
    LOAD = (16, "Under load")
    SOAK = (17, "Heat soak")
    AFTER_CHANGE = (18, "After every change")

    @property
    def number(self) -> int:
        """Its place in the order, from 1."""
        return self.value[0]

    @property
    def title(self) -> str:
        """What is printed above its lines."""
        return self.value[1]


class Meter(StrEnum):
    """What is measured. The value is what is printed as the setting of the meter."""

    LOOK = "eyes"
    SEEN = "seen"
    MILLIOHM = "milliohm, 0.2 A to 10 A"
    OHM = "ohm"
    INSULATION = "insulation tester, 500 V DC"
    DC_V = "V DC"
    AC_V = "V AC"
    DC_A = "A DC"
    AC_A = "A AC"
    CELSIUS = "°C"
    LOOP = "loop tester"

    @property
    def unit(self) -> str:
        """Unit of a reading, SI; empty for a look."""
        return _UNITS[self]

    @property
    def is_by_eye(self) -> bool:
        """Whether no instrument is needed: a look, or a contactor, lamp or input that is seen on or off."""
        return self in (Meter.LOOK, Meter.SEEN)

    @property
    def is_resistance(self) -> bool:
        """Whether it is measured with the power off."""
        return self in (Meter.OHM, Meter.MILLIOHM, Meter.INSULATION)


_UNITS = {
    Meter.LOOK: "",
    Meter.SEEN: "",
    Meter.MILLIOHM: "ohm",
    Meter.OHM: "ohm",
    Meter.INSULATION: "ohm",
    Meter.DC_V: "V",
    Meter.AC_V: "V",
    Meter.DC_A: "A",
    Meter.AC_A: "A",
    Meter.CELSIUS: "°C",
    Meter.LOOP: "ohm",
}


class Who(StrEnum):
    """Who may do a line."""

    BUILDER = "builder"
    INSTRUCTED = "instructed"
    QUALIFIED = "qualified"

    def at_least(self, other: Who) -> Who:
        """The one of two that knows more."""
        order = list(Who)
        return max(self, other, key=order.index)


class Access(Struct, frozen=True):
    """What it takes to touch a place: `volts` may stand there at the most, `rating` [V to earth] is what meter and
    leads must be made for, None where nothing may touch it; `who` is the least that the person must be."""

    volts: float
    rating: int | None
    who: Who

    @property
    def category(self) -> str:
        """The measurement category of meter and leads (IEC 61010-2-030), as printed on them."""
        return f"CAT III {self.rating} V" if self.rating else ""


class Event(Struct, frozen=True):
    """Something done by hand: an actuator worked or let go."""

    part: str
    actuator: str
    on: bool


#: A program's outputs switched on from the test page, once everything is done by hand.
OUTPUTS_ON = Event("", "outputs", True)


class Setting(Struct, frozen=True):
    """How the machine stands for a group of lines.

    `opened` are ids of poles that are out and of conductors that are unplugged; `load` is empty for idle drives, "hold"
    for motors that hold, else a state of the plan; `outputs` that a program's outputs are on; `events` what was done by
    hand since the mains came on, in order. `mains` False is the machine unplugged, for the ohmmeter.
    """

    mains: bool
    opened: frozenset[str] = frozenset()
    events: tuple[Event, ...] = ()
    load: str = ""
    outputs: bool = False
    moved: frozenset[Actuator] = frozenset()

    @property
    def begun(self) -> Setting:
        """The machine as the mains come on, with nothing done yet."""
        return replace(self, events=(), outputs=False)

    @property
    def steps(self) -> tuple[Event, ...]:
        """What is done from there on, in order: a reset is taken before a program moves what its loop watches."""
        return (*self.events, OUTPUTS_ON) if self.outputs else self.events


class Act(Struct, frozen=True):
    """One thing done to bring the machine from one position to the next.

    `what` is off (main switch), dead (off, locked, waited for, proved), on, out, in, loose, fast (a conductor), unplug,
    plug (motors), hold, let (by hand, on the dead machine), work, free (a control), outputs, load.
    """

    what: str
    names: tuple[str, ...] = ()


class Sort(StrEnum):
    """How an expected reading is meant."""

    VALUE = "value"
    OPEN = "open"
    RISES = "rises"
    BELOW = "below"
    LOOK = "look"
    SEEN = "seen"
    UNJUDGED = "not judged"


class Expected(Struct, frozen=True):
    """An expected reading [SI]: `low` to `high` are in order. `words` say it where it is no number.

    RISES: no fixed value, a steady reading under `low` is wrong. OPEN: nothing joins the points, `low` [ohm] at the
    least. UNJUDGED: `words` name what is missing.
    """

    sort: Sort
    value: float | None = None
    low: float = -inf
    high: float = inf
    words: str = ""

    def holds(self, reading: float) -> bool:
        """Whether a reading is in order."""
        return self.low <= reading <= self.high


class Line(Struct, frozen=True):
    """One line of the sheet. `red` and `black` are where the probes go; for a current `wire` is what the clamp holds.

    `wires` are the numbers printed on the conductors at the probes. `setting` is None for a line that no network
    answers. `test` is the clause of the machine standard that the line belongs to; `about` are parts that are looked
    at. `access` is None for a look. Lines with the same `row` stand in one row, each in its `cell`. A line of the
    `annex` is asked for when something is wrong. `acts` is what is done where the line changes the position of the
    machine. `seen` is the actuator that is seen on (1) or off (0); without one it is on where red and black stand
    `on_v` apart.
    """

    id: str
    stage: Stage
    action: str
    meter: Meter
    expected: Expected
    wrong: str
    who: Who
    setting: Setting | None = None
    red: Node | None = None
    black: Node | None = None
    wire: str = ""
    wires: tuple[str, ...] = ()
    test: Source | None = None
    about: tuple[str, ...] = ()
    access: Access | None = None
    row: str = ""
    cell: str = ""
    annex: bool = False
    acts: tuple[Act, ...] = ()
    seen: Actuator | None = None
    on_v: float = 0.0

    @property
    def parts(self) -> set[str]:
        """The parts at which its probes or its clamp stand."""
        return {end[0] for end in (self.red, self.black) if end} | ({self.wire.split(":")[0]} if self.wire else set())

    @property
    def is_numeric(self) -> bool:
        """Whether a network answers it, so that a reading tells something about faults."""
        judged = self.expected.sort is not Sort.UNJUDGED and self.meter not in (Meter.LOOP, Meter.LOOK)
        return self.setting is not None and judged


class Sheet(Struct, frozen=True):
    """The whole sheet: lines in order, what could not be judged, and faults that show on none of the lines.

    `failed` are the rules that failed themselves when the plan was judged.
    """

    lines: tuple[Line, ...]
    not_judged: tuple[str, ...]
    unseen: tuple[str, ...] = ()
    failed: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()

    def of(self, stage: Stage) -> tuple[Line, ...]:
        """The lines of a stage."""
        return tuple(line for line in self.lines if line.stage is stage)

    @property
    def main(self) -> tuple[Line, ...]:
        """The lines without the annex."""
        return tuple(line for line in self.lines if not line.annex)


#: Outside the tolerance of the meter an ohmmeter shows this as open [ohm].
OPEN_OHM = 20e6
