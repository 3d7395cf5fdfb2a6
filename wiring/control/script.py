"""What is done to a machine to prove its stop: the moments of one sequence, the same for every fault and device."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

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
    RELEASE = "stop released"
    AGAIN = "reset pressed and let go"
    MAINS_OFF = "mains lost"
    MAINS_ON = "mains returned"


#: Moments at which everything that can hurt must be dead. After a reset the machine may run.
MUST_BE_DEAD = (Moment.STOP, Moment.RELEASE, Moment.MAINS_OFF, Moment.MAINS_ON)


@dataclass(frozen=True, slots=True)
class Probe:
    """Where to see whether something is fed: two terminals of a part, the kind of voltage, and the volts above which it
    counts as fed. `needs` are actuators that must be attracted as well, such as both inputs of a safe torque off."""

    part: str
    a: str
    b: str
    kind: str
    dead_v: float
    needs: tuple[Actuator, ...] = ()


@dataclass(frozen=True, slots=True)
class Target:
    """Something that a stop must take the power from; it is alive when any of its probes is."""

    name: str
    probes: tuple[Probe, ...]


@dataclass(frozen=True, slots=True)
class StopUse:
    """One stop: its devices, the devices that start the machine again, pressed one after the other, and its targets."""

    name: str
    category: int
    devices: tuple[str, ...]
    starts: tuple[str, ...]
    targets: tuple[Target, ...]


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
    return any(isinstance(element, Switch) and not element.closed_at_rest for element in part.of(Switch))
