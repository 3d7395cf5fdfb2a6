"""What is done to a machine to prove its stop: the moments of one sequence, the same for every fault and device."""

from __future__ import annotations

from collections.abc import Iterable
from enum import StrEnum

from msgspec import Struct
from msgspec.structs import replace

from wiring.circuit.model import Circuit
from wiring.parts.base import Part
from wiring.parts.elements import Switch
from wiring.parts.operators import PushButton
from wiring.solver.assembly import Actuator


class Moment(StrEnum):
    """The steps of the sequence, in order. Only the first is without the fault."""

    RUN = "running"
    FAULT = "fault appears"
    STOP = "stop worked"
    TRIED = "other operators worked while the stop is in"
    RELEASE = "stop released"
    HELD = "stop released, operators held"
    AGAIN = "reset pressed and let go"
    DEMAND = "stop worked again"
    MAINS_OFF = "mains lost"
    MAINS_ON = "mains returned"


#: Names of what a hand, the machine or the process moves, not a coil and not a program.
HAND_MOVED = ("operator", "handle")
#: Moments at which everything that can hurt must be dead. After a reset the machine may run, until the stop is worked
#: again.
MUST_BE_DEAD = (Moment.STOP, Moment.TRIED, Moment.RELEASE, Moment.DEMAND, Moment.MAINS_OFF, Moment.MAINS_ON)


class Probe(Struct, frozen=True):
    """Where to see whether something is fed: two terminals of a part, the kind of voltage, and the volts above which it
    counts as fed. `needs` are actuators that must be attracted as well, such as both inputs of a safe torque off."""

    part: str
    a: str
    b: str
    kind: str
    dead_v: float
    needs: tuple[Actuator, ...] = ()


class Target(Struct, frozen=True):
    """Something that a stop must take the power from; it is alive when any of its probes is. `commanded`: it is fed
    through a drive, which moves it only when a program asks."""

    name: str
    probes: tuple[Probe, ...]
    commanded: bool = False


class Operator(Struct, frozen=True):
    """A switch that a person, the machine or the process moves; `springs_back` when it is let go."""

    actuator: Actuator
    springs_back: bool


class StopUse(Struct, frozen=True):
    """One stop: its devices, the devices that start the machine again, pressed one after the other, and its targets.

    `operators` are all there are, `worked` those that stand worked while the machine runs; `resets` are the plan's.
    `apart` are main switches that the screen tries position by position; `out` coils, units and outputs of programs
    that are not in while the machine runs, `either` coils and units that may be in as well as out. `let_go` are the
    hold-to-run devices, which stop by being let go. `state` names a state other than the first from which it is proved.
    """

    name: str
    category: int
    devices: tuple[str, ...]
    starts: tuple[str, ...]
    targets: tuple[Target, ...]
    operators: tuple[Operator, ...] = ()
    worked: frozenset[Actuator] = frozenset()
    resets: tuple[str, ...] = ()
    apart: frozenset[Actuator] = frozenset()
    out: frozenset[Actuator] = frozenset()
    either: frozenset[Actuator] = frozenset()
    let_go: frozenset[str] = frozenset()
    state: str = ""

    @property
    def called(self) -> str:
        """The stop, with the state from which it is proved where that is another than the first one."""
        return f"{self.name}{self.while_}"

    @property
    def while_(self) -> str:
        """The end of a sentence that names such a state."""
        return f" while `{self.state}` runs" if self.state else ""

    @property
    def unnamed(self) -> StopUse:
        """The same for all stops that differ in name alone, or in what stop category they are said to be."""
        return replace(self, name="", category=0)

    def stopped(self, device: str, operated: frozenset[Actuator]) -> frozenset[Actuator]:
        """The operators that stand worked once a device calls for the stop."""
        stop = frozenset({(device, "operator")})
        return operated - stop if device in self.let_go else operated | stop

    def released(self, device: str, operated: frozenset[Actuator]) -> frozenset[Actuator]:
        """Those once it no longer does: one that is held to run stays let go until it is pressed again."""
        return operated - {(device, "operator")} if device in self.let_go else operated


def operators_of(circuit: Circuit) -> tuple[Operator, ...]:
    """Every switch that is moved by hand, by the machine or by the process, in the order of the plan."""
    return tuple(
        Operator(actuator, part.data.springs_back())
        for part in circuit.parts.values()
        for actuator in operators_on(part)
    )


def springing_back(operators: Iterable[Operator]) -> frozenset[Actuator]:
    """What goes back to rest when the hand or foot leaves it."""
    return frozenset(one.actuator for one in operators if one.springs_back)


def operators_on(part: Part) -> tuple[Actuator, ...]:
    """What is moved by hand, by the machine or by the process on a part."""
    moved = [element.actuator for element in part.of(Switch)]
    return tuple((part.name, name) for name in dict.fromkeys(moved) if name in HAND_MOVED)


def other_operators(use: StopUse, device: str) -> tuple[Actuator, ...]:
    """Every operator but the device itself."""
    return tuple(one.actuator for one in use.operators if one.actuator[0] != device)


def is_program(actuator: str) -> bool:
    """Whether a program moves it: such an output is taken in its worst position."""
    return actuator.startswith("output ")


def start_devices(circuit: Circuit, reset: str | None, stop_devices: tuple[str, ...]) -> tuple[str, ...]:
    """What a person presses to run again: the reset of the plan, then every other push-button that closes a contact and
    is no stop."""
    buttons = [part.name for part in circuit.parts.values() if isinstance(part.data, PushButton) and _closes(part)]
    first = [reset] if reset is not None and reset in circuit.parts else []
    return tuple(dict.fromkeys([*first, *(name for name in buttons if name not in stop_devices)]))


def _closes(part: Part) -> bool:
    return any(not element.closed_at_rest for element in part.of(Switch))
